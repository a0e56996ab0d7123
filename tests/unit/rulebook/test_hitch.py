"""Hitch factors, angle of choke, limits of parts and hitches; figures by hand from the printed ones."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from slingwright.citation import Cited
from slingwright.errors import InputFault
from slingwright.rulebook import Choke, ChokeState, Rating, Refusal, Rulebook
from slingwright.sling import Form, Hitch, SlingSpec

LB_N = 4.4482216152605
FREE = Choke(state=ChokeState.FREE)
UNKNOWN = Choke(state=ChokeState.UNKNOWN)


def stated(angle_deg: float) -> Choke:
    return Choke(state=ChokeState.STATED, angle_deg=angle_deg)


# Lower of scheme P (DOMAIN T4, after WSTDA) and scheme Q (wire-rope figure of ASME B30.9) at every angle;
# DOMAIN 3.2 "envelope", and at exactly 120 the stricter .87 of Q.
@pytest.mark.parametrize(
    ("angle_deg", "factor"),
    [
        (180, 1.0), (135, 1.0), (120.001, 1.0), (120, 0.87), (119.999, 0.82), (105, 0.82), (104.999, 0.71),
        (90, 0.71), (89.999, 0.58), (60, 0.58), (59.999, 0.50), (30, 0.50), (29.999, 0.49), (0, 0.49),
        (-5, 0.49), (200, 1.0),
    ],
)  # fmt: skip
def test_choke_envelope(us: Rulebook, angle_deg: float, factor: float) -> None:
    band = us.choke_band(ChokeState.STATED, angle_deg)
    assert isinstance(band, Cited)
    assert band.value == factor


def test_choke_states(us: Rulebook, en: Rulebook) -> None:
    free, unknown = us.choke_band(ChokeState.FREE), us.choke_band(ChokeState.UNKNOWN)
    assert isinstance(free, Cited)
    assert isinstance(unknown, Cited)
    assert (free.value, unknown.value) == (1.0, 0.49)
    # an angle beside "unknown" or "free" is not believed
    beside = us.choke_band(ChokeState.UNKNOWN, 150.0)
    assert isinstance(beside, Cited)
    assert beside.value == 0.49
    unstated = us.choke_band(ChokeState.STATED)
    assert isinstance(unstated, Refusal)
    assert unstated.reason == "choke-angle-needed"
    own_free = en.choke_band(ChokeState.FREE)
    assert isinstance(own_free, Cited)
    assert own_free.value == 1.0
    for state, angle in ((ChokeState.UNKNOWN, None), (ChokeState.STATED, 130.0)):
        refused = en.choke_band(state, angle)
        assert isinstance(refused, Refusal)
        assert refused.reason == "choke-not-covered"


def test_states_are_the_contracts_words() -> None:
    assert {state.value for state in ChokeState} == {"free", "stated", "unknown"}


def test_choker_factor(us: Rulebook, en: Rulebook) -> None:
    assert us.choker_factor().value == 0.8
    assert us.hitch.factors["choker_older"].value == 0.75
    assert en.choker_factor().value == 0.8


@pytest.mark.parametrize(
    ("hitch", "choke", "expected_lb"),
    [
        (Hitch.VERTICAL, None, 3100),
        (Hitch.BASKET, None, 3100),
        (Hitch.CHOKER, FREE, 2480),
        (Hitch.CHOKER, stated(100), 2480 * 0.71),
        (Hitch.CHOKER, UNKNOWN, 2480 * 0.49),
        (Hitch.CHOKER, None, 2480 * 0.49),
    ],
)
def test_part_limit(
    us: Rulebook, make_spec: Callable[..., SlingSpec], hitch: Hitch, choke: Choke | None, expected_lb: float
) -> None:
    limit = us.part_limit_n(make_spec(1, inches=2), hitch, choke)
    assert isinstance(limit, Cited)
    assert limit.value == pytest.approx(expected_lb * LB_N, rel=1e-14)


def test_choker_rating_is_rounded_down_to_ten_pounds(
    us: Rulebook, make_spec: Callable[..., SlingSpec]
) -> None:
    # 0.8 x 26,900 = 21,520; 0.8 x 4,700 = 3,760; none of the shipped cells rounds, so one that would:
    rated = us.choker_rated_n(make_spec(1, inches=3))
    assert isinstance(rated, Cited)
    assert rated.value == pytest.approx(3760 * LB_N, rel=1e-15)
    refused = us.choker_rated_n(make_spec(1, inches=7))
    assert isinstance(refused, Refusal)


@pytest.mark.parametrize(
    ("hitch", "choke", "angle", "expected_lb"),
    [
        (Hitch.VERTICAL, None, None, 3100),
        (Hitch.CHOKER, FREE, None, 2480),
        (Hitch.CHOKER, stated(80), 45.0, 2480 * 0.58),
        (Hitch.BASKET, None, 90.0, 6200),
        (Hitch.BASKET, None, 60.0, 6200 * math.sqrt(3) / 2),
        (Hitch.BASKET, None, 45.0, 6200 / math.sqrt(2)),
        (Hitch.BASKET, None, 30.0, 3100),
        (Hitch.BASKET, None, 10.0, 6200 * math.sin(math.radians(10))),
    ],
)
def test_hitch_rated(
    us: Rulebook,
    make_spec: Callable[..., SlingSpec],
    hitch: Hitch,
    choke: Choke | None,
    angle: float | None,
    expected_lb: float,
) -> None:
    rated = us.hitch_rated_n(make_spec(1, inches=2), hitch, choke, angle)
    assert isinstance(rated, Cited)
    assert rated.value == pytest.approx(expected_lb * LB_N, rel=1e-14)


def test_a_basket_needs_its_angle(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    refusal = us.hitch_rated_n(make_spec(1, inches=2), Hitch.BASKET)
    assert isinstance(refusal, Refusal)
    assert refusal.reason == "angle-needed"
    missing = us.hitch_rated_n(make_spec(1, inches=7), Hitch.BASKET, None, 60.0)
    assert isinstance(missing, Refusal)
    assert missing.reason == "no-cell"


@pytest.mark.parametrize(
    # EN modes of one sling of 3 t, by beta from the vertical: parallel 2.0, to 45 deg 1.4, to 60 deg 1.0
    ("angle_deg", "tonnes"),
    [(90, 6.0), (84, 6.0), (83.9, 4.2), (45, 4.2), (44.9, 3.0), (30, 3.0)],
)
def test_en_basket_bands(
    en: Rulebook, make_spec: Callable[..., SlingSpec], angle_deg: float, tonnes: float
) -> None:
    rated = en.hitch_rated_n(make_spec(2, mm=90), Hitch.BASKET, None, angle_deg)
    assert isinstance(rated, Cited)
    assert rated.value == pytest.approx(tonnes * 9806.65, rel=1e-14)
    part = en.part_limit_n(make_spec(2, mm=90), Hitch.BASKET)
    assert isinstance(part, Cited)
    assert part.value == 29419.95


def test_en_basket_too_flat(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    refusal = en.hitch_rated_n(make_spec(2, mm=90), Hitch.BASKET, None, 29.9)
    assert isinstance(refusal, Refusal)
    assert refusal.reason == "below-least-angle"


def test_two_triangles_do_not_choke(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    spec = make_spec(1, inches=2, form=Form.TRIANGLE_TRIANGLE)
    for refusal in (
        us.part_limit_n(spec, Hitch.CHOKER, FREE),
        us.hitch_rated_n(spec, Hitch.CHOKER, FREE),
        us.rate(spec, Hitch.CHOKER, choke=FREE),
        us.choker_rated_n(spec),
    ):
        assert isinstance(refusal, Refusal)
        assert refusal.reason == "form-does-not-choke"
    assert isinstance(us.rate(spec, Hitch.BASKET), Rating)


@pytest.mark.parametrize(
    ("keywords", "printed", "factors"),
    [
        ({"hitch": Hitch.VERTICAL}, "6,200 lb", {"vertical": 1.0}),
        ({"hitch": Hitch.CHOKER, "choke": FREE}, "4,960 lb", {"choker": 0.8, "choke": 1.0}),
        ({"hitch": Hitch.CHOKER, "choke": stated(100)}, "3,520 lb", {"choker": 0.8, "choke": 0.71}),
        ({"hitch": Hitch.CHOKER}, "2,430 lb", {"choker": 0.8, "choke": 0.49}),
        ({"hitch": Hitch.BASKET}, "12,400 lb", {"basket": 2.0}),
        ({"hitch": Hitch.BASKET, "angle_from_horizontal_deg": 60.0}, "10,730 lb",
         {"basket": 2.0, "sine": 0.8660254}),
        ({"hitch": Hitch.BASKET, "angle_from_horizontal_deg": 30.0}, "6,200 lb",
         {"basket": 2.0, "sine": 0.5}),
        ({"hitch": Hitch.BASKET, "wraps": 2}, "12,400 lb", {"basket": 2.0, "wraps": 1.0}),
        ({"hitch": Hitch.CHOKER, "choke": FREE, "wraps": 2}, "4,960 lb",
         {"choker": 0.8, "choke": 1.0, "wraps": 1.0}),
        ({"hitch": Hitch.VERTICAL, "legs": 2, "angle_from_horizontal_deg": 60.0}, "10,730 lb",
         {"vertical": 1.0, "sine": 0.8660254, "legs": 2.0}),
        ({"hitch": Hitch.VERTICAL, "legs": 3, "angle_from_horizontal_deg": 45.0}, "13,150 lb",
         {"vertical": 1.0, "sine": 0.7071068, "legs": 3.0}),
        ({"hitch": Hitch.VERTICAL, "legs": 4, "angle_from_horizontal_deg": 45.0}, "13,150 lb",
         {"vertical": 1.0, "sine": 0.7071068, "legs": 3.0}),
        ({"hitch": Hitch.VERTICAL, "legs": 2, "angle_from_horizontal_deg": 90.0}, "12,400 lb",
         {"vertical": 1.0, "legs": 2.0}),
        ({"hitch": Hitch.BASKET, "legs": 2, "angle_from_horizontal_deg": 60.0}, "21,470 lb",
         {"basket": 2.0, "sine": 0.8660254, "legs": 2.0}),
        ({"hitch": Hitch.CHOKER, "choke": FREE, "legs": 2, "angle_from_horizontal_deg": 60.0}, "8,590 lb",
         {"choker": 0.8, "choke": 1.0, "sine": 0.8660254, "legs": 2.0}),
    ],
)  # fmt: skip
def test_rate_us(
    us: Rulebook, make_spec: Callable[..., SlingSpec], keywords: dict, printed: str, factors: dict[str, float]
) -> None:
    rating = us.rate(make_spec(2, inches=2), keywords.pop("hitch"), **keywords)
    assert isinstance(rating, Rating)
    assert rating.printed == printed
    assert rating.rated_n == pytest.approx(float(printed.split()[0].replace(",", "")) * LB_N, rel=1e-15)
    assert {f.name: f.value for f in rating.factors} == pytest.approx(factors, abs=1e-7)
    assert all(f.citation.document for f in rating.factors)
    assert (rating.adopted, rating.cell.cell) == (False, "2 ply, 2 in")
    assert rating.citation == rating.cell.citation


@pytest.mark.parametrize(
    ("keywords", "reason"),
    [
        ({"hitch": Hitch.VERTICAL, "legs": 2}, "angle-needed"),
        ({"hitch": Hitch.VERTICAL, "angle_from_horizontal_deg": 29.99}, "below-least-angle"),
        ({"hitch": Hitch.CHOKER, "choke": Choke(state=ChokeState.STATED)}, "choke-angle-needed"),
    ],
)
def test_rate_refuses(us: Rulebook, make_spec: Callable[..., SlingSpec], keywords: dict, reason: str) -> None:
    refusal = us.rate(make_spec(2, inches=2), keywords.pop("hitch"), **keywords)
    assert isinstance(refusal, Refusal)
    assert refusal.reason == reason


@pytest.mark.parametrize(
    ("keywords", "fields"),
    [
        ({"angle_from_horizontal_deg": 0.0}, ["angle_from_horizontal_deg"]),
        ({"angle_from_horizontal_deg": 90.1}, ["angle_from_horizontal_deg"]),
        ({"wraps": 0}, ["wraps"]),
        ({"wraps": 3}, ["wraps"]),
        ({"legs": 0}, ["legs"]),
        (
            {"angle_from_horizontal_deg": -3.0, "wraps": 3, "legs": -1},
            ["angle_from_horizontal_deg", "wraps", "legs"],
        ),
    ],
)
def test_rate_names_every_impossible_input(
    us: Rulebook, make_spec: Callable[..., SlingSpec], keywords: dict, fields: list[str]
) -> None:
    with pytest.raises(InputFault, match="is no") as caught:
        us.rate(make_spec(2, inches=2), Hitch.VERTICAL, **keywords)
    assert [fault.field for fault in caught.value.faults] == fields
    assert all(fault.hint for fault in caught.value.faults)


def test_rate_en_refuses_what_has_no_mode(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    for keywords in (
        {"hitch": Hitch.BASKET, "legs": 2, "angle_from_horizontal_deg": 60.0},
        {"hitch": Hitch.VERTICAL, "legs": 5, "angle_from_horizontal_deg": 60.0},
    ):
        refusal = en.rate(make_spec(2, mm=90), keywords.pop("hitch"), **keywords)
        assert isinstance(refusal, Refusal)
        assert refusal.reason == "no-mode"


@pytest.mark.parametrize(
    # 3 t x M: parallel 2, to 45 deg from the vertical 1.4, to 60 deg 1; two legs 1.4; choked 0.8 x 1.4
    ("keywords", "printed", "factors"),
    [
        ({"hitch": Hitch.BASKET}, "6 t", {"basket": 2.0, "mode": 1.0}),
        ({"hitch": Hitch.BASKET, "angle_from_horizontal_deg": 50.0}, "4.2 t", {"basket": 2.0, "mode": 0.7}),
        ({"hitch": Hitch.BASKET, "angle_from_horizontal_deg": 30.0}, "3 t", {"basket": 2.0, "mode": 0.5}),
        ({"hitch": Hitch.VERTICAL, "legs": 2, "angle_from_horizontal_deg": 60.0}, "4.2 t",
         {"vertical": 1.0, "mode": 1.4}),
        ({"hitch": Hitch.CHOKER, "choke": FREE, "legs": 2, "angle_from_horizontal_deg": 60.0}, "3.36 t",
         {"choker": 0.8, "choke": 1.0, "mode": 1.4}),
    ],
)  # fmt: skip
def test_rate_en(
    en: Rulebook, make_spec: Callable[..., SlingSpec], keywords: dict, printed: str, factors: dict[str, float]
) -> None:
    rating = en.rate(make_spec(2, mm=90), keywords.pop("hitch"), **keywords)
    assert isinstance(rating, Rating)
    assert rating.printed == printed
    assert {f.name: f.value for f in rating.factors} == pytest.approx(factors)


def test_en_choker_needs_a_free_choke(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    spec = make_spec(2, mm=90)
    for refusal in (
        en.part_limit_n(spec, Hitch.CHOKER),
        en.hitch_rated_n(spec, Hitch.CHOKER, stated(150)),
        en.rate(spec, Hitch.CHOKER),
    ):
        assert isinstance(refusal, Refusal)
        assert refusal.reason == "choke-not-covered"


def test_half_a_degree_is_an_angle_and_too_flat(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    refusal = us.rate(make_spec(2, inches=2), Hitch.VERTICAL, angle_from_horizontal_deg=0.5)
    assert isinstance(refusal, Refusal)
    assert refusal.reason == "below-least-angle"


def test_rate_en_one_sling_at_an_angle(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    """EN prints no factor for it; statics: 3 t x sin 60 = 2.598, choked 2.4 x sin 60 = 2.078."""
    for hitch, printed in ((Hitch.VERTICAL, "2.59 t"), (Hitch.CHOKER, "2.07 t")):
        rating = en.rate(make_spec(2, mm=90), hitch, choke=FREE, angle_from_horizontal_deg=60.0)
        assert isinstance(rating, Rating)
        assert rating.printed == printed
        assert [f.name for f in rating.factors][-1] == "sine"
