"""Labels that keep clear: of each other, of the lines, and of the view's edge."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from operator import itemgetter

from slingwright.draw.svg import text_width_mm

__all__ = ["Box", "Clearances", "Placed", "text_box"]

Point = tuple[float, float]
Segment = tuple[Point, Point]
Stand = tuple[Point, Point]  # where a label hangs on, and the direction away from there

_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
_GAPS_MM = (1.0, 3.0, 5.5, 8.5, 12.0)
_LEADER_FROM_MM = 2.5
_COMPASS = 8
_PAST_END = 4.0  # how much worse it is to stand past a segment's end than beside it
_OVER_ANOTHER = 12.0  # and for a leader to run over another sling: as far off as a label may stand
_LINE = 1.22  # line pitch over type size


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the sheet [mm]."""

    x: float
    y: float
    width: float
    height: float

    def overlap(self, other: Box) -> float:
        """Area shared with another rectangle [mm²]."""
        across = min(self.x + self.width, other.x + other.width) - max(self.x, other.x)
        down = min(self.y + self.height, other.y + other.height) - max(self.y, other.y)
        return across * down if across > 0 and down > 0 else 0.0

    def length_inside(self, segment: Segment) -> float:
        """How much of a segment runs through the rectangle [mm] (Liang-Barsky clipping)."""
        (x0, y0), (x1, y1) = segment
        dx, dy = x1 - x0, y1 - y0
        low, high = 0.0, 1.0
        for run, gap in (
            (-dx, x0 - self.x),
            (dx, self.x + self.width - x0),
            (-dy, y0 - self.y),
            (dy, self.y + self.height - y0),
        ):
            if run == 0:
                if gap < 0:
                    return 0.0
                continue
            at = gap / run
            low, high = (max(low, at), high) if run < 0 else (low, min(high, at))
        return max(0.0, high - low) * math.hypot(dx, dy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A label's rectangle and, where it stands off, the point its leader runs to."""

    box: Box
    leader: Segment | None


def text_box(lines: list[str], size_mm: float) -> tuple[float, float]:
    """Width and height of a block of lines [mm]."""
    return max(text_width_mm(t, size_mm) for t in lines), size_mm * _LINE * len(lines)


@dataclass(slots=True)
class Clearances:
    """What a view already holds; `place` finds the clearest of the spots beside a segment."""

    frame: Box
    boxes: list[Box] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)
    faint: list[Segment] = field(default_factory=list)  # may be crossed if there is no better spot
    leaders: list[Segment] = field(default_factory=list)  # of the labels placed so far

    def place(self, segment: Segment, size: tuple[float, float]) -> Placed:
        """Place a block of `size` beside a segment and remember it."""
        best: tuple[float, Placed] | None = None
        for least, stand, gap in _spots(segment):
            if best is not None and least >= best[0]:
                break  # the rest cost more than the best even if they touch nothing
            spot = _spot(stand, gap, size)
            cost = least + self._cost(spot.box, spot.leader) + self._crossed(segment, spot.leader)
            if best is None or cost < best[0]:
                best = cost, spot
        assert best is not None
        self.boxes.append(best[1].box)
        self.leaders += [best[1].leader] if best[1].leader else []
        return best[1]

    def _cost(self, box: Box, leader: Segment | None) -> float:
        outside = box.width * box.height - box.overlap(self.frame)
        on_boxes = sum(box.overlap(b) for b in self.boxes)
        on_lines = sum(box.length_inside(s) for s in (*self.segments, *self.leaders))
        on_lines += sum(b.length_inside(leader) for b in self.boxes) if leader else 0.0
        on_faint = sum(box.length_inside(s) for s in self.faint)
        return 1000.0 * on_boxes + 100.0 * outside + 10.0 * on_lines + 1.5 * on_faint

    def _crossed(self, own: Segment, leader: Segment | None) -> float:
        """A leader that runs over another sling seems to belong to that."""
        if leader is None:
            return 0.0
        return _OVER_ANOTHER * sum(_cross(leader, s) for s in self.segments if s != own)


def _cross(one: Segment, other: Segment) -> bool:
    """Whether each has its ends on different sides of the other; what only touches does not cross."""
    return _parts(one, other) and _parts(other, one)


def _parts(line: Segment, ends: Segment) -> bool:
    (x0, y0), (x1, y1) = line
    a, b = ((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) for x, y in ends)
    return a * b < 0


def _spots(segment: Segment) -> list[tuple[float, Stand, float]]:
    """All spots, the cheapest first: what each costs at least, where it hangs on, how far off it stands."""
    out = [(gap + worse, (at, away), gap) for worse, at, away in _stands(segment) for gap in _GAPS_MM]
    return sorted(out, key=itemgetter(0))


def _spot(stand: Stand, gap: float, size: tuple[float, float]) -> Placed:
    """A block of `size` that stands off by `gap`."""
    (px, py), (nx, ny) = stand
    reach = abs(nx) * size[0] / 2 + abs(ny) * size[1] / 2 + gap
    cx, cy = px + nx * reach, py + ny * reach
    box = Box(cx - size[0] / 2, cy - size[1] / 2, size[0], size[1])
    return Placed(box=box, leader=None if gap < _LEADER_FROM_MM else ((px, py), _nearest(box, (px, py))))


def _stands(segment: Segment) -> list[tuple[float, Point, Point]]:
    """Where a label may hang on: (how much worse than the best, point, direction away).

    Beside a segment, best at its middle; past its far end where all beside it is taken; round a point, eight
    directions.
    """
    (x0, y0), (x1, y1) = segment
    long = math.hypot(x1 - x0, y1 - y0)
    if long == 0:
        turns = (math.tau * i / _COMPASS for i in range(_COMPASS))
        return [(0.0, (x0, y0), (math.cos(t), math.sin(t))) for t in turns]
    nx, ny = (y1 - y0) / long, -(x1 - x0) / long
    beside = [
        (abs(share - 0.5) * 2, (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share), (side * nx, side * ny))
        for side in (1.0, -1.0)
        for share in _SHARES
    ]
    away = math.copysign(1.0, x1 - x0)
    past = [(_PAST_END, (x1, y1), way) for way in ((-ny, nx), (away, 0.0), (0.0, 1.0), (0.0, -1.0))]
    return beside + past


def _nearest(box: Box, to: Point) -> Point:
    return (
        min(max(to[0], box.x), box.x + box.width),
        min(max(to[1], box.y), box.y + box.height),
    )
