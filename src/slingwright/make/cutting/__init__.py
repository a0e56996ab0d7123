"""The cut plan: pieces of several orders from the rolls and remnants of a webbing, proved least dear.

Importing this room brings in only types and readers; `solve` brings numba and HiGHS and is imported late.
"""

from slingwright.make.cutting.answer import SCHEMA, cut_answer, plan_body
from slingwright.make.cutting.document import CutRequest, parse_cut, read_cut_text
from slingwright.make.cutting.plan import CutPlan, MountedRoll, Scrap
from slingwright.make.cutting.problem import CutProblem, Piece, Practice, Stock

__all__ = [
    "SCHEMA",
    "CutPlan",
    "CutProblem",
    "CutRequest",
    "MountedRoll",
    "Piece",
    "Practice",
    "Scrap",
    "Stock",
    "cut_answer",
    "parse_cut",
    "plan_body",
    "read_cut_text",
]
