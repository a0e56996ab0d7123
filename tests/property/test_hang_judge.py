"""MuJoCo rebuilds random problems of every kind from the printed JSON alone and must agree."""

import json

import numpy as np
import pytest

from slingwright.hang.document import hang_to_document, problem_from_document
from slingwright.hang.solve import solve
from tests.judge.engine import compare
from tests.judge.generate import KINDS, random_problem

EACH = 6


def _printed(kind, seed):
    doc = json.loads(json.dumps(random_problem(kind, np.random.default_rng([seed, KINDS.index(kind)]))))
    return doc, json.loads(json.dumps(hang_to_document(solve(problem_from_document(doc)))))


@pytest.mark.parametrize("seed", range(EACH))
@pytest.mark.parametrize("kind", KINDS)
def test_the_outside_engine_agrees(kind, seed):
    doc, answer = _printed(kind, seed)
    verdict = compare(doc, answer)
    assert verdict.disagreements == []


def test_all_kinds_and_verdicts_are_among_them():
    answers = [_printed(kind, seed)[1] for kind in KINDS for seed in range(EACH)]
    assert len(answers) >= 40
    assert {"stable", "capsizes"} <= {a["status"] for a in answers}
    assert any(p["slack"] for a in answers for p in a["paths"])


@pytest.mark.parametrize(
    ("kind", "key", "factor"),
    [
        ("bridle", "rated_n", 0.8),
        ("uneven", "length_m", 1.01),
        ("renders", "strain_at_rated", 2.0),
        ("beam", "rated_n", 2.0),
    ],
)
def test_a_planted_error_is_caught(kind, key, factor):
    """A stiffness from 0.8 or 2 times the rated load, a leg one per cent longer than said."""
    doc, answer = _printed(kind, 0)
    doc["paths"][0][key] *= factor
    assert compare(doc, answer).disagreements


def test_an_upright_answer_to_a_load_that_capsizes_is_caught():
    seed = next(s for s in range(50) if _printed("tall", s)[1]["status"] == "capsizes")
    doc, answer = _printed("tall", seed)
    answer["status"] = "stable"
    assert compare(doc, answer).disagreements
