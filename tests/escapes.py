"""What still stands in plain letters when all words are in a made-up language: what escaped the catalogues.

A page, drawing, paper or terminal is taken apart into its pieces of text. Out of each is taken what may stay
in every language (names that somebody typed, citations, units, codes, hashes); what plain letters are left
over escaped.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping
from html.parser import HTMLParser
from typing import Any

from slingwright.citation import Citation

__all__ = ["citations_in", "escaped", "names_in", "page_texts", "pdf_texts", "svg_texts"]

# what units and codes of ours look like in every language
_SAME = re.compile(
    r"""
    (?<![A-Za-z])(?:lbf?|ft|in|kN|N|mm|cm|m|kg|t|deg|°[FC]|min|h|USD|EUR|x|tonne|M|MB|kB)(?![A-Za-z])
    | \b[a-z_]+(?:\[\d+\])?(?:\.[a-z_0-9]+(?:\[\d+\])?)+    # a field's path
    | \b[0-9a-f]{12,64}\b                            # a hash
    | \b[\w.-]+\.(?:toml|json|pdf|svg|md|jsonl|csv)\b
    | --[a-z][a-z-]+                                 # an option
    | \bslingwright(?:/[\w/-]+|\ [\d.]+)?
    | https?://\S+
    """,
    re.VERBOSE,
)
# tables, hashes, a quote's number, which ends with one
_TABLES = re.compile(r"\b(?:us-class[57]-[a-z]+|en-wll|[0-9a-f]{12,64}|\d{8}-[0-9A-F]{6})\b")
_LETTERS = re.compile(r"[A-Za-z]+(?:[ '’-]+[A-Za-z]+)*")
_PLACE = re.compile(r"\{\w+\}")
_SPACES = re.compile(r"\s+")
_TOLD = ("alt", "title", "aria-label", "placeholder", "aria-description", "aria-roledescription", "label")
_VOID = frozenset(("area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"))


def escaped(texts: Iterable[str], allowed: Iterable[str], *, titles: Iterable[str] = ()) -> dict[str, str]:
    """Every run of plain letters that may not be there, each with the text it stands in.

    `allowed` may stand anywhere, `titles` also in pieces, for drawings break them into lines.
    """
    whole = [" ".join(_LETTERS.findall(title)).lower() for title in titles]
    names = sorted({_plain(name) for name in allowed if name.strip()}, key=len, reverse=True)
    taken = (
        re.compile("|".join(rf"(?<![A-Za-z]){re.escape(name)}(?![A-Za-z])" for name in names))
        if names
        else None
    )
    found: dict[str, str] = {}
    for text in texts:
        plain = _TABLES.sub(" ", _plain(text))
        left = _SAME.sub(" ", taken.sub(" ", plain) if taken else plain)
        found |= {
            run: plain[:200]
            for run in _LETTERS.findall(left)
            if not any(_SPACES.sub(" ", run).lower() in title for title in whole)
        }
    return found


def _plain(text: str) -> str:
    return _SPACES.sub(" ", text).strip()


def citations_in(value: object) -> set[str]:
    """Every citation that a value of ours holds, however deep, as it is printed."""
    return {str(one) for one in _walk(value, set()) if isinstance(one, Citation)}


def _walk(value: object, seen: set[int]) -> Iterator[object]:
    if id(value) in seen or isinstance(value, str | bytes | int | float | type(None)):
        return
    seen.add(id(value))
    yield value
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from _walk(getattr(value, field.name, None), seen)
    elif isinstance(value, Mapping):
        for one in value.values():
            yield from _walk(one, seen)
    elif isinstance(value, list | tuple | set | frozenset):
        for one in value:
            yield from _walk(one, seen)


class _Page(HTMLParser):
    """A page's pieces of text: what stands between its tags and what its attributes say aloud.

    Left out: what a script or style says to the browser, what somebody typed (`textarea`), and what the page
    itself marks as being in another language.
    """

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._open: list[tuple[str, bool]] = []
        self._language: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if tag == "html":
            self._language = said.get("lang")
        foreign = said.get("lang", self._language) != self._language
        mute = self._mute or foreign or tag in ("script", "style", "textarea")
        if not mute:
            self.texts += [
                _PLACE.sub("", text)  # a script fills it in
                for key, text in said.items()
                if text and (key in _TOLD or key.startswith("data-words"))
            ]
        if tag == "meta" and said.get("name") in ("description", "application-name"):
            self.texts.append(said.get("content") or "")
        if tag not in _VOID:
            self._open.append((tag, mute))

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if data.strip() and not self._mute:
            self.texts.append(data)

    @property
    def _mute(self) -> bool:
        return bool(self._open) and self._open[-1][1]


def page_texts(html: str) -> list[str]:
    """The pieces of text of a page."""
    page = _Page()
    page.feed(html)
    return page.texts


def svg_texts(svg: str) -> list[str]:
    """The pieces of text of a drawing."""
    from xml.etree import ElementTree

    found = []
    for element in ElementTree.fromstring(svg).iter():
        found += [element.text or "", element.tail or "", element.get("aria-label") or ""]
    return [text for text in found if text.strip()]


def pdf_texts(pdf: bytes) -> list[str]:
    """The text of each page of a paper, and the title it bears."""
    import pypdfium2 as pdfium

    document = pdfium.PdfDocument(pdf)
    try:
        texts = [document[i].get_textpage().get_text_bounded() for i in range(len(document))]
        # a line broken at a dash: the dash comes out as a sign of its own, or with the break behind it
        whole = [re.sub(r"[\x02\ufffe]|- *\r?\n", "-", text) for text in texts]
        return [*whole, document.get_metadata_value("Title")]
    finally:
        document.close()


def names_in(tables: Any) -> set[str]:
    """Every text that somebody wrote into a file of ours, or may have."""
    if isinstance(tables, str):
        return {tables}
    if isinstance(tables, Mapping):
        return set().union(*(names_in(one) for one in tables.values())) if tables else set()
    if isinstance(tables, list):
        return set().union(*(names_in(one) for one in tables)) if tables else set()
    return set()
