"""What rules that need no hang are asked once for many is what they say of each."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from slingwright.check import (
    bend,
    chemicals,
    choke,
    edge,
    eye_fit,
    form_for_use,
    long_load,
    loose_bundle,
    table,
    temperature,
    tilt,
    wet,
)
from slingwright.check.finding import Outcome
from slingwright.choose.figures import hangless_facts
from slingwright.choose.hangless import LONGEST_M, Hangless
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from tests.lifts import read_document
from tests.shops import harrow_quay, harrow_quay_prices

# in the order of the checks
_RULES = tuple(
    rule.check
    for rule in (
        table,
        temperature,
        chemicals,
        form_for_use,
        choke,
        loose_bundle,
        long_load,
        edge,
        bend,
        eye_fit,
        wet,
        tilt,
    )
)


def _setting(document: dict[str, Any]) -> Setting:
    lift = read_document(document)
    return Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=draw(1),
    )


def _lift_document(shape: str, across: str, **load: object) -> dict[str, Any]:
    """A load that slings can go round."""
    sizes = {"diameter": across} if shape == "bundle" else {"width": across, "height": across}
    half = f"{float(across.split()[0]) / 2} in"
    return {
        "load": {
            "weight": "1500 lb",
            "known_by": "scale",
            "shape": shape,
            "length": "90 in",
            **sizes,
            "centre_of_gravity": ["45 in", half, half],
            "centre_tolerance": "1/2 in",
            "edge_radius": "3/4 in",
            "surface": 0.35,
            "choke_angle": "free",
            "surface_temperature": "80 °F",
            **load,
        },
        "hook": {"headroom": "200 in", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": "5 deg"},
    }


@pytest.mark.parametrize(
    "document",
    [
        _lift_document("box", "3 in"),  # a choke whose eye lies on its bite, unless it goes round twice
        _lift_document("bundle", "9 in", loose=True),  # gripped by chokers alone
        _lift_document("box", "24 in", length="300 in", centre_of_gravity=["150 in", "12 in", "12 in"]),
    ],
)
def test_what_rules_are_asked_once_is_what_they_say_of_each_source(document: dict[str, Any]) -> None:
    """Every rule asked of every source at every place, first to last, against what is looked up."""
    search = Search(_setting(document))
    setting, hangless = search.setting, Hangless(search.setting, search.space.kept)
    every = [s for g in search.space.groups for _, s in search.sources(g, "price")]
    seen: Counter[str] = Counter()
    for source in every[::3]:
        for way in hangless.ways(source.group):
            probe = hangless.probe(source, int(way.places[0]))
            facts = hangless_facts(setting, probe, source.strong.rated, LONGEST_M)
            found = [f for rule in _RULES for f in rule(facts, setting.rulebook)]
            stop = next((f for f in found if f.outcome is Outcome.STOP), None)
            ruling = hangless.of(source, way)
            assert ruling.stop == stop
            assert stop is not None or ruling.graded == any(f.grades for f in found)
            seen[stop.rule if stop else "graded" if ruling.graded else "clear"] += 1
    assert len(seen) > 1, seen
