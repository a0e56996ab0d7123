"""Take a picture of every page in every state, language and width, to be looked at: into `out/screens/`.

    python3 tools/screenshots.py [NAME ...] [--out FOLDER] [--width 360] [--language es]

A NAME takes only the states whose names begin so. Needs Chromium; nothing leaves this machine.
"""

from __future__ import annotations

import argparse
import sys
from itertools import product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tools.page_states import LANGUAGES, ROOT, STATES, WIDTHS, open_browser, reach, serve


def main() -> int:
    parser = argparse.ArgumentParser(description="Take a picture of every page in every state.")
    parser.add_argument("names", nargs="*", help="only states whose names begin so")
    parser.add_argument("--out", type=Path, default=ROOT / "out" / "screens")
    parser.add_argument("--width", type=int, choices=tuple(WIDTHS), action="append")
    parser.add_argument("--language", choices=LANGUAGES, action="append")
    asked = parser.parse_args()
    states = [s for s in STATES if not asked.names or s.name.startswith(tuple(asked.names))]
    if not states:
        parser.error(f"no state begins so; there are: {', '.join(s.name for s in STATES)}")
    asked.out.mkdir(parents=True, exist_ok=True)
    with serve() as served, open_browser() as browser:
        for width, language in product(asked.width or WIDTHS, asked.language or LANGUAGES):
            size = {"width": width, "height": WIDTHS[width]}
            page = browser.new_context(viewport=size, reduced_motion="reduce").new_page()
            for state in states:
                with reach(page, served, state, language):
                    file = asked.out / f"{state.name}-{language}-{width}.png"
                    page.screenshot(path=file, full_page=True)
                    print(file, flush=True)
            page.context.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
