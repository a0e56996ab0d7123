"""Where a rule without a number of its own comes from. Every number is in the rulebook's data instead."""

from __future__ import annotations

from slingwright.citation import Citation, Known

__all__ = [
    "ADOPTION",
    "AT_SEA",
    "BEAM_PLATE",
    "CHOKE_ON_BODY",
    "FORM_BY_USE",
    "HOOK_LOAD",
    "HOOK_PLATE",
    "LOAD_FREE",
    "LOAD_KNOWN",
    "LOOSE_BUNDLE",
    "LUG_RATING",
    "NOT_CUT_PROOF",
    "ONE_KIND",
    "PURPOSE",
    "SERVICE",
    "SHACKLE",
    "SHOP_PATTERN",
    "STATICS",
    "TRIANGLES",
    "WANTED_ANGLE",
    "WANTED_LEVEL",
    "WRONG_TOOL",
    "stated",
]

_REVIEW = "rigging trade practice"


def stated(field: str) -> Citation:
    """The lift file's own words at this field: the buyer's wish or statement is the source."""
    return Citation(document="the lift file", clause=field, known=Known.READ)


def _practice(clause: str, note: str = "") -> Citation:
    return Citation(document=_REVIEW, clause=clause, known=Known.PRACTICE, note=note)


WANTED_LEVEL = stated("want.level_within")
WANTED_ANGLE = stated("want.least_angle")
HOOK_PLATE = stated("hook.capacity")
LUG_RATING = stated("load.pick_point.rated")
BEAM_PLATE = stated("beam")
STATICS = Citation(
    document="statics: rigid bodies on tension-only elastic slings",
    clause="equilibrium, its stability and reach",
    known=Known.DERIVED,
)
SHOP_PATTERN = Citation(
    document="the shop's practice and its lofts' limits",
    clause="eyes, laps and clear body of the pattern",
    known=Known.SHOP,
)
PURPOSE = _practice(
    "overhead lift only; towing, tie-down and people are refused", "other rules and factors govern them"
)
AT_SEA = _practice("a dynamic factor for marine lifts; offshore lifts are refused")
LOAD_FREE = _practice("stuck, suction, contents, ice; no shock")
LOAD_KNOWN = Citation(
    document="DOE-STD-1090-96",
    edition="Rev 1",
    clause="12.1: weight from marks, scales, drawings or dimensions; centre found as well as possible",
    known=Known.READ,
    note="an estimate or an unknown centre: planning only, trial lift (rigging trade practice)",
)
HOOK_LOAD = _practice("hook load: load, slings, hardware and beam together")
SHACKLE = _practice("a plate or lug edge takes a shackle, never web")
NOT_CUT_PROOF = _practice("no protection makes a sling cut-proof: trial lift, lower, inspect")
LOOSE_BUNDLE = _practice("a loose bundle takes two double-wrap chokers")
CHOKE_ON_BODY = Citation(
    document="WSTDA, by an unnamed trade text",
    clause="choke on the body, never on eye, label or splice",
    known=Known.SECONDARY,
    note="trade text T11",
)
TRIANGLES = Citation(
    document="WSTDA-WS-1",
    clause="type II, a plain triangle at both ends, is not made to choke",
    known=Known.MEMORY,
)
FORM_BY_USE = _practice("form by use before price; a splice stays off hook and load")
ONE_KIND = _practice(
    "never legs of mixed fibre, class, plies or width; unequal lengths only as a marked bridle"
)
ADOPTION = _practice("a rated-load table is adopted by the shop's qualified person, not assumed")
WRONG_TOOL = _practice("another family of sling may suit where webbing does not; it is not rated here")
SERVICE = Citation(
    document="ASME B30.9",
    clause="9-5.9.3: periodic inspection by service; WAC 296-155-55820 (2)",
    known=Known.READ,
    note="what normal, severe and special mean: ASME 9-0, from memory",
)
