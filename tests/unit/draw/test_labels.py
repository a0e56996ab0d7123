"""Where labels stand: clear of every sling, even in a view with hardly any room."""

from __future__ import annotations

from itertools import combinations

from slingwright.draw.labels import Box, Clearances

HOOK = (60.0, 12.0)
FEET = ((48.0, 9.5), (48.0, 14.5), (72.0, 9.5), (72.0, 14.5))
WORDS = (17.0, 3.4)  # "A izquierda" is longer than "A left"


def test_labels_of_a_long_thin_load_from_above_lie_on_no_sling() -> None:
    """There is no room beside the legs, that lean in on each other: past their ends there is."""
    keep = Clearances(frame=Box(10.0, 5.0, 100.0, 17.0))
    keep.segments += [(HOOK, foot) for foot in FEET]
    keep.boxes.append(Box(48.0, 16.5, 24.0, 3.0))  # the caption of the front side
    found = [keep.place((HOOK, foot), WORDS).box for foot in FEET]
    for box in found:
        assert sum(box.length_inside(segment) for segment in keep.segments) == 0
    assert all(a.overlap(b) == 0 for a, b in combinations(found, 2))


def test_a_label_stands_beside_the_middle_where_there_is_room() -> None:
    keep = Clearances(frame=Box(0.0, 0.0, 100.0, 100.0))
    box = keep.place(((50.0, 10.0), (50.0, 90.0)), WORDS).box
    assert box.y + box.height / 2 == 50.0
    assert box.x > 50.0 or box.x + box.width < 50.0


def test_no_label_lies_on_the_leader_of_another() -> None:
    keep = Clearances(frame=Box(0.0, 0.0, 100.0, 100.0))
    keep.boxes.append(Box(44.0, 44.0, 12.0, 12.0))  # a crowd round the first one's point
    first = keep.place(((50.0, 50.0), (50.0, 50.0)), WORDS)
    assert first.leader in keep.leaders
    across = (20.0, 80.0), (40.0, 80.0)
    keep.leaders.append(across)
    second = keep.place(((30.0, 70.0), (30.0, 90.0)), WORDS)
    assert second.box.length_inside(across) == 0


def test_no_leader_runs_over_another_sling() -> None:
    """Beside the left leg there is no room but across the right one; past its end there is."""
    keep = Clearances(frame=Box(0.0, 0.0, 100.0, 100.0))
    left, right = ((30.0, 10.0), (30.0, 40.0)), ((33.0, 5.0), (33.0, 45.0))
    keep.segments += [left, right]
    keep.boxes.append(Box(0.0, 5.0, 28.5, 40.0))
    leader = keep.place(left, WORDS).leader
    assert leader is None or max(leader[0][0], leader[1][0]) <= 33.0
