"""The scene in space is the sheet's own picture: poses, parts and words agree with the solved case."""

from __future__ import annotations

import pytest

from slingwright.draw import pose_sentence, scene_document
from slingwright.draw.picture import take_picture
from slingwright.units import Units
from tests.golden import scenes

NAMES = sorted(scenes.ALL)


@pytest.mark.parametrize("name", NAMES)
def test_a_body_put_by_its_pose_stands_where_the_sheet_has_it(name: str) -> None:
    scene = scenes.ALL[name]()
    doc = scene_document(scene.lift, scene.offer, units=Units.US)
    solved = scene.offer.case("stiff")
    assert solved is not None
    picture = take_picture(scene.lift, scene.offer, solved)
    for body, solid in ((doc["load"], picture.load), (doc["beam"], picture.beam)):
        assert (body is None) == (solid is None)
        if body is None or solid is None:
            continue
        origin, rotation = body["pose"]["origin_m"], body["pose"]["rotation"]
        for own, world in zip(body["faces"], solid.faces, strict=True):
            for p, q in zip(own["corners_m"], world.corners_m, strict=True):
                turned = [sum(a * b for a, b in zip(row, p, strict=True)) for row in rotation]
                placed = [o + t for o, t in zip(origin, turned, strict=True)]
                assert placed == pytest.approx(list(q), abs=5e-6)  # corners are written to a micrometre


@pytest.mark.parametrize("name", NAMES)
def test_every_free_part_is_there_with_its_tension(name: str) -> None:
    scene = scenes.ALL[name]()
    doc = scene_document(scene.lift, scene.offer, units=Units.SI)
    solved = scene.offer.case("stiff")
    assert solved is not None
    assert {leg["path"]: (leg["tension_n"], leg["slack"]) for leg in doc["legs"]} == {
        path.name: (path.tension_n, path.slack) for path in solved.result.paths
    }


def test_a_slack_leg_is_labelled_slack_and_has_no_figure() -> None:
    scene = scenes.tilted_chiller()
    labels = {
        leg["path"]: leg["label"] for leg in scene_document(scene.lift, scene.offer, units=Units.US)["legs"]
    }
    assert labels["D"] == "D slack"
    assert labels["A"].endswith(" lb")


def test_the_pose_is_told_in_one_sentence() -> None:
    tilted = pose_sentence(scenes.tilted_chiller().offer, units=Units.US)
    assert "7.9° out of level" in tilted
    assert "hangs level" in pose_sentence(scenes.ALL["pipe"]().offer, units=Units.US)


def test_a_case_that_is_not_there_is_refused() -> None:
    scene = scenes.chiller()
    with pytest.raises(LookupError, match="no case 'nought'"):
        scene_document(scene.lift, scene.offer, units=Units.US, case="nought")
