"""The reference page of the findings says what the tests run."""

from __future__ import annotations

from slingwright.check import CODES
from tools import findings_table


def test_page_is_what_the_tool_prints() -> None:
    assert findings_table.PAGE.read_text("utf-8") == findings_table.page(), "run tools/findings_table.py"


def test_page_has_every_rule_and_every_limit_its_source_asks_for() -> None:
    page = findings_table.page()
    for rule in CODES:
        assert f"\n## {rule}\n" in page
        source = (findings_table.RULES / f"{rule.replace('-', '_')}.py").read_text("utf-8")
        for name in findings_table.limits_of(source):
            assert f"| `{name}` |" in page


def test_limits_are_read_from_the_source() -> None:
    source = 'def check(b):\n    return b.limit("a_deg"), _limit(b, "b_m"), b.limit("a_deg"), b.other("c")\n'
    assert findings_table.limits_of(source) == ["a_deg", "b_m"]
