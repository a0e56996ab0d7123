"""Figures stay with their units where a line ends, in what a page says and not in what somebody typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.usecases.settings import resolve_settings
from slingwright.words.figures import hold_figures

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"


@pytest.mark.parametrize(
    ("plain", "kept"),
    [
        ("reserve 10 %; 135.20 USD", "reserve 10_%; 135.20_USD"),
        (
            "4 × endless, class 7, 1 ply, 6 ft 6 1/2 in",
            "4_×_endless, class_7, 1_ply, 6_ft_6_1/2_in",
        ),
        ("clase 7, 2 capas; ± 1 in; 20 °F", "clase_7, 2_capas; ±_1_in; 20_°F"),
        ("at -40 °F, (-5 °C), 2026-03-02, 9-5.8", "at −40_°F, (−5_°C), 2026-03-02, 9-5.8"),
        ("OSHA 29 CFR 1910.184, 4 slings in all, 3 legs", "OSHA 29_CFR_1910.184, 4 slings in all, 3 legs"),
        ("by EN 1492-1; lista en 2 días laborables", "by EN_1492-1; lista en 2_días laborables"),
        ("ready in 1 working day, 3 days", "ready in 1_working day, 3_days"),
        ("5.35 tonne, 3 tonnes, 1 MB, 2 t", "5.35_tonne, 3_tonnes, 1_MB, 2_t"),
        ("two 2 into one; a 3 m-wide gap", "two 2 into one; a 3 m-wide gap"),
    ],
)
def test_a_figure_and_its_unit_are_one(plain: str, kept: str) -> None:
    assert hold_figures(plain) == kept.replace("_", "\u00a0")


@pytest.fixture
def client() -> Iterator[TestClient]:
    settings = resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent)
    with TestClient(create_app(settings)) as client:
        yield client


def test_an_answer_breaks_no_figure_and_leaves_alone_what_was_typed(client: TestClient) -> None:
    page = client.get("/example/chiller").text
    answer = page[page.index('<div id="answer"') : page.index('<div class="said"')]
    told = re.sub(r"<svg.*?</svg>|<[^>]*>", " ", answer, flags=re.DOTALL)
    assert re.findall(r"\d (?:ft|in|USD)(?!\w)", told) == []
    assert 'value="11 800 lb"' in page
    assert "\u00a0" not in page[page.index('<textarea id="text"') :].partition("</textarea>")[0]
