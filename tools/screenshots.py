"""Take a picture of every page in every state at every width, to be looked at: into `out/screens/`.

    python3 tools/screenshots.py [NAME ...] [--out FOLDER] [--width 360]

A NAME takes only the states whose names begin so. Needs Chromium; nothing leaves this machine.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tools.page_states import ROOT, STATES, WIDTHS, open_browser, reach, serve


def main() -> int:
    parser = argparse.ArgumentParser(description="Take a picture of every page in every state.")
    parser.add_argument("names", nargs="*", help="only states whose names begin so")
    parser.add_argument("--out", type=Path, default=ROOT / "out" / "screens")
    parser.add_argument("--width", type=int, choices=tuple(WIDTHS), action="append")
    asked = parser.parse_args()
    states = [s for s in STATES if not asked.names or s.name.startswith(tuple(asked.names))]
    if not states:
        parser.error(f"no state begins so; there are: {', '.join(s.name for s in STATES)}")
    asked.out.mkdir(parents=True, exist_ok=True)
    with serve() as served, open_browser() as browser:
        for state in states:
            for width in asked.width or WIDTHS:
                with reach(browser, served, state, width) as page:
                    file = asked.out / f"{state.name}-{width}.png"
                    page.screenshot(path=file, full_page=True)
                    print(file, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
