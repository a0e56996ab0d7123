"""The interview: one question at a time, only what would change the choice, and the lift file it finishes."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.errors import fail
from slingwright.usecases.documents import read_tables
from slingwright.usecases.lift_text import lift_text
from slingwright.usecases.rulebooks import open_rulebook
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.choose.explained import Question
    from slingwright.lift.model import Lift
    from slingwright.units import Units
    from slingwright.usecases.settings import Settings
    from slingwright.usecases.shop_files import OpenShop

__all__ = ["QUESTIONS", "Interview", "answered", "is_not_known"]

_NOT_KNOWN = re.compile(r"\s*(?:|\?|unknown|not known|(?:i )?do(?: not|n['’]?t) know|no idea)\s*", re.I)
_ANY_ANGLE = re.compile(r"\s*any(?: angle)?\s*", re.I)
_STRAIGHT = re.compile(r"\s*(?:vertical|straight)(?: only)?\s*", re.I)
_SCALE = "scale"  # what an answer to the question is taken as: read off a scale, or weighed at each end


def is_not_known(text: str) -> bool:
    """Whether an answer says that the user does not know."""
    return _NOT_KNOWN.fullmatch(text) is not None


def answered(tables: Mapping[str, Any], code: str, text: str) -> dict[str, Any]:
    """A lift's tables with a question's answer written in, as measured; whether they then read is not judged.

    Raises
    ------
    InputFault
        There is no such question, or the answer is none to it.
    """
    if code not in QUESTIONS or not isinstance(tables.get("load"), Mapping):
        raise fail("", f"{code!r} is no question that a lift can be asked")
    altered = copy.deepcopy(dict(tables))
    QUESTIONS[code](altered, text.strip())
    return altered


@dataclass(slots=True, kw_only=True)
class Interview:
    """A lift's document between questions. `skipped`: what the user does not know."""

    tables: dict[str, Any]
    file: str
    folder: Path
    settings: Settings
    skipped: set[str] = field(default_factory=set)
    answered: list[str] = field(default_factory=list)

    @classmethod
    def begin(cls, content: bytes, file: str, *, folder: Path, settings: Settings) -> Interview:
        """Read a lift file.

        Raises
        ------
        InputFault
            It does not read; all faults at once.
        """
        tables = read_tables(content, file, what="a lift")
        if "rulebook" not in tables and settings.rulebook is not None:
            tables["rulebook"] = settings.rulebook
        interview = cls(tables=tables, file=file, folder=folder, settings=settings)
        interview._read(tables)
        return interview

    @property
    def lift(self) -> Lift:
        """The lift as it stands."""
        return self._read(self.tables)

    @property
    def units(self) -> Units:
        """The units to speak in."""
        from slingwright.units import Units

        return Units(self.settings.units or self.lift.units)

    @property
    def currency(self) -> str:
        """The price book's currency."""
        return self._shop().book.currency

    def next_question(self, *, out_of_time: Callable[[], bool] = lambda: False) -> Question | None:
        """What to ask now; None where no further answer matters.

        Parameters
        ----------
        out_of_time
            Asked between searches and in them.

        Raises
        ------
        InputFault
            The shop's files are at fault.
        OutOfTime
            Before all questions were weighed.
        """
        from slingwright.choose.again import Again
        from slingwright.choose.explained import Question
        from slingwright.choose.question import next_question
        from slingwright.choose.setting import Setting, draw

        lift = self.lift
        done = frozenset((*self.skipped, *self.answered))
        if lift.load.weight.high_n is None:  # nothing else can be judged before it
            unasked = "weight" not in done
            return (
                Question(code="weight", unit="N", worth_minor=0.0, changes=1.0, pieces=())
                if unasked
                else None
            )
        opened = self._shop()
        rulebook = open_rulebook(replace(self.settings, profile=lift.profile), regime=lift.rulebook)
        setting = Setting(
            lift=lift, rulebook=rulebook, shop=opened.shop, book=opened.book, draws=draw(self.settings.seed)
        )
        return next_question(Again(setting, out_of_time=out_of_time), without=done)

    def take(self, code: str, text: str) -> None:
        """Write an answer into the lift, or note that it is not known.

        Raises
        ------
        InputFault
            The answer does not read, or does not fit the lift; then nothing has changed.
        """
        if is_not_known(text):
            self.skipped.add(code)
            return
        tables = answered(self.tables, code, text)
        self._read(tables)
        self.tables = tables
        self.answered.append(code)

    def finished(self) -> bytes:
        """The lift file as it stands now, in the format it came in."""
        return lift_text(self.tables, as_json=self.file.lower().endswith(".json")).encode("utf-8")

    def _read(self, tables: dict[str, Any]) -> Lift:
        from slingwright.lift import folder_reader, read_lift

        lift = read_lift(tables, mesh_reader=folder_reader(self.folder))
        return replace(lift, profile="strictest") if self.settings.profile == "strictest" else lift

    def _shop(self) -> OpenShop:
        return open_shop(self.settings)


def _known_by(load: dict[str, Any], what: str) -> None:
    """What is answered is known by the scale; the other stays known as it was."""
    old = load.get("known_by")
    both = dict.fromkeys(("weight", "centre_of_gravity"), old) if isinstance(old, str) else dict(old or {})
    load["known_by"] = {**both, what: _SCALE}


def _put_weight(tables: dict[str, Any], text: str) -> None:
    load = tables["load"]
    load.pop("weight_tolerance", None)
    place = load["mesh"] if isinstance(load.get("mesh"), dict) and "weight" in load["mesh"] else load
    place["weight"] = text
    _known_by(load, "weight")


def _put_centre(tables: dict[str, Any], text: str) -> None:
    places = [part.strip() for part in re.split(r"[,;]", text)]
    if len(places) != 3:
        hint = "three lengths from the left-front-bottom corner: 4 ft 2 in, 2 ft 6 in, 30 in"
        raise fail("load.centre_of_gravity", f"{text!r} is no point", hint)
    load = tables["load"]
    load.pop("centre_tolerance", None)
    load["centre_of_gravity"] = places
    _known_by(load, "centre_of_gravity")


def _put_choke(tables: dict[str, Any], text: str) -> None:
    tables["load"]["choke_angle"] = "free" if text.lower() in ("free", "hangs free") else text


def _put_load(key: str) -> Any:
    def put(tables: dict[str, Any], text: str) -> None:
        tables["load"][key] = text

    return put


def _put_hook(tables: dict[str, Any], text: str) -> None:
    for hook in _list_of(tables.get("hook")):
        hook.setdefault("thickness", text)


def _put_pin(tables: dict[str, Any], text: str) -> None:
    for pick in _list_of(tables["load"].get("pick_point")):
        pick.setdefault("pin", text)


def _put_rated_at(tables: dict[str, Any], text: str) -> None:
    for pick in _list_of(tables["load"].get("pick_point")):
        if "rated" in pick:
            pick.setdefault("rated_at", _rated_at(text))


def _rated_at(text: str) -> str:
    if _ANY_ANGLE.fullmatch(text):
        return "any angle"
    if _STRAIGHT.fullmatch(text):
        return "vertical only"
    raise fail("load.pick_point.rated_at", f"{text!r} is no answer", "any angle, or straight only")


def _list_of(value: object) -> Iterator[dict[str, Any]]:
    """One table or a list of them."""
    yield from [value] if isinstance(value, dict) else value if isinstance(value, list) else []


QUESTIONS = {  # every question's code, and how its answer is written into a lift
    "weight": _put_weight,
    "centre": _put_centre,
    "edge-radius": _put_load("edge_radius"),
    "choke-angle": _put_choke,
    "surface-temperature": _put_load("surface_temperature"),
    "hook-thickness": _put_hook,
    "pin": _put_pin,
    "pick-rating-angle": _put_rated_at,
}
