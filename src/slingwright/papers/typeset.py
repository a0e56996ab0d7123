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

# What somebody may have typed that an archival file may not hold, in the typesetter's own words: a character
# without a shape, a title of characters that show nothing. Any other fault is ours.
_TYPED = ("could not be displayed with font", "heading title is empty")
_FACES = ("Regular", "It", "Semibold", "Bold")


class Press:
    """A template with the sheet's typeface; `pages` and `pdf` lay data out by it.

    User text travels as strings in the data and is never read as markup. What was laid out last is kept: to
    count a sheet's pages and then print it lays it out once.
    """

    def __init__(self, source: Path, fonts: typst.Fonts) -> None:
        self._source = source
        self._fonts = fonts
        self._laid: tuple[str, typst.Compiler] | None = None

    def pages(self, data: Mapping[str, object]) -> int:
        """How many pages the data takes; the template puts the count under the label `pages`."""
        found = self._lay_out(data).query("<pages>", field="value", one=True)
        return int(json.loads(found))

    def pdf(self, data: Mapping[str, object], *, on: date) -> bytes:
        """Print the data; the paper's date is also the file's own time stamp.

        Archival and accessible (tagged, alternative text on every picture) where the typeface has a shape
        for every character. An archival file may not hold a character without one (a name in a script
        our faces lack): then a plain tagged PDF that shows a box there.
        """
        import typst

        stamp = int(datetime.combine(on, time(), tzinfo=UTC).timestamp())
        compiler = self._lay_out(data)
        try:
            made = compiler.compile(format="pdf", pdf_standards=["a-2a", "ua-1"], timestamp=stamp)
        except typst.TypstError as error:
            if not any(words in str(error) for words in _TYPED):
                raise
            made = compiler.compile(format="pdf", timestamp=stamp)
        assert isinstance(made, bytes)
        return made

    def _lay_out(self, data: Mapping[str, object]) -> typst.Compiler:
        import typst

        text = json.dumps(data, ensure_ascii=False, allow_nan=False)
        if self._laid is None or self._laid[0] != text:
            compiler = typst.Compiler(self._source, font_paths=self._fonts, sys_inputs={"data": text})
            self._laid = (text, compiler)
        return self._laid[1]


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
        source = Path(folder) / template
        source.write_bytes((resources.files("slingwright.papers") / "data" / template).read_bytes())
        yield Press(
            source,
            typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[folder]),
        )
