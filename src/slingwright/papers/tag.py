"""The sewn label: the rulebook's own tag fields and a machine-readable code, one page a sling."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.papers.typeset import open_press
from slingwright.rulebook import Rulebook
from slingwright.sling import Fibre
from slingwright.words import hold_figures, read_catalogue
from slingwright.words.tagging import TagLine

__all__ = ["TAG_HIGH_MM", "Tag", "tag_paper"]

TAG_HIGH_MM = 46.0
_CODE_MM = 25.0
_LABEL_MM = 19.0
_SIZES_PT = (8.2, 7.6, 7.0, 6.5, 6.0, 5.6)  # the first at which every tag is one page
_COLOURS = {"green": "#1f7a3d", "blue": "#1b4f9c", "brown": "#6b4423"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """One sling's tag; `link` is what its code holds."""

    lines: tuple[TagLine, ...]
    link: str


class TagTooSmall(ValueError):  # noqa: N818  (names what is wrong)
    """The fields do not fit the label at any size that can be read: our fault, never a cropped tag."""


def tag_paper(
    tags: Sequence[Tag],
    *,
    title: str,
    rulebook: Rulebook,
    fibre: Fibre,
    label_m: float,
    on: dt.date,
    specimen: bool = False,
    language: str = "en",
) -> bytes:
    """Print tags (PDF), one a page; the same arguments give the same bytes.

    Parameters
    ----------
    tags, title
        The tags of slings of one fibre, and the file's title.
    rulebook, fibre
        Whose colour the label has, where the regime has one.
    label_m
        The label's length [m], as the shop's patterns leave room for.
    specimen
        Set SPECIMEN, NOT FOR SERVICE across every tag; its code then leads nowhere.
    """
    words = read_catalogue(language)
    said = words.word("paper", "specimen")
    data: dict[str, object] = {
        "title": title,
        "language": language,
        "date": [on.year, on.month, on.day],
        "wide": round(label_m * 1000, 3),
        "high": TAG_HIGH_MM,
        "code": _CODE_MM,
        "label": _LABEL_MM,
        "colour": _colour(rulebook, fibre),
        "specimen": said if specimen else "",
        "caution": words.word("tag", "caution"),
        "tags": [_tag(tag, said if specimen else tag.link) for tag in tags],
    }
    with open_press("tag.typ") as press:
        for size in _SIZES_PT:
            data["size"] = size
            if press.pages(data) == len(tags):
                return press.pdf(data, on=on)
    msg = f"{title}: no size fits"
    raise TagTooSmall(msg)


def _tag(tag: Tag, code: str) -> dict[str, object]:
    maker = next(line.text for line in tag.lines if line.id == "maker")
    rest = [
        [line.label, hold_figures(line.text).replace("; ", "\n")] for line in tag.lines if line.id != "maker"
    ]
    shown = code.replace("/8004/", "\n/8004/")
    return {"maker": maker, "lines": rest, "qr": _qr(code), "alt": code, "link": shown}


def _qr(text: str) -> str:
    import segno

    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(out, kind="svg", border=2, xmldecl=False)
    return out.getvalue().decode()


def _colour(rulebook: Rulebook, fibre: Fibre) -> str:
    """The label's colour where the regime has one for the fibre; its name is the rulebook's."""
    found = (row.colour for row in rulebook.colours() if row.fibre == fibre)
    return next((_COLOURS[name] for name in found), "")
