"""What leaves the command line: documents, text, faults."""

from __future__ import annotations

import json
import math

import pytest

from slingwright.cli.show import fault_document, fault_text, print_document, print_fault
from slingwright.errors import Fault, InputFault

TWO = InputFault([Fault("load.weight", "must be above 0", "give 5 t"), Fault("", "no hook", "")])


def test_fault_document_is_the_contracts_with_the_first_fault_on_top() -> None:
    first = {"field": "load.weight", "problem": "must be above 0", "hint": "give 5 t"}
    second = {"field": "", "problem": "no hook", "hint": ""}
    assert fault_document(TWO) == {"schema": "slingwright/fault/1", **first, "faults": [first, second]}


def test_fault_text_gives_each_fault_a_line_and_its_hint_below() -> None:
    assert fault_text(TWO) == "load.weight: must be above 0\n    give 5 t\nno hook"


def test_faults_go_to_stderr_as_words_and_to_stdout_as_a_document(capfd: pytest.CaptureFixture[str]) -> None:
    print_fault(TWO, as_json=False)
    seen = capfd.readouterr()
    assert seen.out == ""
    assert "load.weight" in seen.err
    print_fault(TWO, as_json=True)
    seen = capfd.readouterr()
    assert json.loads(seen.out)["faults"][1]["problem"] == "no hook"
    assert seen.err == ""


def test_a_document_is_utf_8_and_its_letters_stay_readable(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    print_document({"text": "2 × 60°"})
    assert capfdbinary.readouterr().out == '{\n  "text": "2 × 60°"\n}\n'.encode()


def test_a_figure_that_is_no_number_is_never_printed(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(ValueError, match="JSON"):
        print_document({"tension_n": math.nan})
    assert capfd.readouterr().out == ""
