"""The slings that can be built, nearest to one that cannot."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from slingwright.shop import Refusal, Shop, buildable_spec, least_length_m, shop_widths_m
from slingwright.shop.space import grid_length_m, length_um
from slingwright.sling import Form, SlingSpec

__all__ = ["nearest_buildable"]


def nearest_buildable(
    shop: Shop, spec: SlingSpec, keep: Callable[[SlingSpec], bool], *, most: int = 3
) -> tuple[SlingSpec, ...]:
    """Buildable slings near `spec`: fewest things changed first, then the smallest change, then the text.

    Parameters
    ----------
    shop, spec
        Whose lofts, and the sling that was asked for.
    keep
        What else a sling must pass: a rating and a price.
    """
    forms = [spec.form] if spec.form is not Form.RETURN_EYE else [Form.FLAT_EYE, Form.TWISTED_EYE]
    classes = sorted({w.webbing_class for w in shop.webbings if w.fibre == spec.fibre})
    found: dict[SlingSpec, tuple[int, float, float, str]] = {}
    for form in forms:
        for webbing_class in classes:
            for width_m in shop_widths_m(shop, spec.fibre, webbing_class):
                for plies in shop.plies:
                    near = replace(
                        spec, form=form, webbing_class=webbing_class, plies=plies, width_m=width_m, eye_m=0.0
                    )
                    for one in _lengths(shop, near, spec):
                        found[one] = _distance(one, spec)
    passed = (one for one in sorted(found, key=lambda s: found[s]) if keep(one))
    return tuple(one for one, _ in zip(passed, range(most), strict=False))


def _lengths(shop: Shop, near: SlingSpec, asked: SlingSpec) -> Iterator[SlingSpec]:
    """The make with the length asked for, or the nearest that some loft sews."""
    row = shop.eye_row(near.width_m, near.plies)
    if row is None:
        return
    eyed = replace(near, eye_m=(asked.eye_m or row.eye_m) if near.form.has_eyes else 0.0)
    least_m = least_length_m(shop, eyed.form, eyed.width_m, eyed.plies, eyed.eye_m or None)
    if isinstance(least_m, Refusal):
        return
    step_um = length_um(shop.practice.length_step_m)
    shortest_m = grid_length_m(shop, -(-length_um(least_m) // step_um))
    for loft in shop.lofts:
        length_m = min(max(asked.length_m, shortest_m, loft.min_length_m), loft.max_length_m)
        one = replace(eyed, length_m=length_m)
        if not isinstance(buildable_spec(shop, one), Refusal):
            yield one


def _distance(one: SlingSpec, asked: SlingSpec) -> tuple[int, float, float, str]:
    changed = (
        (one.form != asked.form)
        + (one.webbing_class != asked.webbing_class)
        + (one.plies != asked.plies)
        + (abs(one.width_m - asked.width_m) > 1e-6)
        + (abs(one.length_m - asked.length_m) > 1e-6)
    )
    width = abs(one.width_m - asked.width_m) / asked.width_m
    return changed, width + abs(one.plies - asked.plies), abs(one.length_m - asked.length_m), one.text
