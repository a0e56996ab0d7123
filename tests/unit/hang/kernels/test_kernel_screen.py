"""What a sieve reads of a solved sample, part by part, on figures put in by hand."""

from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_screen as ks

UPRIGHT = np.array([[0.0, 0.0, 1.0]])


def pulls(tension, angle, limit=100.0, pick=(50.0, 200.0, 400.0)):
    found = np.full(ks.FIGURES, 7.0)
    tensions, angles = (np.array([[9e9] * 3, row]) for row in (tension, angle))
    ks.pulls_of(1, limit, np.array(pick), tensions, angles, found)
    assert (found[[ks.HEIGHT, ks.LEAN, ks.ALONG, ks.SPREAD]] == 7.0).all()  # not its own
    return found[[ks.SHARE, ks.PICK, ks.TAUT, ks.FLATTEST]].tolist()


@pytest.mark.parametrize(
    ("tension", "angle", "right"),
    [
        ((40.0, 60.0, 80.0), (61.0, 47.0, 52.0), [0.8, 0.8, 3, 47.0]),
        ((10.0, 150.0, 80.0), (61.0, 47.0, 52.0), [1.5, 0.75, 3, 47.0]),
        ((10.0, 0.0, 160.0), (61.0, 12.0, 52.0), [1.6, 0.4, 2, 52.0]),  # a slack leg's angle tells nothing
        ((0.0, 0.0, 0.1), (61.0, 12.0, 52.0), [0.001, 0.00025, 1, 52.0]),
        ((0.0, 0.0, 0.0), (61.0, 12.0, 52.0), [0.0, 0.0, 0, 90.0]),
    ],
)
def test_shares_taut_legs_and_the_flattest(tension, angle, right):
    assert pulls(tension, angle) == pytest.approx(right)


@pytest.mark.parametrize(
    ("up", "low"),
    [
        ((0.0, 0.0, 1.0), -0.5),
        ((0.0, 0.0, -1.0), -1.2 + 0.5),
        ((0.6, 0.0, 0.8), -0.6 * 1.6 - 0.8 * 0.5),
        ((-0.6, 0.0, 0.8), -0.6 * (3.0 - 1.6) - 0.8 * 0.5),
        ((0.0, -0.6, 0.8), -0.6 * (1.6 - 0.7) - 0.8 * 0.5),
        ((0.48, 0.6, 0.64), -0.48 * 1.6 - 0.6 * 0.7 - 0.64 * 0.5),
    ],
)
def test_the_hook_is_over_the_lowest_corner(up, low):
    """Of a box of 3 by 1.6 by 1.2 m about a centre of the second row, in the pose of the third."""
    ups, centre = np.array([[9.0] * 3, [9.0] * 3, up]), np.array([[[9.0] * 3], [[1.6, 0.7, 0.5]]])
    height = ks.height_of(2, 1, 4.0, centre, ups, np.array([3.0, 1.6, 1.2]))
    assert height == pytest.approx(4.0 - low)


POINTS = [(0.0, 0.0, 0.0), (1.0, 2.0, 1.0), (4.0, 2.0, 1.0), (1.0, 6.0, 1.0)]  # the first is no leg's own
CENTRE = (2.0, 3.0, 1.0)
ABOVE = 4.0


def legs(tension, upright, along, up=(0.0, 0.0, 1.0), pick=(1, 2, 3)):
    """Lean, angle along the load, spread, of the second row of everything that has rows."""
    far = [[9.0] * 3]
    found, way = np.full(ks.FIGURES, 7.0), np.full((3, 3), np.nan)
    ks.legs_of(
        1, 1, 1, np.array(pick), np.array([[[9.0] * 3] * 4, POINTS]), np.array([far, [CENTRE]]),
        np.array([[9.0] * 3, up]), ABOVE, np.array([[1.0] * 3, tension]), np.array(upright), np.array(along),
        way, found,
    )  # fmt: skip
    assert (found[[ks.SHARE, ks.PICK, ks.TAUT, ks.FLATTEST, ks.HEIGHT]] == 7.0).all()
    return found[[ks.LEAN, ks.ALONG, ks.SPREAD]].tolist()


def right(tension, upright, along, up=(0.0, 0.0, 1.0)):
    """The same by vectors: the hook hangs above the centre, in the load's coordinates."""
    ways = np.array(CENTRE) + ABOVE * np.array(up) - np.array(POINTS)[1:]
    ways = ways / np.linalg.norm(ways, axis=1)[:, None]
    taut = np.array(tension) > 0
    lean = np.degrees(np.arccos(ways[taut & np.array(upright), 2]))
    flat = np.degrees(np.arctan2(ways[:, 2], np.abs(ways[:, 0])))[taut & np.array(along)]
    return [max(lean, default=0.0), min(flat, default=90.0), (ways[taut] @ ways[taut].T).min(initial=1.0)]


YES, NO = (True, True, True), (False, False, False)


@pytest.mark.parametrize(
    ("tension", "upright", "along", "up"),
    [
        ((1.0, 1.0, 1.0), YES, YES, (0.0, 0.0, 1.0)),
        ((1.0, 1.0, 1.0), YES, YES, (0.48, -0.36, 0.8)),
        ((1.0, 1.0, 1.0), YES, YES, (-0.36, 0.48, 0.8)),
        ((1.0, 1.0, 1.0), NO, NO, (0.0, 0.0, 1.0)),
        ((1.0, 1.0, 1.0), (False, True, False), (True, False, False), (0.0, 0.0, 1.0)),
        ((1.0, 1.0, 1.0), (True, False, False), (False, True, False), (0.0, 0.0, 1.0)),
        ((1.0, 0.0, 1.0), YES, YES, (0.0, 0.0, 1.0)),
        ((0.0, 1.0, 1.0), YES, YES, (0.36, 0.48, 0.8)),
        ((0.0, 0.1, 0.0), YES, YES, (0.36, 0.48, 0.8)),
        ((0.0, 0.0, 0.0), YES, YES, (0.0, 0.0, 1.0)),
    ],
)
def test_lean_angle_along_and_spread_of_taut_legs(tension, upright, along, up):
    assert legs(tension, upright, along, up) == pytest.approx(right(tension, upright, along, up), abs=1e-12)


def test_opposite_legs_are_a_straight_angle_apart_and_no_more():
    """Rounding may bring a cosine below -1, of which no angle would be told."""
    up, points, centre = np.array([[0.0, 0.0, 1.0]]), np.zeros((1, 2, 3)), np.zeros((1, 1, 3))
    points[0, :, 0] = (-0.1, 0.1)
    found, way, beyond = np.zeros(ks.FIGURES), np.empty((2, 3)), 0
    two, every = np.ones((1, 2)), np.zeros(2, np.bool_)
    for y in np.linspace(0.0, 0.3, 50):
        points[0, 0, 1], points[0, 1, 1] = -y, y
        ks.legs_of(0, 0, 0, np.array([0, 1]), points, centre, up, 0.0, two, every, every, way, found)
        assert found[ks.SPREAD] >= -1.0
        assert found[ks.SPREAD] == pytest.approx(-1.0)
        beyond += float(way[0] @ way[1]) <= -1.0
    assert beyond


@pytest.mark.parametrize("varied", ["points", "centre", "both", "none"])
def test_every_sample_is_read_from_its_own_rows_or_the_one_of_all(varied):
    """Two samples whose rows differ: a figure that does not vary has one row."""
    points, ups = np.array([POINTS, POINTS]), np.array([[0.0, 0.0, 1.0], [0.48, -0.36, 0.8]])
    points[1, :, 2] -= 0.25
    centre = np.array([[CENTRE], [(1.5, 3.5, 0.75)]])
    if varied in ("centre", "none"):
        points = points[:1]
    if varied in ("points", "none"):
        centre = centre[:1]
    tension = np.array([[30.0, 20.0, 10.0], [25.0, 0.0, 50.0]])
    angle = np.array([[70.0, 50.0, 60.0], [44.0, 33.0, 55.0]])
    above, pick, limit = np.array([4.0, 5.0]), np.array([1, 2, 3]), np.array([40.0, 80.0])
    upright, along = np.array([True, False, True]), np.array([True, True, False])
    size, picked = np.array([5.0, 7.0, 1.0]), np.array([60.0, 60.0, 60.0])
    names = (
        "slack", "share", "pick_share", "lean_deg", "flattest_deg", "along_deg", "spread_deg", "height_m",
    )  # fmt: skip
    found = SimpleNamespace(**{name: np.full(2, np.nan) for name in names})
    ks.read_samples(
        pick, SimpleNamespace(point_m=points, centre_m=centre),
        SimpleNamespace(
            tension_n=tension, up=ups, status=np.zeros(2, np.int8), hook_above_cg_m=above, angle_deg=angle
        ),
        SimpleNamespace(limit_n=limit, pick_n=picked, upright=upright, along=along, size_m=size), found,
    )  # fmt: skip
    assert found.slack.tolist() == [0.0, 1.0]
    assert found.share == pytest.approx([0.75, 0.625])
    assert found.pick_share == pytest.approx([0.5, 5 / 6])
    assert found.flattest_deg.tolist() == [50.0, 44.0]
    for s in range(2):
        q, c = min(s, len(points) - 1), min(s, len(centre) - 1)
        one, way = np.empty(ks.FIGURES), np.empty((3, 3))
        ks.legs_of(s, q, c, pick, points, centre, ups, above[s], tension, upright, along, way, one)
        told = (found.lean_deg[s], found.along_deg[s], np.cos(np.radians(found.spread_deg[s])))
        assert told == pytest.approx(one[[ks.LEAN, ks.ALONG, ks.SPREAD]].tolist())
        assert 10.0 < found.spread_deg[s] < 180.0
        assert found.height_m[s] == pytest.approx(ks.height_of(s, c, above[s], centre, ups, size))
