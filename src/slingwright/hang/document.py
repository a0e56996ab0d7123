"""Hang problems and their answers as documents (`docs/reference/contract.md`), each fault with its field.

Reads the contract's form and the short form (`weight_n`, `centre_of_gravity_m`, legs with `upper_m` and
`pick_m`). What it writes, it reads back as the same problem, bit for bit.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slingwright.hang._checks import check_problem
from slingwright.hang._limits import (
    LENGTH_LEAST_M,
    LENGTH_MOST_M,
    MOST_BODIES,
    MOST_PATHS,
    MOST_POINTS,
    RATED_MOST_N,
    SIZE_M,
    STRAIN_LEAST,
    STRAIN_MOST,
    WEIGHT_LEAST_N,
    WEIGHT_MOST_N,
)
from slingwright.hang._read import Reader
from slingwright.hang.problem import WORLD, Body, Path, Point, Problem
from slingwright.hang.result import BodyPose, Hang, PathHang

__all__ = ["hang_to_document", "problem_from_document", "problem_to_document"]

_TOP = ("bodies", "paths", "hook_m")
_SHORT_TOP = ("weight_n", "centre_of_gravity_m", "paths", "hook_m")
_BODY = ("name", "weight_n", "centre_of_gravity_m", "start_m")
_FIGURES = ("length_m", "rated_n", "strain_at_rated", "sling", "lies_m", "elastic_m")
_PATH = ("name", "points", *_FIGURES)
_SHORT_PATH = ("name", "upper_m", "pick_m", *_FIGURES)
_POINT = ("on", "at_m")


def problem_from_document(doc: Mapping[str, Any], field: str = "") -> Problem:
    """Read a hang problem, in the contract's form or the short form.

    Parameters
    ----------
    doc : parsed JSON or TOML.
    field : where the document stands in a larger one; put before every fault's field.

    Raises
    ------
    InputFault
        With every fault found: unknown keys, wrong types, figures out of range, problems that make no sense.
    """
    read = Reader()
    pre = f"{field}." if field else ""
    short = (
        isinstance(doc, Mapping)
        and "bodies" not in doc
        and bool({"weight_n", "centre_of_gravity_m"} & doc.keys())
    )
    top = read.table(doc, field, _SHORT_TOP if short else _TOP)
    if not isinstance(doc, Mapping):
        read.stop_if_faulty()
    if short:
        bodies: tuple[Body, ...] = (
            _body({**_pick(top, "weight_n", "centre_of_gravity_m"), "name": "load"}, field, 0, read),
        )
    else:
        listed = read.items(top.get("bodies"), f"{pre}bodies", 1, MOST_BODIES)
        bodies = tuple(_body(b, f"{pre}bodies[{i}]", i, read) for i, b in enumerate(listed))
    least_legs = read.items(top.get("paths"), f"{pre}paths", 1, MOST_PATHS)
    paths = tuple(_path(p, f"{pre}paths[{i}]", i, short, read) for i, p in enumerate(least_legs))
    hook = read.vector(top["hook_m"], f"{pre}hook_m", size=SIZE_M) if top.get("hook_m") is not None else None
    read.stop_if_faulty()
    problem = Problem(bodies=bodies, paths=paths, hook_m=hook)
    check_problem(problem, pre, read)
    read.stop_if_faulty()
    return problem


def _pick(table: Mapping[str, object], *keys: str) -> dict[str, object]:
    return {k: table[k] for k in keys if k in table}


def _body(doc: object, field: str, i: int, read: Reader) -> Body:
    table = read.table(doc, field, _BODY)
    pre = f"{field}." if field else ""
    start = table.get("start_m")
    return Body(
        name=read.text(table.get("name"), f"{pre}name", "load" if i == 0 else f"body {i + 1}"),
        weight_n=read.number(
            table.get("weight_n"), f"{pre}weight_n", low=WEIGHT_LEAST_N, high=WEIGHT_MOST_N, unit="N"
        ),
        centre_of_gravity_m=read.vector(
            table.get("centre_of_gravity_m"), f"{pre}centre_of_gravity_m", size=SIZE_M
        ),
        start_m=(0.0, 0.0, 0.0) if start is None else read.vector(start, f"{pre}start_m", size=SIZE_M),
    )


def _path(doc: object, field: str, i: int, short: bool, read: Reader) -> Path:
    table = read.table(doc, field, _SHORT_PATH if short else _PATH)
    sling, lies, elastic = table.get("sling"), table.get("lies_m"), table.get("elastic_m")

    def length(value: object, key: str, low: float = LENGTH_LEAST_M) -> float:
        return read.number(value, f"{field}.{key}", low=low, high=LENGTH_MOST_M, unit="m")

    return Path(
        name=read.text(table.get("name"), f"{field}.name", f"leg {i + 1}"),
        points=_points(table, field, short, read),
        length_m=length(table.get("length_m"), "length_m"),
        rated_n=read.number(
            table.get("rated_n"), f"{field}.rated_n", low=0.0, above=True, high=RATED_MOST_N, unit="N"
        ),
        strain_at_rated=read.number(
            table.get("strain_at_rated"), f"{field}.strain_at_rated", low=STRAIN_LEAST, high=STRAIN_MOST
        ),
        sling=i if sling is None else read.whole(sling, f"{field}.sling", low=0, high=MOST_PATHS),
        lies_m=None if lies is None else length(lies, "lies_m", 0.0),
        elastic_m=None if elastic is None else length(elastic, "elastic_m"),
    )


def _points(table: Mapping[str, object], field: str, short: bool, read: Reader) -> tuple[Point, ...]:
    if short:
        return (
            Point(WORLD, read.vector(table.get("upper_m"), f"{field}.upper_m", size=SIZE_M)),
            Point("load", read.vector(table.get("pick_m"), f"{field}.pick_m", size=SIZE_M)),
        )
    points = []
    for k, doc in enumerate(read.items(table.get("points"), f"{field}.points", 2, MOST_POINTS)):
        at = f"{field}.points[{k}]"
        point = read.table(doc, at, _POINT)
        points.append(
            Point(
                read.text(point.get("on"), f"{at}.on"),
                read.vector(point.get("at_m"), f"{at}.at_m", size=SIZE_M),
            )
        )
    return tuple(points)


def problem_to_document(problem: Problem) -> dict[str, Any]:
    """The problem in the contract's form, ready for `json.dumps`; reads back as the same problem."""
    doc: dict[str, Any] = {
        "bodies": [
            {
                "name": b.name,
                "weight_n": b.weight_n,
                "centre_of_gravity_m": list(b.centre_of_gravity_m),
                "start_m": list(b.start_m),
            }
            for b in problem.bodies
        ],
        "paths": [_path_to_document(p) for p in problem.paths],
    }
    if problem.hook_m is not None:
        doc["hook_m"] = list(problem.hook_m)
    return doc


def _path_to_document(path: Path) -> dict[str, Any]:
    doc: dict[str, Any] = {
        "name": path.name,
        "sling": path.sling,
        "points": [{"on": q.on, "at_m": list(q.at_m)} for q in path.points],
        "length_m": path.length_m,
    }
    if path.lies_m is not None:
        doc["lies_m"] = path.lies_m
    if path.elastic_m is not None:
        doc["elastic_m"] = path.elastic_m
    return doc | {"rated_n": path.rated_n, "strain_at_rated": path.strain_at_rated}


def hang_to_document(hang: Hang) -> dict[str, Any]:
    """The answer's keys of `slingwright/hang/1`, without the document's head; absent figures are None."""
    return {
        "status": str(hang.status),
        "determinate": hang.determinate,
        "null_modes": list(hang.null_modes),
        "paths": [_path_hang(p) for p in hang.paths],
        "bodies": [_pose(b) for b in hang.bodies],
        "tilt_deg": hang.tilt_deg,
        "tilt_direction_deg": hang.tilt_direction_deg,
        "hook_above_cg_m": hang.hook_above_cg_m,
        "supports": [{"at_m": list(s.at_m), "force_n": list(s.force_n)} for s in hang.supports],
        "stability": {
            "centre_may_rise_m": hang.stability.centre_may_rise_m,
            "push_deg": hang.stability.push_deg,
        },
        "reach_margin_m": hang.reach_margin_m,
        "residual": hang.residual,
    }


def _path_hang(path: PathHang) -> dict[str, Any]:
    return {
        "name": path.name,
        "tension_n": path.tension_n,
        "slack": path.slack,
        "angle_from_horizontal_deg": path.angle_from_horizontal_deg,
        "angle_from_vertical_deg": path.angle_from_vertical_deg,
        "lower_angle_from_horizontal_deg": path.lower_angle_from_horizontal_deg,
        "lower_angle_from_vertical_deg": path.lower_angle_from_vertical_deg,
        "stretch_m": path.stretch_m,
    }


def _pose(pose: BodyPose) -> dict[str, Any]:
    return {
        "name": pose.name,
        "origin_m": list(pose.origin_m),
        "rotation": [list(row) for row in pose.rotation],
    }
