"""Slings and rulebooks the rulebook's tests ask about."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from slingwright.rulebook import Rulebook, load_rulebook
from slingwright.sling import Fibre, Form, SlingSpec


@pytest.fixture(scope="session")
def us() -> Rulebook:
    """The US rulebook, its own numbers, nothing adopted."""
    return load_rulebook("us")


@pytest.fixture(scope="session")
def en() -> Rulebook:
    """The European rulebook, its own numbers, nothing adopted."""
    return load_rulebook("en")


@pytest.fixture(scope="session")
def make_spec() -> Callable[..., SlingSpec]:
    """A sling by plies and width in inches or millimetres; polyester twisted eye of class 7 unless said."""

    def make(
        plies: int,
        *,
        inches: float | None = None,
        mm: float | None = None,
        form: Form = Form.TWISTED_EYE,
        fibre: Fibre = Fibre.POLYESTER,
        webbing_class: int = 7,
    ) -> SlingSpec:
        width_m = inches * 0.0254 if inches is not None else (mm or 0.0) / 1000
        return SlingSpec(
            form=form,
            fibre=fibre,
            webbing_class=webbing_class,
            plies=plies,
            width_m=width_m,
            length_m=3.0,
            eye_m=0.3 if form.has_eyes else 0.0,
        )

    return make
