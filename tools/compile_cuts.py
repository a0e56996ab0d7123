"""Plan one small job, so that the cut planner's loops are compiled and on disk before several want them."""

from __future__ import annotations

import json
import sys
import time

from slingwright.usecases.cut_webbing import cut_webbing

JOB = {
    "params": {
        "kerf": 20, "head_trim": 50, "remnant_min": 3000, "discount": 750, "mount_cost": 500,
        "full_length": 50000, "keep_orders_together": False,
    },
    "stock": [
        {"length": 27270, "count": 1, "kind": "remnant"}, {"length": 50000, "count": 1, "kind": "full"},
    ],
    "items": [{"length": 13550, "quantity": 2}, {"length": 4730, "quantity": 4}],
}  # fmt: skip


def main() -> int:
    """Give 1 where there is no plan: something else was compiled than what a plan takes."""
    answer = cut_webbing(json.dumps(JOB).encode(), "", limit_s=120, clock=time.monotonic)
    return int(answer.stops)


if __name__ == "__main__":
    sys.exit(main())
