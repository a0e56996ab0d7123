"""What the shop can build: which lofts, how short, by what step. A no is a value that says why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from slingwright.shop.model import EyeRow, Loft, Shop
from slingwright.shop.sewing import Fitting, FittingKind
from slingwright.sling import Fibre, Form, SlingSpec

__all__ = [
    "END_FITTINGS",
    "Refusal",
    "buildable",
    "buildable_spec",
    "end_fittings",
    "grid_length_m",
    "grid_steps",
    "least_length_m",
    "length_um",
    "loft_reaches",
    "loft_takes",
    "shop_widths_m",
    "spec_for",
]

_UM = 1_000_000  # micrometres in a metre: the whole-number grid on which lengths are exact

END_FITTINGS = {
    Form.TRIANGLE_CHOKER: (FittingKind.TRIANGLE, FittingKind.CHOKER_TRIANGLE),
    Form.TRIANGLE_TRIANGLE: (FittingKind.TRIANGLE, FittingKind.TRIANGLE),
}
"""The end fittings of each form that has any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a sling cannot be made or priced, as codes and figures.

    Codes: `form-not-sewn`, `webbing-not-kept`, `plies-not-built`, `no-eye-row`, `no-fitting`, `too-short`,
    `no-loft`, `no-price`, `protection-not-sold`, `protection-too-wide`. `nearest` holds the nearest figures
    that would do, in the unit of `figure`; `lofts` each loft with its own first reason (`form`, `fibre`,
    `class`, `width`, `plies`, `short`, `long`).
    """

    code: str
    figure: float | None = None
    limit: float | None = None
    unit: str = ""
    nearest: tuple[float, ...] = ()
    lofts: tuple[tuple[str, str], ...] = ()
    subject: str = ""


def length_um(length_m: float) -> int:
    """A length in whole micrometres, the exact figure that patterns and prices count in."""
    return round(length_m * _UM)


def grid_length_m(shop: Shop, steps: int) -> float:
    """The length [m] of so many of the shop's length steps, the same bits as the length read from a file."""
    return steps * length_um(shop.practice.length_step_m) / _UM


def grid_steps(shop: Shop, low_m: float, high_m: float) -> range:
    """The step counts whose made lengths lie from `low_m` to `high_m`, both included."""
    step = length_um(shop.practice.length_step_m)
    return range(-(-length_um(low_m) // step), length_um(high_m) // step + 1)


def shop_widths_m(shop: Shop, fibre: Fibre, webbing_class: int) -> tuple[float, ...]:
    """The widths the shop keeps of this fibre and class, narrow first."""
    return tuple(
        sorted(w.width_m for w in shop.webbings if (w.fibre, w.webbing_class) == (fibre, webbing_class))
    )


def end_fittings(shop: Shop, form: Form, width_m: float) -> tuple[Fitting, ...] | None:
    """The two end fittings of a form, () for a form without any, None where the shop lacks one."""
    found = [shop.sewing.fitting(kind, width_m) for kind in END_FITTINGS.get(form, ())]
    kept = tuple(f for f in found if f is not None)
    return kept if len(kept) == len(found) else None


def least_length_m(
    shop: Shop, form: Form, width_m: float, plies: int, eye_m: float | None = None
) -> float | Refusal:
    """The shortest sling [m] the pattern allows: ends, laps and a clear body.

    Common practice, no source: two eyes, two laps and a clear body of some widths that also holds the label
    (an endless sling: one lap and the clear body on one side, so that the splice keeps off hook and load).

    Parameters
    ----------
    shop, form, width_m, plies
        The sling; the eye is the shop's own unless `eye_m` says otherwise.
    """
    row = shop.eye_row(width_m, plies)
    fittings = end_fittings(shop, form, width_m)
    if form is Form.RETURN_EYE:
        return Refusal(code="form-not-sewn", subject=str(form))
    if row is None:
        return Refusal(code="no-eye-row", figure=width_m, unit="m")
    if fittings is None:
        return Refusal(code="no-fitting", figure=width_m, unit="m")
    clear = max(length_um(shop.practice.min_body_widths * width_m), length_um(shop.practice.label_m))
    if form is Form.ENDLESS:
        return (length_um(row.lap_m) + clear) / _UM
    if form.has_eyes:
        return (2 * length_um(eye_m or row.eye_m) + 2 * length_um(row.lap_m) + clear) / _UM
    ends = sum(length_um(f.reach_m) + length_um(f.bar_m) for f in fittings)
    return (ends + 2 * length_um(shop.sewing.throat_m) + 2 * length_um(row.lap_m) + clear) / _UM


def buildable(
    shop: Shop, form: Form, fibre: Fibre, webbing_class: int, plies: int, width_m: float, length_m: float
) -> tuple[Loft, ...] | Refusal:
    """The lofts that can sew this sling with the shop's own eye, soonest ready first; or why none can."""
    return _lofts(shop, (form, fibre, webbing_class, plies, width_m), length_m, None)


def buildable_spec(shop: Shop, spec: SlingSpec) -> tuple[Loft, ...] | Refusal:
    """The lofts that can sew this sling, with the eye its specification asks for; or why none can."""
    make = (spec.form, spec.fibre, spec.webbing_class, spec.plies, spec.width_m)
    return _lofts(shop, make, spec.length_m, spec.eye_m or None)


Make = tuple[Form, Fibre, int, int, float]


def _lofts(shop: Shop, make: Make, length_m: float, eye_m: float | None) -> tuple[Loft, ...] | Refusal:
    form, fibre, webbing_class, plies, width_m = make
    if shop.webbing(fibre, webbing_class, width_m) is None:
        kept = shop_widths_m(shop, fibre, webbing_class)
        near = tuple(sorted(sorted(kept, key=lambda w: abs(w - width_m))[:2]))
        return Refusal(code="webbing-not-kept", figure=width_m, unit="m", nearest=near)
    if plies not in shop.plies:
        return Refusal(code="plies-not-built", figure=plies, nearest=tuple(map(float, shop.plies)))
    least = least_length_m(shop, form, width_m, plies, eye_m)
    if isinstance(least, Refusal):
        return least
    if length_um(length_m) < length_um(least):
        steps = -(-length_um(least) // length_um(shop.practice.length_step_m))
        near = (grid_length_m(shop, steps),)
        return Refusal(code="too-short", figure=length_m, limit=least, unit="m", nearest=near)
    reasons = [(loft, next(_loft_reasons(loft, make, length_m), None)) for loft in shop.lofts]
    able = sorted((loft for loft, reason in reasons if reason is None), key=lambda loft: (loft.days, loft.id))
    if able:
        return tuple(able)
    return _no_loft(length_m, [(loft, reason) for loft, reason in reasons if reason is not None])


def _loft_reasons(loft: Loft, make: Make, length_m: float) -> Iterator[str]:
    form, fibre, webbing_class, plies, width_m = make
    checks = {
        "form": form in loft.forms,
        "fibre": fibre in loft.fibres,
        "class": webbing_class in loft.classes,
        "width": width_m < loft.max_width_m + 1e-6,  # as `same_width`
        "plies": plies <= loft.max_plies,
        "short": length_m > loft.min_length_m - 1e-6,
        "long": length_m < loft.max_length_m + 1e-6,
    }
    return (reason for reason, passed in checks.items() if not passed)


def loft_reaches(loft: Loft, length_m: float) -> bool:
    """Whether a loft sews slings of this length."""
    return loft.min_length_m - 1e-6 < length_m < loft.max_length_m + 1e-6


def loft_takes(loft: Loft, make: Make) -> bool:
    """Whether a loft sews this make at all, its shortest and longest sling apart."""
    return next(_loft_reasons(loft, make, loft.min_length_m), None) is None


def _no_loft(length_m: float, reasons: list[tuple[Loft, str]]) -> Refusal:
    """Each loft's reason, and the nearest length some loft would sew where length is all that fails."""
    ends = [loft.min_length_m for loft, reason in reasons if reason == "short"]
    ends += [loft.max_length_m for loft, reason in reasons if reason == "long"]
    near = min(ends, key=lambda end: abs(end - length_m), default=None)
    return Refusal(
        code="no-loft",
        figure=length_m if near is not None else None,
        limit=near,
        unit="m" if near is not None else "",
        nearest=() if near is None else (near,),
        lofts=tuple((loft.id, reason) for loft, reason in reasons),
    )


def spec_for(
    shop: Shop, form: Form, fibre: Fibre, webbing_class: int, plies: int, width_m: float, length_m: float
) -> SlingSpec:
    """The specification of such a sling with the shop's own eye. Ask `buildable` first.

    Raises
    ------
    LookupError
        A form with eyes for which the shop has no eye row (`buildable` answers that with a refusal).
    """
    row: EyeRow | None = shop.eye_row(width_m, plies)
    if row is None and form.has_eyes:
        msg = f"no eye row for {width_m} m in {plies} plies"
        raise LookupError(msg)
    return SlingSpec(
        form=form,
        fibre=fibre,
        webbing_class=webbing_class,
        plies=plies,
        width_m=width_m,
        length_m=length_m,
        eye_m=row.eye_m if row is not None and form.has_eyes else 0.0,
    )
