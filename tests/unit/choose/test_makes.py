"""A make that comes from another process is found in this one's tables."""

from __future__ import annotations

import pickle

from slingwright.choose.makes import Make
from slingwright.sling import Fibre, Form


def _make(plies: int = 2) -> Make:
    return Make(form=Form.ENDLESS, fibre=Fibre.POLYESTER, webbing_class=7, plies=plies, width_m=0.0508)


def test_a_make_sent_from_a_process_that_hashes_otherwise_is_the_same_make() -> None:
    sent = _make()
    object.__setattr__(sent, "_hash", 1)  # as another process has it
    come = pickle.loads(pickle.dumps(sent))
    assert come == _make()
    assert {_make(): "found"}[come] == "found"


def test_makes_that_differ_are_told_apart() -> None:
    assert len({_make(1), _make(2), _make(2)}) == 2
