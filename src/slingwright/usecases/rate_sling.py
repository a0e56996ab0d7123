"""Rate a sling in a hitch: people's words in, the printed figure with every factor and source out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.made_by import head
from slingwright.usecases.rulebooks import citation_document, open_rulebook, rulebook_record

if TYPE_CHECKING:
    from slingwright.rulebook import Choke, RatedCell, Rating, Refusal, Rulebook
    from slingwright.sling import Hitch, SlingSpec
    from slingwright.usecases.settings import Settings
    from slingwright.words.rating import HitchUse

__all__ = ["RateAnswer", "RateRequest", "rate_sling", "rating_document"]

T = TypeVar("T")
_MOST_LEGS = 100
_ANGLES_DEG = (
    90.0,
    60.0,
    45.0,
    30.0,
)  # rows of a chart; the rulebook says which may be used


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRequest:
    """What was asked, each as it was written; None = not said."""

    form: str | None = None
    fibre: str | None = None
    webbing_class: str | None = None
    plies: str | None = None
    width: str | None = None
    hitch: str | None = None
    wraps: str | None = None
    legs: str | None = None
    choke: str | None = None
    angle_from_horizontal: str | None = None
    angle_from_vertical: str | None = None
    table: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RateAnswer:
    """A rating or a refusal, what it was asked for, and the same sling in every hitch where wished."""

    rulebook: Rulebook
    spec: SlingSpec
    use: HitchUse
    outcome: Rating | Refusal
    part_limit_n: float | None
    table: tuple[tuple[HitchUse, Rating | Refusal], ...]

    @property
    def refused(self) -> bool:
        """Whether there is no figure."""
        from slingwright.rulebook import Refusal

        return isinstance(self.outcome, Refusal)


def rate_sling(request: RateRequest, settings: Settings) -> RateAnswer:
    """Rate slings in a hitch under the settings' rulebook.

    Raises
    ------
    InputFault
        Everything that is missing or cannot be read, by its option; no rulebook named.
    """
    from slingwright.rulebook import Refusal

    faults: list[Fault] = []
    read = rulebook = None
    try:
        read = _read(request)
    except InputFault as fault:
        faults += fault.faults
    try:
        rulebook = open_rulebook(settings)
    except InputFault as fault:
        faults += fault.faults
    if read is None or rulebook is None:
        raise InputFault(faults)
    spec, use = read
    outcome = _rate(rulebook, spec, use)
    limit = outcome if isinstance(outcome, Refusal) else rulebook.part_limit_n(spec, use.hitch, use.choke)
    return RateAnswer(
        rulebook=rulebook,
        spec=spec,
        use=use,
        outcome=outcome,
        part_limit_n=None if isinstance(limit, Refusal) else limit.value,
        table=tuple((one, _rate(rulebook, spec, one)) for one in _every_use()) if request.table else (),
    )


def _rate(rulebook: Rulebook, spec: SlingSpec, use: HitchUse) -> Rating | Refusal:
    return rulebook.rate(
        spec,
        use.hitch,
        choke=use.choke,
        angle_from_horizontal_deg=use.angle_from_horizontal_deg,
        wraps=use.wraps,
        legs=use.legs,
    )


def _every_use() -> list[HitchUse]:
    """The chart's rows: straight and choker, a basket at each angle, bridles of two, three and four legs."""
    from slingwright.rulebook import Choke, ChokeState
    from slingwright.sling import Hitch
    from slingwright.words.rating import HitchUse

    uses = [HitchUse(hitch=Hitch.VERTICAL)]
    uses += [
        HitchUse(hitch=Hitch.CHOKER, choke=Choke(state=s)) for s in (ChokeState.FREE, ChokeState.UNKNOWN)
    ]
    uses += [HitchUse(hitch=Hitch.BASKET, angle_from_horizontal_deg=a) for a in _ANGLES_DEG]
    uses += [
        HitchUse(hitch=Hitch.VERTICAL, legs=n, angle_from_horizontal_deg=a)
        for n in (2, 3, 2 + 2)
        for a in _ANGLES_DEG
    ]
    return uses


def _read(request: RateRequest) -> tuple[SlingSpec, HitchUse]:
    from slingwright.sling import Fibre, Form, Hitch, SlingSpec
    from slingwright.units import parse_length_m
    from slingwright.words.rating import HitchUse

    faults: list[Fault] = []

    def read(reader: Callable[[], T]) -> T | None:
        try:
            return reader()
        except InputFault as fault:
            faults.extend(fault.faults)
            return None

    form = read(lambda: _word(request.form, "--form", Form))
    fibre = read(lambda: _word(request.fibre, "--fibre", Fibre))
    webbing_class = read(lambda: _whole(request.webbing_class, "--class", most=99))
    plies = read(lambda: _whole(request.plies, "--plies", most=8))
    width_m = read(lambda: parse_length_m(_said(request.width, "--width"), "--width", above=0.0, maximum=1.0))
    hitch = read(lambda: _word(request.hitch or "vertical", "--hitch", Hitch))
    wraps = read(lambda: _whole(request.wraps or "1", "--wraps", most=2))
    legs = read(lambda: _whole(request.legs or "1", "--legs", most=_MOST_LEGS))
    choke = read(lambda: _choke(request.choke, hitch))
    angle_deg = read(lambda: _angle(request))
    if wraps == 2 and hitch is Hitch.VERTICAL:
        faults.append(Fault("--wraps", "a straight sling wraps round nothing", "choker or basket"))
    if faults or not (form and fibre and webbing_class and plies and width_m and hitch and wraps and legs):
        raise InputFault(faults)
    # a table asks for neither length nor eye
    spec = SlingSpec(
        form=form, fibre=fibre, webbing_class=webbing_class, plies=plies, width_m=width_m, length_m=0.0,
        eye_m=0.0,
    )  # fmt: skip
    return spec, HitchUse(
        hitch=hitch, wraps=wraps, legs=legs, choke=choke, angle_from_horizontal_deg=angle_deg
    )


def _said(text: str | None, option: str) -> str:
    if text is None:
        raise fail(option, "is missing", "a rating is never guessed: say form, fibre, class, plies and width")
    return text


def _word(text: str | None, option: str, words: type[T]) -> T:
    import difflib

    said = _said(text, option)
    names = [str(word) for word in words]  # type: ignore[attr-defined]  # an enumeration is asked for its words
    if said not in names:
        near = difflib.get_close_matches(said, names, n=1)
        hint = f"did you mean {near[0]}?" if near else f"one of: {', '.join(names)}"
        raise fail(option, f"{said!r} is not known", hint)
    return words(said)  # type: ignore[call-arg]  # the word's own member


def _whole(text: str | None, option: str, *, most: int) -> int:
    said = _said(text, option).strip()
    if not (said.isascii() and said.isdigit() and len(said) <= 3 and 1 <= int(said) <= most):
        raise fail(option, f"{said!r} is no whole number from 1 to {most}")
    return int(said)


def _choke(text: str | None, hitch: Hitch | None) -> Choke | None:
    from slingwright.rulebook import Choke, ChokeState
    from slingwright.sling import Hitch
    from slingwright.units import parse_angle_deg

    if text is None:
        return Choke(state=ChokeState.UNKNOWN) if hitch is Hitch.CHOKER else None
    if hitch is not None and hitch is not Hitch.CHOKER:
        raise fail("--choke", f"a {hitch} hitch has no choke", "leave it out, or --hitch choker")
    if text in (ChokeState.FREE, ChokeState.UNKNOWN):
        return Choke(state=ChokeState(text))
    try:
        angle_deg = parse_angle_deg(text, "--choke", minimum=0.0, maximum=180.0)
    except InputFault as fault:
        raise fail("--choke", fault.problem, "free, unknown, or the angle of choke: 100 deg") from None
    return Choke(state=ChokeState.STATED, angle_deg=angle_deg)


def _angle(request: RateRequest) -> float | None:
    from slingwright.units import parse_angle_deg

    flat, steep = request.angle_from_horizontal, request.angle_from_vertical
    if flat is not None and steep is not None:
        raise fail("--angle-from-vertical", "stands beside --angle-from-horizontal", "give one of the two")
    if flat is not None:
        angle_deg = parse_angle_deg(flat, "--angle-from-horizontal", minimum=0.0, maximum=90.0)
    elif steep is not None:
        angle_deg = 90 - parse_angle_deg(steep, "--angle-from-vertical", minimum=0.0, maximum=90.0)
    else:
        return None
    if angle_deg == 0:
        option = "--angle-from-vertical" if flat is None else "--angle-from-horizontal"
        raise fail(option, "a level sling lifts nothing", "above 0 deg from the horizontal")
    return angle_deg


def rating_document(answer: RateAnswer, *, language: str = "en") -> dict[str, object]:
    """The `slingwright/rating/1` document."""
    from slingwright.words.rating import rating_caution_codes, rating_caution_text

    spec = answer.spec
    codes = rating_caution_codes(answer.use, answer.outcome)
    body = {
        "answer": "stop" if answer.refused else "rated",
        "sling": {
            "form": str(spec.form),
            "fibre": str(spec.fibre),
            "class": spec.webbing_class,
            "plies": spec.plies,
            "width_m": spec.width_m,
        },
        **_use_document(answer.use),
        **_outcome_document(answer.outcome, language),
        "part_limit_n": answer.part_limit_n,
        "rows": [
            {**_use_document(use), **_outcome_document(outcome, language)} for use, outcome in answer.table
        ],
        "cautions": [rating_caution_text(code, language=language) for code in codes],
    }
    return {**head("rating/1", rulebook=rulebook_record(answer.rulebook)), **body}


def _use_document(use: HitchUse) -> dict[str, object]:
    choke = use.choke
    return {
        "hitch": str(use.hitch),
        "wraps": use.wraps,
        "legs": use.legs,
        "choke": None if choke is None else {"state": str(choke.state), "angle_deg": choke.angle_deg},
        "angle_from_horizontal_deg": use.angle_from_horizontal_deg,
    }


def _outcome_document(outcome: Rating | Refusal, language: str) -> dict[str, Any]:
    """Figures where there is a rating, reason and nearest rows where there is none; the others null."""
    from slingwright.rulebook import Rating
    from slingwright.words.rating import refusal_text

    if isinstance(outcome, Rating):
        factors = [
            {"name": f.name, "value": f.value, "citation": citation_document(f.citation)}
            for f in outcome.factors
        ]
        return {
            "printed": outcome.printed,
            "rated_n": outcome.rated_n,
            "planning_only": not outcome.adopted,
            "table": _cell_document(outcome.cell),
            "factors": factors,
            "refusal": None,
        }
    refusal = {
        "reason": outcome.reason,
        "text": refusal_text(outcome, language=language),
        "citation": citation_document(outcome.citation),
        "nearest": [_cell_document(cell) for cell in outcome.nearest],
    }
    return {
        "printed": None, "rated_n": None, "planning_only": None, "table": None, "factors": [],
        "refusal": refusal,
    }  # fmt: skip


def _cell_document(cell: RatedCell) -> dict[str, object]:
    return {
        "id": cell.table_id,
        "cell": cell.cell,
        "plies": cell.plies,
        "width_m": cell.width_m,
        "vertical_rated_n": cell.rated_n,
        "printed": cell.printed,
        "adopted": cell.adopted,
        "citation": citation_document(cell.citation),
    }
