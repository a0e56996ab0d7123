"""The foot of the sheet: what the signs mean, what hangs there, whose drawing it is, and the cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from slingwright import __version__
from slingwright.choose.offer import Case, Offer
from slingwright.draw.ink import INK, MUTED, SLING, SMALL_MM, TITLE_MM, label, line, polygon
from slingwright.draw.marks import centre_mark, pick_mark, protection_mark
from slingwright.draw.picture import Picture
from slingwright.draw.svg import element, number, wrap_text
from slingwright.lift.model import Lift
from slingwright.units import Rounding, Units, show_angle, show_length
from slingwright.words import (
    arrangement_name,
    case_name,
    planning_only,
    protection_name,
    read_catalogue,
    spec_text,
    standing_cautions,
)

__all__ = ["Strip", "draw_strip"]

Point = tuple[float, float]
_WIDTH_MM = 178.0
_COLUMNS = (3.0, 48.0, 118.0)  # where key, notes and title start
_WIDTHS = (42.0, 67.0, 58.0)
_PITCH = 3.3


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
        title = (
            len(self.title) * TITLE_MM * 1.15
            + (len(self.small) + 1) * _PITCH
            + (6.0 if self.planning else 0.0)
        )
        return max(len(self.key) * 4.2, len(self.notes) * _PITCH, title + 6.5) + 3.0

    @property
    def height_mm(self) -> float:
        """Height of the whole strip."""
        return self.rows_mm + len(self.cautions) * _PITCH + 2.5

    def place(self, at: Point, one_to: float) -> str:
        """Set the strip with its top left corner at `at`."""
        x, y = at
        foot = y + self.rows_mm
        parts = [line((x, y), (x + _WIDTH_MM, y), 0.25), line((x, foot), (x + _WIDTH_MM, foot), 0.25)]
        parts += [line((x + c - 2.0, y), (x + c - 2.0, foot), 0.18) for c in _COLUMNS[1:]]
        parts += self._key(x + _COLUMNS[0], y + 3.4)
        parts += [
            label(text, (x + _COLUMNS[1], y + 4.0 + i * _PITCH), size=SMALL_MM)
            for i, text in enumerate(self.notes)
        ]
        parts += self._title(x + _COLUMNS[2], y + 2.0, one_to)
        parts += [
            label(text, (x + _COLUMNS[0], foot + 3.4 + i * _PITCH), size=SMALL_MM)
            for i, text in enumerate(self.cautions)
        ]
        return element("g", parts, _class="strip")

    def _key(self, x: float, y: float) -> Iterator[str]:
        for i, (sign, text) in enumerate(self.key):
            at = (x + 2.5, y + i * 4.2)
            yield _sign(sign, at)
            yield label(text, (x + 6.5, at[1] + 0.85), size=SMALL_MM)

    def _title(self, x: float, y: float, one_to: float) -> Iterator[str]:
        if self.planning:
            box = [(x, y), (x + _WIDTHS[2], y), (x + _WIDTHS[2], y + 5.0), (x, y + 5.0)]
            yield polygon(box, fill="none", ink=INK, width=0.5)
            yield label(self.planning, (x + _WIDTHS[2] / 2, y + 3.6), size=3.2, anchor="middle", bold=True)
            y += 6.0
        for text in self.title:
            y += TITLE_MM * 1.15
            yield label(text, (x, y), size=TITLE_MM, bold=True)
        y += 0.8
        scale = self.scale.format(one_to=number(one_to), width=number(_WIDTH_MM + 2))
        for text in (*self.small, scale):
            y += _PITCH
            yield label(text, (x, y), size=SMALL_MM, ink=INK)
        yield _scale_bar((x, y + 2.2), one_to, self.units)


def draw_strip(
    lift: Lift,
    offer: Offer,
    case: Case,
    picture: Picture,
    *,
    units: Units,
    made_by: Mapping[str, object],
    language: str,
) -> Strip:
    """Gather the strip's words."""
    words = read_catalogue(language)
    cautions = " ".join(standing_cautions(language=language)[:2])
    return Strip(
        key=tuple(_key_lines(offer, picture, language)),
        notes=tuple(_notes(lift, offer, case, units, language)),
        title=tuple(wrap_text(lift.title, TITLE_MM, _WIDTHS[2], at_most=3)),
        small=tuple(
            piece
            for text in _small(lift, offer, made_by, language)
            for piece in wrap_text(text, SMALL_MM, _WIDTHS[2], at_most=2)
        ),
        planning=words.word("drawing", "planning-only") if planning_only(lift, offer) else "",
        cautions=tuple(wrap_text(cautions, SMALL_MM, _WIDTH_MM - 6, at_most=3)),
        scale=words.word("drawing", "scale"),
        units=units,
    )


def _key_lines(offer: Offer, picture: Picture, language: str) -> Iterator[tuple[str, str]]:
    """Only the signs this sheet shows."""
    words = read_catalogue(language)
    yield "centre", words.word("drawing", "centre")
    if picture.centre_box_m:
        yield "centre-box", words.word("drawing", "centre-box")
    if picture.picks:
        yield "pick", words.word("drawing", "pick")
    for code in dict.fromkeys(s.protection for s in offer.slings):
        if picture.protected and code != "none":
            name = protection_name(code, language=language)
            text = words.fill("drawing", "protected", protection=name)
            first, *more = wrap_text(text, SMALL_MM, _WIDTHS[0] - 7, at_most=3)
            yield "protected", first
            for line_ in more:
                yield "", line_
    if picture.slack:
        yield "slack", words.word("drawing", "slack")
    if picture.bands:
        yield "hidden", words.word("drawing", "hidden")


def _notes(lift: Lift, offer: Offer, case: Case, units: Units, language: str) -> Iterator[str]:
    words = read_catalogue(language)
    hanging = words.fill(
        "drawing",
        "hanging",
        case=case_name(case.name, language=language),
        tilt=show_angle(case.result.tilt_deg),
    )
    room = words.fill(
        "drawing",
        "room",
        worst=show_length(offer.hook_height_m, units, rounding=Rounding.UP),
        room=show_length(min(h.headroom_m for h in lift.hooks), units, rounding=Rounding.DOWN),
    )
    counted: dict[str, int] = {}
    for sling in offer.slings:
        text = spec_text(sling.spec, units, language=language)
        counted[text] = counted.get(text, 0) + 1
    slings = [words.fill("drawing", "offer", legs=str(n), spec=text) for text, n in counted.items()]
    for text in (hanging, words.word("drawing", "figures"), room, *slings[:3]):
        yield from wrap_text(text, SMALL_MM, _WIDTHS[1], at_most=3)


def _small(lift: Lift, offer: Offer, made_by: Mapping[str, object], language: str) -> Iterator[str]:
    words = read_catalogue(language)
    yield arrangement_name(offer.arrangement, language=language)
    yield words.fill("drawing", "rulebook", rulebook=lift.rulebook)
    digest = str(made_by.get("input_sha256") or "")[:12]
    tool = str(made_by.get("tool") or f"slingwright {__version__}")
    yield words.fill("drawing", "made", tool=tool, input=digest or words.word("drawing", "input-none"))


def _sign(sign: str, at: Point) -> str:
    x, y = at
    match sign:
        case "centre":
            return centre_mark(at)
        case "pick":
            return pick_mark(at, "")
        case "protected":
            return protection_mark(at, "")
        case "slack":
            return line((x - 2.4, y), (x + 2.4, y), 0.5, ink=SLING, dash="1.6 1.2")
        case "hidden":
            corners = [(x - 2.4, y - 0.8), (x + 2.4, y - 0.8), (x + 2.4, y + 0.8), (x - 2.4, y + 0.8)]
            return polygon(corners, ink=SLING, width=0.18, stroke_dasharray="0.9 0.7")
        case "centre-box":
            corners = [(x - 2.2, y - 1.3), (x + 2.2, y - 1.3), (x + 2.2, y + 1.3), (x - 2.2, y + 1.3)]
            return polygon(corners, ink=INK, width=0.25, stroke_dasharray="1.2 0.8")
        case _:
            return ""


def _scale_bar(at: Point, one_to: float, units: Units) -> str:
    """Alternate black and white, so that a copy at any size can still be measured."""
    foot_m = 0.3048
    unit_m, name = (foot_m, "ft") if units is Units.US else (1.0, "m")
    steps = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)
    step = max((s for s in steps if 4 * s * unit_m * 1000 / one_to <= 40), default=steps[0])
    mm = step * unit_m * 1000 / one_to
    x, y = at
    parts = [
        element(
            "rect",
            x=x + i * mm,
            y=y,
            width=mm,
            height=1.1,
            fill=INK if i % 2 == 0 else "#ffffff",
            stroke=INK,
            stroke_width=0.18,
        )
        for i in range(4)
    ]
    parts += [
        label(
            f"{step * i:g}" + (f" {name}" if i == 4 else ""),
            (x + i * mm, y + 3.4),
            size=SMALL_MM - 0.2,
            anchor="middle",
            ink=MUTED,
        )
        for i in (0, 2, 4)
    ]
    return element("g", parts, _class="scale-bar", data_step_m=f"{step * unit_m:.6f}", data_step_mm=mm)
