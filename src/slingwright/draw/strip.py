"""The foot of the sheet: what the signs mean, what hangs there, whose drawing it is, and the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from slingwright import __version__
from slingwright.choose.offer import Case, Offer
from slingwright.draw.ink import INK, MUTED, SLING, SMALL_MM, TITLE_MM, label, line, polygon
from slingwright.draw.marks import centre_mark, pick_mark, protection_mark
from slingwright.draw.picture import Picture
from slingwright.draw.svg import element, number, wrap_text
from slingwright.lift.model import Lift
from slingwright.units import Rounding, Units
from slingwright.words import (
    arrangement_name,
    case_name,
    hold_figures,
    planning_only,
    read_catalogue,
    rulebook_name,
    slings_text,
    standing_cautions,
)
from slingwright.words.figures import show_angle, show_length

__all__ = ["Strip", "draw_strip"]

Point = tuple[float, float]
_WIDTH_MM = 178.0
_COLUMNS = (2.5, 48.5, 120.5)  # where key, notes and title start
_WIDTHS = (42.0, 68.0, 55.0)
_PITCH, _SIGN_PITCH, _SCALE_MM = 3.1, 3.9, 9.0
_TITLE_PITCH = TITLE_MM * 1.12
_PLANNING_MM = 6.2
_FOOT_M, _STEPS, _BAR_MM = 0.3048, (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100), 36.0
_TICKS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Its lines, ready to be set at any place; the scale is known only after the views are laid out."""

    key: tuple[tuple[str, str], ...]  # (sign, text)
    notes: tuple[str, ...]
    title: tuple[str, ...]
    small: tuple[str, ...]
    planning: str
    cautions: tuple[str, ...]
    scale: str
    units: Units

    @property
    def rows_mm(self) -> float:
        """Height of the three columns."""
        title = len(self.title) * _TITLE_PITCH + len(self.small) * _PITCH
        title += _PLANNING_MM if self.planning else 0.0
        return max(len(self.key) * _SIGN_PITCH + _SCALE_MM, len(self.notes) * _PITCH, title) + 4.0

    @property
    def height_mm(self) -> float:
        """Height of the whole strip."""
        return self.rows_mm + (len(self.cautions) * _PITCH + 2.2 if self.cautions else 0.0)

    def place(self, at: Point, one_to: float) -> str:
        """Set the strip with its top left corner at `at`."""
        x, y = at
        foot = y + self.rows_mm
        parts = [line((x, y), (x + _WIDTH_MM, y), 0.25)]
        parts += [line((x, foot), (x + _WIDTH_MM, foot), 0.25)] if self.cautions else []
        parts += [
            line((x + c - 2.0, y), (x + c - 2.0, foot), 0.18)
            for c in (_COLUMNS[1:] if self.small else _COLUMNS[1:2])
        ]
        parts += self._key(x + _COLUMNS[0], y + 3.4)
        parts += _scale_bar((x + _COLUMNS[0], foot - 5.0), self.scale, one_to, self.units)
        parts += _lines(self.notes, x + _COLUMNS[1], y + 4.2)
        parts += self._title(x + _COLUMNS[2], y + 1.6)
        parts += _lines(self.cautions, x + _COLUMNS[0], foot + 3.3)
        return element("g", parts, _class="strip")

    def _key(self, x: float, y: float) -> Iterator[str]:
        for i, (sign, text) in enumerate(self.key):
            at = (x + 2.5, y + i * _SIGN_PITCH)
            yield _sign(sign, at)
            yield label(text, (x + 6.5, at[1] + 0.85), size=SMALL_MM)

    def _title(self, x: float, y: float) -> Iterator[str]:
        if self.planning:
            wide = _WIDTHS[2]
            box = [(x, y), (x + wide, y), (x + wide, y + 5.0), (x, y + 5.0)]
            yield polygon(box, fill="none", ink=INK, width=0.5)
            yield label(self.planning, (x + wide / 2, y + 3.6), size=3.2, anchor="middle", bold=True)
            y += _PLANNING_MM
        for text in self.title:
            y += _TITLE_PITCH
            yield label(text, (x, y - 0.8), size=TITLE_MM, bold=True)
        yield from _lines(self.small, x, y + _PITCH - 0.2)


def draw_strip(
    lift: Lift,
    offer: Offer,
    case: Case,
    picture: Picture,
    *,
    units: Units,
    made_by: Mapping[str, object] | None,
    on_paper: bool,
    language: str,
) -> Strip:
    """Gather the strip's words; on a paper only the signs and how it is drawn."""
    words = read_catalogue(language)
    cautions = () if on_paper else standing_cautions(on="drawing", language=language)[:2]
    small = [] if on_paper else list(_small(lift, offer, made_by or {}, language))
    slings = [] if on_paper else slings_text(offer, units, language=language)[:3]
    return Strip(
        key=tuple(_key_lines(offer, picture, language)),
        notes=tuple(
            _wrapped(
                [*slings, *_notes(lift, offer, case, units, language)],
                sum(_WIDTHS[1:]) if on_paper else _WIDTHS[1],
            )
        ),
        title=() if on_paper else tuple(wrap_text(lift.title, TITLE_MM, _WIDTHS[2], at_most=3)),
        small=tuple(_wrapped(small, _WIDTHS[2])),
        planning=words.word("drawing", "planning-only")
        if planning_only(lift, offer) and not on_paper
        else "",
        cautions=tuple(_wrapped(_joined(cautions, language), _WIDTH_MM - 6)),
        scale=words.word("drawing", "scale"),
        units=units,
    )


def _joined(cautions: Sequence[str], language: str) -> Sequence[str]:
    """In one paragraph; said in two languages each has its own, for none of it may be cut short."""
    if not cautions or read_catalogue(language).beside_english:
        return cautions
    return [" ".join(cautions)]


def _key_lines(offer: Offer, picture: Picture, language: str) -> Iterator[tuple[str, str]]:
    """Only the signs this sheet shows."""
    word = read_catalogue(language).sections["drawing"]
    yield "centre", word["centre"]
    if picture.centre_box_m:
        yield "centre-box", word["centre-box"]
    if picture.picks:
        yield "pick", word["pick"]
    if picture.protected:
        for code in dict.fromkeys(s.protection for s in offer.slings if s.protection != "none"):
            yield "protected", read_catalogue(language).word("drawing", f"protected-{code}")
    if picture.slack:
        yield "slack", word["slack"]
    if picture.bands:
        yield "hidden", word["hidden"]


def _notes(lift: Lift, offer: Offer, case: Case, units: Units, language: str) -> Iterator[str]:
    words = read_catalogue(language)
    hanging = words.fill(
        "drawing",
        "hanging",
        case=case_name(case.name, language=language),
        tilt=show_angle(case.result.tilt_deg, language=language),
    )
    room = words.fill(
        "drawing",
        "room",
        worst=show_length(offer.hook_height_m, units, rounding=Rounding.UP, language=language),
        room=show_length(
            min(h.headroom_m for h in lift.hooks), units, rounding=Rounding.DOWN, language=language
        ),
    )
    yield from (hanging, words.word("drawing", "figures"), room)


def _wrapped(texts: Iterable[str], width_mm: float) -> Iterator[str]:
    """Lines of at most this width; a figure and its unit stay on one line."""
    for text in texts:
        yield from wrap_text(hold_figures(text), SMALL_MM, width_mm, at_most=3)


def _small(lift: Lift, offer: Offer, made_by: Mapping[str, object], language: str) -> Iterator[str]:
    words = read_catalogue(language)
    yield arrangement_name(offer.arrangement, language=language)
    yield rulebook_name(lift.rulebook, lift.profile, language=language)
    digest = str(made_by.get("input_sha256") or "")[:12]
    tool = str(made_by.get("tool") or f"slingwright {__version__}")
    yield words.fill("drawing", "made", tool=tool, input=digest or words.word("drawing", "input-none"))


def _lines(texts: tuple[str, ...], x: float, y: float) -> Iterator[str]:
    return (label(text, (x, y + i * _PITCH), size=SMALL_MM) for i, text in enumerate(texts))


def _sign(sign: str, at: Point) -> str:
    x, y = at
    match sign:
        case "centre":
            return centre_mark(at)
        case "pick":
            return pick_mark(at, None)
        case "protected":
            return protection_mark(at, None)
        case "slack":
            return line((x - 2.4, y), (x + 2.4, y), 0.5, ink=SLING, dash="1.6 1.2")
        case "hidden":
            return polygon(_around(at, 2.4, 0.8), ink=SLING, width=0.18, stroke_dasharray="0.9 0.7")
        case _:
            return polygon(_around(at, 2.2, 1.3), ink=INK, width=0.25, stroke_dasharray="1.2 0.8")


def _around(at: Point, half_wide: float, half_high: float) -> list[Point]:
    x, y = at
    return [
        (x - half_wide, y - half_high),
        (x + half_wide, y - half_high),
        (x + half_wide, y + half_high),
        (x - half_wide, y + half_high),
    ]


def _scale_bar(at: Point, scale: str, one_to: float, units: Units) -> list[str]:
    """The scale in words, and black and white by turns, so that a copy at any size can be measured."""
    unit_m, name = (_FOOT_M, "ft") if units is Units.US else (1.0, "m")
    step = max((s for s in _STEPS if _TICKS * s * unit_m * 1000 / one_to <= _BAR_MM), default=_STEPS[0])
    mm = step * unit_m * 1000 / one_to
    x, y = at
    bar = [
        element(
            "rect",
            x=x + i * mm,
            y=y,
            width=mm,
            height=1.0,
            fill="#ffffff" if i % 2 else INK,
            stroke=INK,
            stroke_width=0.18,
        )
        for i in range(_TICKS)
    ]
    bar += [
        label(f"{step * i:g}", (x + i * mm, y + 3.6), size=SMALL_MM - 0.2, anchor="middle", ink=MUTED)
        for i in range(0, _TICKS + 1, 2)
    ]
    bar.append(label(name, (x + _TICKS * mm + 2.2, y + 3.6), size=SMALL_MM - 0.2, ink=MUTED))
    text = scale.format(one_to=number(one_to), width=number(_WIDTH_MM + 2))
    group = element("g", bar, _class="scale-bar", data_step_m=f"{step * unit_m:.6f}", data_step_mm=mm)
    return [label(text, (x, y - 1.2), size=SMALL_MM), group]
