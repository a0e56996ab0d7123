"""The lift as it hangs, as one document for a view in space: the same solved pose that the sheet projects.

Bodies stand in their own coordinates beside their pose, so that a viewer puts them where they hang by the
pose alone and the tilt it shows can be read off what it shows. Everything else is in world metres.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from slingwright.choose.offer import Case, Offer
from slingwright.draw.picture import LegLine, Mark, take_picture
from slingwright.draw.solid import Solid, beam_solid, load_solid
from slingwright.hang.result import BodyPose
from slingwright.lift.model import Lift
from slingwright.units import Units
from slingwright.words import case_name, leg_name, read_catalogue, show_load
from slingwright.words.figures import show_angle, show_length

__all__ = ["pose_sentence", "scene_document"]

_LEVEL_DEG = 0.05  # under the tenth that is printed
_DECIMALS = 6  # of a metre: a thousandth of a millimetre


def scene_document(
    lift: Lift, offer: Offer, *, units: Units, case: str = "stiff", language: str = "en"
) -> dict[str, Any]:
    """Everything a view in space shows of an offer in one of its cases (`slingwright/scene/1`).

    Raises
    ------
    LookupError
        The offer has no such case.
    """
    solved = _case(offer, case)
    picture = take_picture(lift, offer, solved)
    poses = {pose.name: pose for pose in solved.result.bodies}
    beam = offer.arrangement.beam
    return {
        "schema": "slingwright/scene/1",
        "case": case,
        "tilt_deg": solved.result.tilt_deg,
        "load": _body(load_solid(lift), poses["load"]),
        "beam": _body(beam_solid(beam), poses["beam"]) if beam is not None and "beam" in poses else None,
        "legs": [_leg(leg, units, language) for leg in picture.legs],
        "bands": [{"sling": b.sling, "corners_m": _points(b.face.corners_m)} for b in picture.bands],
        "hooks": _marks(picture.hooks),
        "picks": _marks(picture.picks),
        "protected": _marks(picture.protected),
        "centre_m": _point(picture.centre_m),
        "centre_box_m": _points(picture.centre_box_m),
    }


def pose_sentence(offer: Offer, *, units: Units, case: str = "stiff", language: str = "en") -> str:
    """How the load hangs in one sentence, for who sees neither drawing nor view.

    Raises
    ------
    LookupError
        The offer has no such case.
    """
    solved = _case(offer, case)
    return read_catalogue(language).fill(
        "view3d",
        "pose" if solved.result.tilt_deg >= _LEVEL_DEG else "pose-level",
        case=case_name(case, language=language),
        tilt=show_angle(solved.result.tilt_deg, language=language),
        height=show_length(solved.result.hook_above_cg_m, units, language=language),
    )


def _case(offer: Offer, name: str) -> Case:
    found = offer.case(name)
    if found is None:
        msg = f"the offer has no case {name!r}; it has {', '.join(c.name for c in offer.cases)}"
        raise LookupError(msg)
    return found


def _body(solid: Solid, pose: BodyPose) -> dict[str, Any]:
    return {
        "pose": {"origin_m": list(pose.origin_m), "rotation": [list(row) for row in pose.rotation]},
        "faces": [{"corners_m": _points(face.corners_m), "ruled": face.ruled} for face in solid.faces],
    }


def _leg(leg: LegLine, units: Units, language: str) -> dict[str, Any]:
    key = "label-slack" if leg.slack else "label"
    tension = show_load(leg.tension_n, units, language=language)
    return {
        "path": leg.path,
        "part": leg.part,
        "sling": leg.sling,
        "upper_m": _point(leg.upper_m),
        "lower_m": _point(leg.lower_m),
        "tension_n": leg.tension_n,
        "slack": leg.slack,
        "label": read_catalogue(language).fill(
            "view3d", key, name=leg_name(leg.path, language=language), tension=tension
        ),
    }


def _marks(marks: Sequence[Mark]) -> list[dict[str, Any]]:
    return [{"name": mark.name, "at_m": _point(mark.at_m)} for mark in marks]


def _points(points: Sequence[Sequence[float]]) -> list[list[float]]:
    return [_point(p) for p in points]


def _point(at: Sequence[float]) -> list[float]:
    return [round(c, _DECIMALS) for c in at]
