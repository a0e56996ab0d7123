"""Take a picture of every page in every state, language and width, to be looked at: into `out/screens/`.

    python3 tools/screenshots.py [NAME ...] [--out FOLDER] [--width 360] [--language es]

A NAME takes only the states whose names begin so. A long page takes several pictures. Needs
Chromium; nothing leaves this machine.
"""

from __future__ import annotations

import argparse
import sys
from itertools import product
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tools.page_states import LANGUAGES, ROOT, STATES, WIDTHS, open_browser, reach, serve

TALLEST = 4600  # pixels: beyond 8192 Chromium paints a page's top again, and what is below is never seen


def take(page: Any, file: Path) -> list[Path]:
    """Picture the whole page, in as many parts as it is tall; what an earlier run left of it is gone."""
    for old in (file, *file.parent.glob(f"{file.stem}-part*{file.suffix}")):
        old.unlink(missing_ok=True)
    size = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    tops = range(0, size[1], TALLEST)
    files = []
    for number, top in enumerate(tops, start=1):
        part = file if len(tops) == 1 else file.with_stem(f"{file.stem}-part{number}")
        clip = {"x": 0, "y": top, "width": size[0], "height": min(TALLEST, size[1] - top)}
        page.screenshot(path=part, full_page=True, clip=clip)
        files.append(part)
    return files


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
                    print(*take(page, file), sep="\n", flush=True)
            page.context.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
