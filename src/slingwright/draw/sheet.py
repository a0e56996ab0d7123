"""The drawing: one lift as it will hang, from the front, from the end and from above, to scale."""

from __future__ import annotations

from collections.abc import Mapping

from slingwright import __version__
from slingwright.choose.offer import Case, Offer
from slingwright.draw.grips import NEW_GRIP, Grip, grip_layer
from slingwright.draw.ink import FONT, INK, PAPER
from slingwright.draw.layout import Layout, Window, lay_out
from slingwright.draw.picture import LegLine, Picture, take_picture
from slingwright.draw.strip import draw_strip
from slingwright.draw.svg import element, number, text_of
from slingwright.draw.touch import touch_layer
from slingwright.draw.view import FRONT
from slingwright.draw.views import draw_view
from slingwright.draw.wording import Wording
from slingwright.lift.model import Lift
from slingwright.units import Rounding, Units
from slingwright.words import arrangement_name, case_name, leg_name, read_catalogue, show_load
from slingwright.words.figures import show_angle, show_length

__all__ = ["SHEET_WIDTH_MM", "draw_offer", "drawing_alt"]

Vector = tuple[float, float, float]
SHEET_WIDTH_MM = 180.0
_FRAME_MM = 1.0
_LEVEL_DEG = 0.05  # under the tenth that is printed


def draw_offer(
    lift: Lift,
    offer: Offer,
    *,
    units: Units,
    case: str = "stiff",
    made_by: Mapping[str, object] | None = None,
    height_mm: float = 190.0,
    on_paper: bool = False,
    anchors: Mapping[str, str] | None = None,
    language: str = "en",
) -> str:
    """Draw an offer as it will hang in one of its cases.

    Parameters
    ----------
    lift, offer
        The lift and the offer; the pose is the case's own, nothing is solved here.
    units
        Which units are printed; coordinates in the file's `data-…` attributes are metres.
    case
        Name of the case drawn.
    made_by
        The document head's `made_by`, for the title block.
    height_mm
        The most height the sheet may take; its width is `SHEET_WIDTH_MM`.
    on_paper
        True leaves out what the paper round the drawing says itself: title, slings, cautions.
    anchors
        For a page: each leg becomes a link to the anchor of its name; all else is told by the page beside it.

    Returns
    -------
    str
        An SVG document whose user unit is one millimetre on paper.

    Raises
    ------
    LookupError
        The offer has no such case.
    """
    solved = _case(offer, case)
    picture = take_picture(lift, offer, solved)
    strip = draw_strip(
        lift, offer, solved, picture, units=units, made_by=made_by, on_paper=on_paper, language=language
    )
    inside = SHEET_WIDTH_MM - 2 * _FRAME_MM
    room = height_mm - strip.height_mm - 2 * _FRAME_MM
    layout = lay_out(picture.points_m, width_mm=inside, height_mm=room, top_mm=_FRAME_MM)
    wording = _wording(units, case, language)
    views = [draw_view(window, picture, wording) for window in layout.windows]
    high = layout.height_mm + strip.height_mm + 2 * _FRAME_MM
    foot = strip.place((_FRAME_MM, _FRAME_MM + layout.height_mm), layout.one_to)
    parts = [_frame(high), *views, foot]
    if anchors is not None:
        parts = [element("g", parts, aria_hidden="true", id="sheet-views", data_near=_near(layout))]
        for window in layout.windows:
            parts.append(touch_layer(window.view, picture.legs, anchors, wording))
            parts.append(_grips(window, picture, lift))
    alt = drawing_alt(lift, offer, case=case, language=language)
    return _document(parts, high, alt, layout.one_to, case, touchable=anchors is not None)


def _near(layout: Layout) -> str:
    """The rectangle of the view from the front, as a `viewBox` of its own."""
    box = next(w.box for w in layout.windows if w.view.facing.name == FRONT.name)
    return " ".join(number(x) for x in (box.x, box.y, box.width, box.height))


def drawing_alt(lift: Lift, offer: Offer, *, case: str = "stiff", language: str = "en") -> str:
    """What the drawing shows, for those who cannot see it."""
    return read_catalogue(language).fill(
        "drawing",
        "alt",
        title=lift.title,
        arrangement=arrangement_name(offer.arrangement, language=language),
        case=case_name(case, language=language),
    )


def _case(offer: Offer, name: str) -> Case:
    found = offer.case(name)
    if found is None:
        msg = f"the offer has no case {name!r}; it has {', '.join(c.name for c in offer.cases)}"
        raise LookupError(msg)
    return found


def _wording(units: Units, case: str, language: str) -> Wording:
    words = read_catalogue(language)

    def leg(line: LegLine, full: bool) -> str:
        if line.slack:
            return words.fill("drawing", "leg-slack", name=leg_name(line.path, language=language))
        if not full:
            return leg_name(line.path, language=language)
        tension = show_load(line.tension_n, units, language=language)
        angle = show_angle(line.angle_from_horizontal_deg, language=language)
        name = leg_name(line.path, language=language)
        return words.fill("drawing", "leg", name=name, tension=tension, angle=angle)

    def lean(down_right_deg: float) -> str:
        if abs(down_right_deg) < _LEVEL_DEG:
            return words.word("drawing", "level")
        key = "leans-right" if down_right_deg > 0 else "leans-left"
        return words.fill("drawing", key, angle=show_angle(abs(down_right_deg), language=language))

    def caption(view: str) -> str:
        name = words.word("drawing", view)
        if case == "stiff":  # as everybody expects it: as told
            return name
        return words.fill("drawing", "caption-case", view=name, case=case_name(case, language=language))

    return Wording(
        leg=leg,
        length=lambda m: show_length(m, units, rounding=Rounding.NEAREST, language=language),
        caption=caption,
        lean=lean,
        left=words.word("drawing", "left"),
        front=words.word("drawing", "front"),
        touch=lambda line: words.fill("drawing", "touch", leg=leg(line, True)),
    )


def _grips(window: Window, picture: Picture, lift: Lift) -> str:
    """Every pick point told, whether a sling holds it or not, where it is as the load hangs."""

    def place(own: Vector) -> Vector:
        x, y, z = (
            picture.corner_m[i] + sum(a[i] * own[k] for k, a in enumerate(picture.axes)) for i in range(3)
        )
        return x, y, z

    length, width, height = picture.size_m
    grips = [Grip(row=i, name=p.name, at_m=p.at_m) for i, p in enumerate(lift.load.pick_points)]
    new = Grip(row=NEW_GRIP, name="", at_m=(length / 2, width / 2, height))
    return grip_layer(window.view, [*grips, new], place)


def _frame(high: float) -> str:
    return element(
        "rect",
        x=_FRAME_MM / 2,
        y=_FRAME_MM / 2,
        width=SHEET_WIDTH_MM - _FRAME_MM,
        height=high - _FRAME_MM,
        fill=PAPER,
        stroke=INK,
        stroke_width=0.35,
    )


def _document(parts: list[str], high: float, alt: str, one_to: float, case: str, *, touchable: bool) -> str:
    size = f"{number(SHEET_WIDTH_MM)} {number(high)}"
    return element(
        "svg",
        parts if touchable else [element("title", text_of(alt)), *parts],
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {size}",
        width=f"{number(SHEET_WIDTH_MM)}mm",
        height=f"{number(high)}mm",
        role="group" if touchable else "img",  # an image hides from a reader what is in it
        aria_label=alt if touchable else None,
        font_family=FONT,
        data_one_to=one_to,
        data_case=case,
        data_tool=f"slingwright {__version__}",
    )
