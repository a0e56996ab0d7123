"""Slings without a length, and what may lie between them and the load: the shop's part of the space."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from slingwright.arrangement import Arrangement
from slingwright.shop import Protection, Shop, spec_for
from slingwright.sling import Fibre, Form, Hitch, SlingSpec

__all__ = ["FORMS_BY_USE", "Make", "makes", "protections_for"]

# Form by use before price (PRACTICE): what a crew would take for this hitch at all
FORMS_BY_USE: dict[Hitch, tuple[Form, ...]] = {
    Hitch.VERTICAL: (Form.FLAT_EYE, Form.TWISTED_EYE, Form.ENDLESS),
    Hitch.BASKET: (Form.FLAT_EYE, Form.ENDLESS, Form.TRIANGLE_TRIANGLE, Form.TRIANGLE_CHOKER),
    Hitch.CHOKER: (Form.TWISTED_EYE, Form.ENDLESS, Form.TRIANGLE_CHOKER),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """A sling without its length: form, fibre, class, plies, width."""

    form: Form
    fibre: Fibre
    webbing_class: int
    plies: int
    width_m: float
    _hash: int = field(init=False, repr=False, compare=False)  # asked for at every look into a table

    def __post_init__(self) -> None:
        object.__setattr__(
            self, "_hash", hash((self.form, self.fibre, self.webbing_class, self.plies, self.width_m))
        )

    def __hash__(self) -> int:
        return self._hash

    def __reduce__(self) -> tuple[Callable[..., Make], tuple[object, ...]]:
        """Made anew where it is sent to: another process hashes a text otherwise."""
        return _made_anew, (self.form, self.fibre, self.webbing_class, self.plies, self.width_m)

    @classmethod
    def of(cls, spec: SlingSpec) -> Make:
        """The make of a sling."""
        return cls(
            form=spec.form,
            fibre=spec.fibre,
            webbing_class=spec.webbing_class,
            plies=spec.plies,
            width_m=spec.width_m,
        )

    def spec(self, shop: Shop, length_m: float = 1.0) -> SlingSpec:
        """The specification at a length (any length has the same table cell)."""
        return spec_for(shop, self.form, self.fibre, self.webbing_class, self.plies, self.width_m, length_m)


def _made_anew(form: Form, fibre: Fibre, webbing_class: int, plies: int, width_m: float) -> Make:
    return Make(form=form, fibre=fibre, webbing_class=webbing_class, plies=plies, width_m=width_m)


def makes(shop: Shop, hitch: Hitch) -> Iterator[Make]:
    """Every make of the shop that a crew would take for this hitch, in a fixed order."""
    for form in FORMS_BY_USE[hitch]:
        if not any(form in loft.forms for loft in shop.lofts):
            continue
        for w in shop.webbings:
            for plies in shop.plies:
                if form.has_eyes and shop.eye_row(w.width_m, plies) is None:
                    continue
                yield Make(
                    form=form, fibre=w.fibre, webbing_class=w.webbing_class, plies=plies, width_m=w.width_m
                )


def protections_for(shop: Shop, arrangement: Arrangement) -> tuple[Protection, ...]:
    """What may lie between sling and load: nothing at pick points, the shop's range round a load."""
    if all(h.round is None for h in arrangement.main):
        return (Protection.NONE,)
    return (Protection.NONE, *(p for p in shop.protections if p is not Protection.NONE))
