"""Lifts to draw and print: the contract's examples, and some made up here to be awkward."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

from slingwright.arrangement.model import Arrangement, Holding
from slingwright.check import Outcome
from slingwright.choose.offer import Answer, Refused
from slingwright.lift.model import Beam, EdgeRadius, Hook, Section, Shape
from slingwright.sling import Fibre, Hitch
from tests.golden.building import (
    SEARCH,
    STATICS,
    Scene,
    finding,
    leg,
    make_lift,
    make_scene,
    round_sections,
    slung_round,
)


@cache
def chiller(
    *, units: str = "us", title: str = "Chiller onto the plant-room roof", adopted: bool = False
) -> Scene:
    picks = {
        "A": (0.15, 0.15, 1.95),
        "B": (2.55, 0.15, 1.95),
        "C": (2.55, 1.35, 1.95),
        "D": (0.15, 1.35, 1.95),
    }
    lift = make_lift(
        title, (2.7, 1.5, 1.95), 52500.0, (1.3, 0.72, 0.8), picks=tuple(picks.items()), units=units
    )
    arrangement = Arrangement(
        family="bridle-4",
        placement="A B C D",
        holdings=tuple(leg(n, n, at) for n, at in picks.items()),
        hooks_xy_m=((1.3, 0.72),),
    )
    return make_scene(lift, arrangement, [2.75] * 4, adopted=adopted)


@cache
def tilted_chiller() -> Scene:
    """A hang with a slack leg and a tilt that the eye can see (one leg far too long)."""
    scene = chiller()
    return make_scene(scene.lift, scene.offer.arrangement, [2.75, 2.6, 2.75, 3.2])


@cache
def pipe() -> Scene:
    lift = make_lift(
        "40 ft pipe into the trench, no lugs",
        (12.19, 0.61, 0.61),
        30000.0,
        (6.3, 0.305, 0.305),
        shape=Shape.CYLINDER,
        sections=round_sections(12.19, 0.61),
        diameter_m=0.61,
        hooks=(Hook(headroom_m=7.5, thickness_m=0.06),),
        edge=EdgeRadius(radius_m=0.305),
    )
    holdings = slung_round(lift.load, (4.3, 8.3), (0.305, 5.0), Hitch.BASKET)
    arrangement = Arrangement(
        family="basket-2", placement="4.30 8.30", holdings=holdings, hooks_xy_m=((6.3, 0.305),)
    )
    return make_scene(lift, arrangement, [10.6, 10.6], protection="wear-sleeve")


@cache
def block() -> Scene:
    """Two baskets round a box with sharp edges, metric."""
    lift = make_lift(
        "Stone block onto its plinth",
        (2.0, 1.0, 1.2),
        30000.0,
        (1.05, 0.5, 0.45),
        hooks=(Hook(headroom_m=4.0),),
        units="si",
    )
    holdings = slung_round(lift.load, (0.4, 1.6), (0.5, 3.4), Hitch.BASKET)
    arrangement = Arrangement(
        family="basket-2", placement="0.40 1.60", holdings=holdings, hooks_xy_m=((1.05, 0.5),)
    )
    return make_scene(lift, arrangement, [7.9, 7.9], protection="radius-former")


@cache
def bundle() -> Scene:
    """Two double-wrap chokers round a long bundle."""
    lift = make_lift(
        "Bundle of rebar",
        (9.0, 0.5, 0.4),
        17000.0,
        (4.5, 0.25, 0.2),
        shape=Shape.BUNDLE,
        loose=True,
        hooks=(Hook(headroom_m=6.0, thickness_m=0.05),),
    )
    holdings = slung_round(lift.load, (2.2, 6.8), (0.25, 5.0), Hitch.CHOKER, wraps=2)
    arrangement = Arrangement(
        family="double-choker-2", placement="2.20 6.80", holdings=holdings, hooks_xy_m=((4.5, 0.25),)
    )
    return make_scene(lift, arrangement, [8.8, 8.8], protection="wear-sleeve")


@cache
def vessel() -> Scene:
    """A tall narrow vessel on two legs."""
    picks = {"north lug": (0.1, 0.75, 9.0), "south lug": (1.4, 0.75, 9.0)}
    lift = make_lift(
        "Vessel, upright",
        (1.5, 1.5, 9.0),
        40000.0,
        (0.77, 0.75, 4.1),
        picks=tuple(picks.items()),
        hooks=(Hook(headroom_m=12.0, thickness_m=0.05),),
    )
    arrangement = Arrangement(
        family="bridle-2",
        placement="north south",
        holdings=tuple(leg(n[0].upper(), n, at) for n, at in picks.items()),
        hooks_xy_m=((0.77, 0.75),),
    )
    return make_scene(lift, arrangement, [1.5, 1.5])


@cache
def under_beam() -> Scene:
    beam = Beam(
        name="Beam 2", span_m=3.0, weight_n=3200.0, rated_n=90000.0, least_top_angle_deg=45.0, depth_m=0.24
    )
    lift = make_lift(
        "Girder box under the beam",
        (4.0, 1.0, 1.2),
        60000.0,
        (2.1, 0.5, 0.6),
        picks=(("W", (0.5, 0.5, 1.2)), ("E", (3.5, 0.5, 1.2))),
        hooks=(Hook(headroom_m=6.5),),
    )
    holdings = (
        Holding(id="T1", hitch=Hitch.VERTICAL, hook=0, beam_end=0, role="top"),
        Holding(id="T2", hitch=Hitch.VERTICAL, hook=0, beam_end=1, role="top"),
        Holding(id="A", hitch=Hitch.VERTICAL, hook=None, beam_end=0, pick="W", lower_m=(0.5, 0.5, 1.2)),
        Holding(id="B", hitch=Hitch.VERTICAL, hook=None, beam_end=1, pick="E", lower_m=(3.5, 0.5, 1.2)),
    )
    arrangement = Arrangement(
        family="beam-vertical",
        placement="W E",
        holdings=holdings,
        lengths="beam",
        beam=beam,
        hooks_xy_m=((2.0, 0.5),),
    )
    return make_scene(lift, arrangement, [2.95, 2.95, 1.8, 1.8], weaker=1.5)


@cache
def two_hooks() -> Scene:
    picks = {"north": (0.4, 0.5, 1.2), "south": (3.6, 0.5, 1.2)}
    lift = make_lift(
        "Box on two hooks",
        (4.0, 1.0, 1.2),
        60000.0,
        (2.2, 0.5, 0.6),
        picks=tuple(picks.items()),
        hooks=(Hook(headroom_m=4.6, at_m=(0.4, 0.5)), Hook(headroom_m=4.6, at_m=(3.6, 0.5))),
    )
    holdings = tuple(leg("AB"[i], n, at, hook=i) for i, (n, at) in enumerate(picks.items()))
    arrangement = Arrangement(
        family="hooks-vertical",
        placement="north south",
        holdings=holdings,
        hooks_xy_m=((0.4, 0.5), (3.6, 0.5)),
    )
    return make_scene(lift, arrangement, [2.95, 2.95], weaker=1.7)


@cache
def hull() -> Scene:
    stations = ((0.0, 0.3), (0.15, 0.8), (0.5, 1.0), (0.85, 0.9), (1.0, 0.75))
    sections = []
    for share, beam in stations:
        half = beam * 1.25
        ring = (
            (1.25 - 0.1 * half, 0.0),
            (1.25 + 0.1 * half, 0.0),
            (1.25 + half, 0.7),
            (1.25 + half, 1.6),
            (1.25 - half, 1.6),
            (1.25 - half, 0.7),
        )
        sections.append(Section(x_m=share * 8.2, points_m=ring))
    lift = make_lift(
        "Work boat out of the water",
        (8.2, 2.5, 1.6),
        34000.0,
        (4.4, 1.25, 0.8),
        shape=Shape.HULL,
        sections=tuple(sections),
        sections_assumed=True,
        hooks=(Hook(headroom_m=9.0, thickness_m=0.06),),
    )
    holdings = slung_round(lift.load, (1.7, 6.6), (1.25, 7.0), Hitch.BASKET)
    arrangement = Arrangement(
        family="basket-2", placement="1.70 6.60", holdings=holdings, hooks_xy_m=((4.4, 1.25),)
    )
    return make_scene(lift, arrangement, [17.0, 17.0], protection="wear-sleeve")


@cache
def many_legs() -> Scene:
    """Eight legs to long-named lugs on a ring: as crowded as a drawing gets."""
    turns = [math.tau * i / 8 + 0.2 for i in range(8)]
    picks = {
        f"lifting lug number {i}": (3 + 2.5 * math.cos(t), 3 + 2.5 * math.sin(t), 1.0)
        for i, t in enumerate(turns, start=1)
    }
    lift = make_lift(
        "Tank floor ring on eight legs, with a name that goes on for a while",
        (6.0, 6.0, 1.0),
        80000.0,
        (3.1, 2.95, 0.5),
        picks=tuple(picks.items()),
        hooks=(Hook(headroom_m=9.0, thickness_m=0.05),),
    )
    legs = tuple(leg("ABCDEFGH"[i], n, at) for i, (n, at) in enumerate(picks.items()))
    arrangement = Arrangement(family="bridle-n", placement="ring", holdings=legs, hooks_xy_m=((3.1, 2.95),))
    return make_scene(lift, arrangement, [4.5] * 8)


@cache
def unknown_centre() -> Scene:
    """The chiller with a centre of gravity that nobody knows."""
    scene = chiller(adopted=True)
    centre = replace(scene.lift.load.centre, known=False, low_m=(0.68, 0.38, 0.49), high_m=(2.02, 1.12, 1.46))
    lift = replace(scene.lift, load=replace(scene.lift.load, centre=centre))
    return Scene(lift=lift, answer=scene.answer)


@cache
def stopped() -> Scene:
    """A stop: nothing is offered."""
    scene = vessel()
    stop = finding("stability", "capsizes", Outcome.STOP, cure="raise-picks", citation=STATICS)
    nearest = Refused(family="bridle-2", fibre=Fibre.POLYESTER, finding=stop, off_by=None)
    return Scene(
        lift=replace(scene.lift, title="Vessel, picked below its centre"),
        answer=Answer(answer="stop", offers=(), refused=(nearest,), search=SEARCH, stops=(stop,)),
    )


ALL = {
    f.__name__: f
    for f in (chiller, tilted_chiller, pipe, block, bundle, vessel, under_beam, two_hooks, hull, many_legs)
}
