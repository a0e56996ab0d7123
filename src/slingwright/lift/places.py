"""Hook, beam, site and wishes, built from their tables."""

from __future__ import annotations

from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import Beam, Hook, Site, Want, WantedSling
from slingwright.lift.table import Reader, Values
from slingwright.sling import Fibre, Form

__all__ = ["build_beams", "build_hooks", "build_site", "build_want", "build_wanted_sling"]


def build_hooks(hooks: tuple[Values, ...], reader: Reader) -> tuple[Hook, ...]:
    """The hooks; several need each their place."""
    for hook in hooks:
        if len(hooks) > 1 and not hook.has("at"):
            reader.fault(hook.field("at"), "is missing", "with several hooks each needs its place [x, y]")
    found = [
        Hook(
            headroom_m=hook["headroom"],
            at_m=hook["at"],
            thickness_m=hook["thickness"],
            width_m=hook["width"],
            capacity_n=hook["capacity"],
        )
        for hook in hooks
        if hook["headroom"] is not None
    ]
    places = [hook.at_m for hook in found if hook.at_m is not None]
    if len(set(places)) < len(places):
        reader.fault("hook", "has two hooks in one place")
    return tuple(found)


def build_beams(beams: tuple[Values, ...]) -> tuple[Beam, ...]:
    """The beams on hand, numbered where they have no name."""
    return tuple(
        Beam(
            name=beam["name"] or f"beam {index + 1}",
            span_m=beam["span"],
            weight_n=beam["weight"],
            rated_n=beam["rated"],
            least_top_angle_deg=beam["least_top_angle"],
            lugs=beam["lugs"] or 2,
            depth_m=beam["depth"] or 0.0,
        )
        for index, beam in enumerate(beams)
        if beam["span"] is not None and beam["weight"] is not None
    )


def build_site(site: Values, reader: Reader) -> Site:
    """The site."""
    low, high = site["temperature"] or (None, None)
    if not site.has("temperature"):
        reader.note("site-temperature-not-stated")
    return Site(
        temperature_low_k=low,
        temperature_high_k=high,
        touches=site["touches"] or (),
        purpose=site["purpose"] or "lift",
        service=site["service"] or "normal",
        dynamic_factor=site["dynamic_factor"] or 1.0,
        wet=bool(site["wet"]),
    )


def build_want(want: Values, reader: Reader) -> Want | None:
    """The wishes; None where a figure is at fault."""
    if want["level_within"] is None or want["least_angle"] is None:
        return None
    if want.has("sling"):
        reader.note("only-the-sling-named")
    spread, share, length = want["length_tolerance"] or (False, None, None)
    if spread:
        reader.note("length-spread-as-limit")
        factor = assumptions().standard_deviations
        share = None if share is None else factor * share
        length = None if length is None else factor * length
    return Want(
        level_within_deg=want["level_within"],
        least_angle_deg=want["least_angle"],
        by=want["by"] or "price",
        stock_only=bool(want["stock_only"]),
        matched_set=want["matched_set"] is not False,
        tolerance_length_rel=share,
        tolerance_length_m=length,
        sling=build_wanted_sling(want["sling"]),
    )


def build_wanted_sling(sling: Values | None) -> WantedSling | None:
    """The one sling to be used; None where none is named, or a key is at fault (which is kept already)."""
    required = ("form", "fibre", "class", "plies", "width", "length")
    if sling is None or any(sling[key] is None for key in required):
        return None
    return WantedSling(
        form=Form(sling["form"]),
        fibre=Fibre(sling["fibre"]),
        webbing_class=sling["class"],
        plies=sling["plies"],
        width_m=sling["width"],
        length_m=sling["length"],
        eye_m=sling["eye"],
    )
