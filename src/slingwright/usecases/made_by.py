"""The head of every document: who made it, from what; no clock, no host and no path in it."""

from __future__ import annotations

from collections.abc import Mapping

from slingwright import __version__

__all__ = ["TOOL", "head"]

TOOL = f"slingwright {__version__}"


def head(
    schema: str,
    *,
    rulebook: Mapping[str, object] | None = None,
    shop_sha256: str | None = None,
    price_book: Mapping[str, object] | None = None,
    input_sha256: str | None = None,
    seed: int | None = None,
) -> dict[str, object]:
    """Give `schema` and `made_by`, the first two keys of a document; what played no part is null.

    Parameters
    ----------
    schema
        Name and whole-number version, such as `offers/1`.
    rulebook
        `{id, edition, sha256, profile, adopted}`.
    price_book
        `{version, sha256}`.
    """
    return {
        "schema": f"slingwright/{schema}",
        "made_by": {
            "tool": TOOL,
            "rulebook": rulebook,
            "shop_sha256": shop_sha256,
            "price_book": price_book,
            "input_sha256": input_sha256,
            "seed": seed,
        },
    }
