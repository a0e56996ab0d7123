"""The typesetter: a template of ours, data as JSON, fonts from a package; same input, same bytes."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import typst

__all__ = ["Press", "open_press"]

_FACES = ("Regular", "It", "Semibold", "Bold")


class Press:
    """A template with the sheet's typeface; `pages` and `pdf` lay data out by it.

    User text travels as strings in the data and is never read as markup.
    """

    def __init__(self, template: str, fonts: typst.Fonts) -> None:
        self._source = (resources.files("slingwright.papers") / "data" / template).read_bytes()
        self._fonts = fonts

    def pages(self, data: Mapping[str, object]) -> int:
        """How many pages the data takes; the template puts the count under the label `pages`."""
        import typst

        found = typst.query(
            self._source, "<pages>", field="value", one=True, font_paths=self._fonts, sys_inputs=_inputs(data)
        )
        return int(json.loads(found))

    def pdf(self, data: Mapping[str, object], *, on: date) -> bytes:
        """Print the data; the paper's date is also the file's own time stamp.

        Archival and accessible (tagged, alternative text on every picture) where the typeface has a shape
        for every character. An archival file may not hold a character without one (a name in a script
        our faces lack): then a plain tagged PDF that shows a box there.
        """
        import typst

        stamp = int(datetime.combine(on, time(), tzinfo=UTC).timestamp())
        compiler = typst.Compiler(font_paths=self._fonts)
        try:
            made = compiler.compile(
                input=self._source,
                format="pdf",
                sys_inputs=_inputs(data),
                pdf_standards=["a-2a", "ua-1"],
                timestamp=stamp,
            )
        except typst.TypstError:  # a fault of the template itself fails again below
            made = compiler.compile(
                input=self._source, format="pdf", sys_inputs=_inputs(data), timestamp=stamp
            )
        assert isinstance(made, bytes)
        return made


@contextmanager
def open_press(template: str) -> Iterator[Press]:
    """Open a press for one of our templates (a file in `papers/data`).

    The typeface comes from its package and nothing comes from the machine: one file a face is laid out in
    a folder of its own, since which of several equal faces is taken would follow the disk's order.
    """
    import font_source_sans_pro as face  # type: ignore[import-untyped]  # ships no types
    import typst

    with TemporaryDirectory() as folder:
        for name in _FACES:
            shutil.copy(Path(face.font_directory) / f"SourceSansPro-{name}.ttf", folder)
        yield Press(
            template,
            typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[folder]),
        )


def _inputs(data: Mapping[str, object]) -> dict[str, str]:
    return {"data": json.dumps(data, ensure_ascii=False, allow_nan=False)}
