"""What every published example is put through: the product's own rulebooks and rating rules."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from slingwright.citation import Citation, Known
from slingwright.rulebook import RatedCell, Rulebook, load_rulebook
from slingwright.rulebook.rate import RateRules
from slingwright.rulebook.rated import make_cell


@pytest.fixture(scope="session")
def us() -> Rulebook:
    """The US rulebook."""
    return load_rulebook("us")


@pytest.fixture(scope="session")
def en() -> Rulebook:
    """The European rulebook."""
    return load_rulebook("en")


@pytest.fixture(scope="session")
def printed_leg() -> Callable[..., RatedCell]:
    """A leg rated as the source prints it, as a cell that the rating rules take like any other."""

    def make(rated: str, unit: str = "lb", *, choker: str | None = None) -> RatedCell:
        return make_cell(
            "printed",
            plies=1,
            width=Fraction(1),
            width_unit="in",
            units=Fraction(rated),
            unit=unit,
            citation=Citation(document="published example", known=Known.READ),
            proposable=False,
            choker_units=None if choker is None else Fraction(choker),
        )

    return make


@pytest.fixture(scope="session")
def by_the_pound(us: Rulebook) -> RateRules:
    """US rating rules that round down to single pounds, as the sheets print; the product's step is ten."""
    return replace(us.rules, step=Fraction(1))
