"""The price of a whole block of lengths: one make, any length, no rebuilding.

The search opens candidates in the order of their price, so it asks for a price some million times. A
`PriceLine` keeps the layout's straight lines as whole numbers and redoes only the arithmetic: the same
whole numbers as `price_sling`, bit for bit. It never falls as the length grows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from slingwright.make.bill import SECONDS_AN_HOUR, fixed_mass_kg, guard_count, guard_for
from slingwright.make.bill import mass_kg as mass_of
from slingwright.make.layout import Layout, Make, lay_out
from slingwright.price.book import PriceBook
from slingwright.shop import Fitting, Guard, Loft, Protection, Refusal, Shop, least_length_m, length_um
from slingwright.shop.space import loft_reaches, loft_takes
from slingwright.sling import Fibre, Form, Webbing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["PriceLine", "price_line"]

_UM = length_um(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """Price, mass and promise of one make and protection as functions of the length.

    `least_length_m` is the pattern's; the functions below do not ask for it. `lofts` are those that take the
    make, soonest ready first; each has its own shortest and longest sling.
    """

    make: Make
    protection: Protection
    currency: str
    least_length_m: float
    lofts: tuple[Loft, ...]
    parts: tuple[tuple[int, int, int], ...]  # count, slope, micrometres less one millimetre's rounding
    seam: tuple[int, int]
    thread: tuple[int, int]  # numerator and denominator of the thread's millimetres in a seam's micrometres
    rates: tuple[int, int, int, int]  # webbing and thread a metre, labour an hour, seam seconds a metre
    fixed: tuple[int, int, int]  # minor units of fittings and label, fixed labour seconds, protection
    markup: tuple[int, int]
    minimum: int
    webbing: Webbing
    shop: Shop
    fixed_kg: float

    @property
    def guard_minor(self) -> int:
        """What protects a sling costs [minor units], at any length."""
        return self.fixed[2]

    def minor(self, length_m: float) -> int:
        """The price [minor units] of a sling of this length."""
        return self.minor_um(round(length_m * _UM))

    def minor_um(self, sling_um: int) -> int:
        """The price [minor units] of a sling of this length in whole micrometres."""
        own: int = self._marked_up(sling_um)
        return (own if own > self.minimum else self.minimum) + self.fixed[2]

    def minors_um(self, slings_um: NDArray[np.int64]) -> NDArray[np.int64]:
        """The prices [minor units] of slings of these lengths [µm], shape (n,), all at once."""
        import numpy as np  # late: a single price needs no arrays

        priced: NDArray[np.int64] = np.maximum(self._marked_up(slings_um), self.minimum) + self.fixed[2]
        return priced

    def _marked_up(self, sling_um: Any) -> Any:
        """Material, work and markup; one whole number in, one out, or an array of them."""
        web_mm = 0 * sling_um
        for count, slope, um in self.parts:
            web_mm += count * ((slope * sling_um + um) // 1000)
        seam = self.seam[0] * sling_um + self.seam[1]
        over, under = self.thread
        thread_mm = -(-seam * over // under)
        per_m, thread_per_m, per_hour, seam_s = self.rates
        fixed, fixed_s, _ = self.fixed
        labour_s = fixed_s - (-seam * seam_s // _UM)
        own = (
            fixed
            + (2 * web_mm * per_m + 1000) // (2 * 1000)
            + (2 * thread_mm * thread_per_m + 1000) // (2 * 1000)
            + (2 * labour_s * per_hour + SECONDS_AN_HOUR) // (2 * SECONDS_AN_HOUR)
        )
        up, down = self.markup
        return own + (2 * own * up + down) // (2 * down)

    def mass_kg(self, length_m: float) -> float:
        """The mass [kg] of a sling of this length, protection included."""
        kg: float = self._mass_um(round(length_m * _UM))
        return kg

    def masses_kg_um(self, slings_um: NDArray[np.int64]) -> NDArray[np.float64]:
        """The masses [kg] of slings of these lengths [µm], shape (n,), all at once."""
        kg: NDArray[np.float64] = self._mass_um(slings_um)
        return kg

    def _mass_um(self, sling_um: Any) -> Any:
        web_mm = sum(count * ((slope * sling_um + um) // 1000) for count, slope, um in self.parts)
        seam = self.seam[0] * sling_um + self.seam[1]
        seam_thread_mm = -(-seam * self.thread[0] // self.thread[1])
        return mass_of(self.webbing, self.shop.sewing, web_mm, seam_thread_mm, self.fixed_kg)

    def ready_in_days(self, length_m: float) -> int | None:
        """Working days until it is ready at the soonest loft; None where no loft sews this length."""
        for loft in self.lofts:
            if loft_reaches(loft, length_m):
                return loft.days
        return None


def price_line(
    form: Form,
    fibre: Fibre,
    webbing_class: int,
    plies: int,
    width_m: float,
    protection: Protection,
    book: PriceBook,
    shop: Shop,
    *,
    guard_pieces: int | None = None,
) -> PriceLine | Refusal:
    """Price a made sling of the shop's own eye as a function of its length, or say what is missing.

    Parameters
    ----------
    form, fibre, webbing_class, plies, width_m
        The sling without its length.
    protection, guard_pieces
        What protects it and with how many pieces; the shop's usual number where left out.
    book, shop
        Rates and practice.
    """
    make = (form, fibre, webbing_class, plies, width_m)
    layout = lay_out(shop, make)
    if isinstance(layout, Refusal):
        return layout
    guard = guard_for(shop, protection, layout.webbing.width_m)
    least = least_length_m(shop, form, width_m, plies)
    if isinstance(least, Refusal):
        return least
    if isinstance(guard, Refusal):
        return guard
    rates = _rates(layout, guard, book, protection)
    if isinstance(rates, Refusal):
        return rates
    per_m, fittings, each = rates
    pieces, ratio = guard_count(guard, guard_pieces), shop.sewing.thread_ratio
    totals = [(part.count, part.total) for part in layout.parts]
    able = [loft for loft in shop.lofts if plies in shop.plies and loft_takes(loft, make)]
    return PriceLine(
        make=make,
        protection=protection,
        currency=book.currency,
        least_length_m=least,
        lofts=tuple(sorted(able, key=lambda loft: (loft.days, loft.id))),
        parts=tuple((count, total.slope, total.um + 1000 - 1) for count, total in totals),
        seam=(layout.seam.slope, layout.seam.um),
        thread=(ratio.numerator, 1000 * ratio.denominator),
        rates=(per_m, book.thread_per_m, book.labour_per_hour, shop.sewing.seam_s_per_m),
        fixed=(fittings + book.label_each, layout.fixed_labour_s, pieces * each),
        markup=(book.markup.numerator, book.markup.denominator),
        minimum=book.minimum_per_sling,
        webbing=layout.webbing,
        shop=shop,
        fixed_kg=fixed_mass_kg(layout, shop, guard, pieces),
    )


def _rates(
    layout: Layout, guard: Guard | None, book: PriceBook, protection: Protection
) -> tuple[int, int, int] | Refusal:
    """Rate of a metre of webbing, of the fittings together, of a piece of protection."""
    web = layout.webbing
    per_m = book.webbing_per_m.get((web.fibre, web.webbing_class, web.width_m))
    if per_m is None:
        return Refusal(code="no-price", subject="webbing", figure=web.width_m, unit="m")
    fittings = 0
    for fitting in layout.fittings:
        rate = _fitting_rate(fitting, book)
        if isinstance(rate, Refusal):
            return rate
        fittings += rate
    each = 0 if guard is None else book.protection_rate(protection, web.width_m)
    if each is None:
        return Refusal(code="no-price", subject=str(protection), figure=web.width_m, unit="m")
    return per_m, fittings, each


def _fitting_rate(fitting: Fitting, book: PriceBook) -> int | Refusal:
    each = book.fitting_each.get((fitting.kind, fitting.width_m))
    if each is None:
        return Refusal(code="no-price", subject=str(fitting.kind), figure=fitting.width_m, unit="m")
    return each
