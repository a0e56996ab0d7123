"""Plan one small job, so that the cut planner's loops are compiled and on disk before several want them."""

from __future__ import annotations

import json
import sys
import time

from slingwright.desk.api.examples import SMALL
from slingwright.usecases.cut_webbing import cut_webbing


def main() -> int:
    """Give 1 where there is no plan: something else was compiled than what a plan takes."""
    answer = cut_webbing(json.dumps(SMALL["cut-problem"]).encode(), "", limit_s=120, clock=time.monotonic)
    return int(answer.stops)


if __name__ == "__main__":
    sys.exit(main())
