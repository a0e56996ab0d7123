"""The conditions of a lift and its rulebook that lanes of one arrangement under one hook are held to."""

from __future__ import annotations

from slingwright.arrangement import Arrangement
from slingwright.choose.nominal import LAST_BITS, LEAST_SINE
from slingwright.choose.setting import Setting
from slingwright.hang.screen import Limits, View
from slingwright.sling import Hitch

__all__ = ["held_to", "with_margin"]


def held_to(
    setting: Setting,
    arrangement: Arrangement,
    view: View,
    *,
    least_deg: float,
    level_deg: float,
    room_m: float,
    plain: bool,
) -> Limits:
    """Held to them to the last bits.

    Parameters
    ----------
    setting, arrangement, view
        The lift and its rulebook; how slings hold the load; what is asked of each path.
    least_deg, level_deg, room_m
        The flattest angle, the largest tilt and the headroom that an offer may have.
    plain
        Whether it is a plain basket that may slip along the load.
    """
    book, hitch, paths = setting.rulebook, arrangement.holdings[0].hitch, len(view.along)
    tight = min(int(book.limit("tight_legs").value), paths) if hitch is Hitch.VERTICAL else paths
    return Limits(
        margin=LAST_BITS,
        sure=LAST_BITS + LAST_BITS,
        last=LAST_BITS,
        least_deg=least_deg,
        room_m=room_m,
        level_deg=level_deg,
        tight=tight,
        upright=bool(view.upright.any()),
        upright_deg=book.limit("lug_lean_deg").value,
        straight_deg=book.limit("near_vertical_deg").value,
        low_pull_deg=book.limit("choker_low_pull_deg").value if hitch is Hitch.CHOKER else 0.0,
        sloping_deg=book.limit("basket_least_angle_along_deg").value if plain else 0.0,
        apart_deg=book.limit("hook_angle_deg").value,
        thin=1.0 - book.limit("reserve_ratio").value,
        least_sine=LEAST_SINE,
    )


def with_margin(limits: Limits, margin: float) -> Limits:
    """The same, held to with another margin (relative)."""
    return limits._replace(margin=margin, sure=margin + LAST_BITS)
