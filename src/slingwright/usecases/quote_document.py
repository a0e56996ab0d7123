"""A quote as its document, `slingwright/quote/1`: codes, figures, and the sentences beside them."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from slingwright.usecases.rulebooks import citation_document

if TYPE_CHECKING:
    from slingwright.make.ratings import HitchLoad
    from slingwright.price import Price
    from slingwright.price.quote import QuoteItem, Unquoted
    from slingwright.sling import SlingSpec
    from slingwright.units import Units
    from slingwright.usecases.quote import Quoted

__all__ = ["load_rows", "price_document", "quote_document", "refused_document", "spec_document"]


def quote_document(quoted: Quoted) -> dict[str, Any]:
    """The whole document, head first; what a refusal has none of is null."""
    from slingwright.words.making import making_cautions
    from slingwright.words.quoting import included_texts

    quote, language = quoted.quote, quoted.language
    return {
        **quoted.head,
        "answer": "quote" if quote else "refused",
        "number": quote.number if quote else None,
        "date": quote.on.isoformat() if quote else None,
        "valid_until": quote.valid_until.isoformat() if quote else None,
        "customer": quote.customer if quote else None,
        "lifts": list(quote.lifts) if quote else [],
        "planning_only": quote.planning_only if quote else None,
        "items": [_item(n, i, quoted) for n, i in enumerate(quote.items, start=1)] if quote else [],
        "price": _sum(quote.price_minor, quote.currency) if quote else None,
        "ready_in_days": quote.days if quote else None,
        "included": list(included_texts(quote, quoted.rulebook.id, language=language)) if quote else [],
        "assumptions": list(quoted.assumptions),
        "carried_cautions": list(quoted.carried),
        "stops": list(quoted.stops),
        "refused": [refused_document(n, one, quoted.units, language) for n, one in quoted.refused],
        "cautions": list(making_cautions(language=language)),
    }


def _item(number: int, item: QuoteItem, quoted: Quoted) -> dict[str, Any]:
    from slingwright.words import spec_text
    from slingwright.words.making import sling_code

    asked = item.asked
    return {
        "item": number,
        "spec": spec_document(asked.spec),
        "code": sling_code(asked.spec),
        "text": spec_text(asked.spec, quoted.units, language=quoted.language),
        "quantity": asked.quantity,
        "from": str(asked.supply),
        "stock_id": asked.stock_id,
        "loft": item.loft.id if item.loft else None,
        "protection": str(asked.protection),
        "protection_pieces": item.bill.guard_pieces,
        "matched_set": asked.matched,
        "length_tolerance_m": item.tolerance_m,
        "rated_loads": load_rows(item.loads),
        "each": price_document(item.each),
        "price": price_document(item.price),
        "breaks": [
            {"quantity": one.quantity, "price_minor": one.price_minor, "currency": item.price.currency}
            for one in item.breaks
        ],
        "mass_kg": item.bill.mass_kg,
        "ready_in_days": item.days,
    }


def load_rows(loads: tuple[HitchLoad, ...]) -> list[dict[str, Any]]:
    """Rated loads in every hitch."""
    return [
        {
            "hitch": str(load.hitch),
            "angle_from_horizontal_deg": load.angle_from_horizontal_deg,
            "rated_n": load.rating.rated_n,
            "printed": load.rating.printed,
            "table": {
                "id": load.rating.cell.table_id,
                "cell": load.rating.cell.cell,
                "adopted": load.rating.adopted,
                "citation": citation_document(load.rating.citation),
            },
        }
        for load in loads
    ]


def price_document(price: Price) -> dict[str, Any]:
    """A price with the lines it is the sum of; quantities as exact fractions."""
    return {
        **_sum(price.price_minor, price.currency),
        "lines": [
            {
                "code": line.code,
                "subject": line.subject,
                "quantity": _fraction(line.quantity),
                "unit": line.unit,
                "rate_minor": line.rate_minor,
                "minor": line.minor,
            }
            for line in price.lines
        ],
    }


def _sum(minor: int, currency: str) -> dict[str, Any]:
    return {"price_minor": minor, "currency": currency, "tax": "excluded"}


def _fraction(value: Fraction) -> str:
    return str(value)


def refused_document(number: int, found: Unquoted, units: Units, language: str) -> dict[str, Any]:
    """Why an item is not quoted, with the nearest that can be."""
    from slingwright.shop import Refusal
    from slingwright.words import spec_text
    from slingwright.words.quoting import unquoted_text

    why = found.refusal
    by_shop = isinstance(why, Refusal)
    return {
        "item": number,
        "spec": spec_document(found.asked.spec),
        "code": why.code if isinstance(why, Refusal) else why.reason,
        "figure": why.figure if isinstance(why, Refusal) else None,
        "limit": why.limit if isinstance(why, Refusal) else None,
        "unit": why.unit if isinstance(why, Refusal) else "",
        "lofts": dict(why.lofts) if isinstance(why, Refusal) else {},
        "by": "shop" if by_shop else "rulebook",
        "text": unquoted_text(found, units, language=language),
        "nearest": [
            {
                "spec": spec_document(item.asked.spec),
                "text": spec_text(item.asked.spec, units, language=language),
                "printed": item.loads[0].rating.printed,
                "price_minor": item.each.price_minor,
                "currency": item.each.currency,
            }
            for item in found.nearest
        ],
    }


def spec_document(spec: SlingSpec) -> dict[str, Any]:
    """A sling that can be ordered."""
    return {
        "form": spec.form.value,
        "fibre": spec.fibre.value,
        "class": spec.webbing_class,
        "plies": spec.plies,
        "width_m": spec.width_m,
        "length_m": spec.length_m,
        "eye_m": spec.eye_m,
    }
