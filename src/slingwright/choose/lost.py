"""What a walk leaves behind: candidates, one or many, and the first thing that each of them failed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from slingwright.check import Finding
from slingwright.choose.candidate import Candidate
from slingwright.choose.space import Entry
from slingwright.shop import Protection

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Lost"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """Candidates that fell under one rule.

    One candidate where `candidate` is set; else rows of the entry's lengths with this protection, all of
    them where `rows` is None. `stop` is the finding of a candidate that was judged.
    """

    rule: str
    entry: Entry
    protection: Protection
    rows: NDArray[np.int64] | None = None
    candidate: Candidate | None = None
    stop: Finding | None = None
