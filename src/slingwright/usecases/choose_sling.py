"""From a lift file to its answer: the main job, shared by the command line and the web."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.usecases.documents import read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.rulebooks import open_rulebook, rulebook_record
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.choose.offer import Answer
    from slingwright.choose.search import Found, Search
    from slingwright.choose.setting import Draws, Setting
    from slingwright.lift.model import Lift
    from slingwright.rulebook import Rulebook
    from slingwright.units import Units
    from slingwright.usecases.settings import Settings

__all__ = [
    "ChooseRequest",
    "Chosen",
    "choose_sling",
    "choose_so_far",
    "draw_chosen",
    "print_drawing",
    "print_sheet",
    "read_request",
    "scene_of_chosen",
    "unanswered",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseRequest:
    """A lift file's bytes, its name, the folder its mesh may lie in, and the settings in force."""

    content: bytes
    file: str
    folder: Path | None
    settings: Settings
    limit_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The lift as read, the answer, and the head that every document of it carries."""

    lift: Lift
    answer: Answer
    rulebook: Rulebook
    units: Units
    language: str
    head: Mapping[str, object]
    setting: Setting
    walked: tuple[Search, Found] | None  # the search and its main walk; None where the lift itself stops

    @property
    def is_stop(self) -> bool:
        """Whether the answer is no."""
        return self.answer.answer == "stop"


def read_request(request: ChooseRequest) -> Lift:
    """The lift of a request, alone: all that a person can get wrong in it is known without a search.

    Raises
    ------
    InputFault
        The lift file is at fault; all faults at once.
    """
    settings = request.settings
    asked = request.content, request.file, settings.rulebook
    lift = _read_alone(*asked) if request.folder is None else _read(*asked, request.folder)
    return replace(lift, profile="strictest") if settings.profile == "strictest" else lift


def _read(content: bytes, file: str, rulebook: str | None, folder: Path | None) -> Lift:
    from slingwright.lift import folder_reader, read_lift

    tables = read_tables(content, file, what="a lift")
    if "rulebook" not in tables and rulebook is not None:
        tables["rulebook"] = rulebook
    return read_lift(tables, mesh_reader=folder_reader(folder) if folder else None)


@lru_cache(maxsize=32)
def _read_alone(content: bytes, file: str, rulebook: str | None) -> Lift:
    """Of a lift whose mesh does not lie beside it; the desk reads the same some times in a row."""
    return _read(content, file, rulebook, None)


def choose_sling(
    request: ChooseRequest,
    *,
    clock: Callable[[], float],
    progress: Callable[[int], None] = lambda solved: None,
    first: Callable[[Chosen], None] = lambda chosen: None,
    sooner: bool = False,
    offered: Callable[[Chosen], None] = lambda chosen: None,
) -> Chosen:
    """Read the lift and the shop, search, answer.

    Parameters
    ----------
    request
        The lift and the settings.
    clock
        Seconds on any scale; only its differences are used. Whatever it raises ends the search.
    progress
        Called with the number of candidates solved so far; what it raises ends the search, too.
    first
        Called with the best offer alone, as soon as it is known: before the others are looked for.
    sooner
        Have it known sooner, at the cost of another search for the whole.
    offered
        Called with all offers, before it is looked up why others are refused; what it raises ends the search.

    Raises
    ------
    InputFault
        The lift file, the shop's files or a setting is at fault; all faults of a file at once.
    """
    from slingwright.choose.answer import answer_lift
    from slingwright.choose.fallen import rejected
    from slingwright.usecases.first_answer import first_answer

    lift = read_request(request)
    bare = _bare(request, lift)
    began = clock()
    walks: list[tuple[Search, Found]] = []
    told: list[Chosen] = []

    def known(search: Search, found: Found) -> None:
        answer = first_answer(bare.setting, search, found)
        if answer is not None and not told:
            told.append(replace(bare, answer=answer))
            first(told[0])

    def walked(search: Search, main: Found) -> None:
        walks.append((search, main))
        known(search, main)
        rejected(search, main)  # counted before other walks hang more, and then kept

    answer = answer_lift(
        bare.setting,
        clock=clock,
        limit_s=request.limit_s,
        progress=progress,
        walked=walked,
        alone=known if sooner else None,
        offered=lambda answer: offered(replace(bare, answer=answer)),
    )
    seconds = round(clock() - began, 3)
    search = replace(answer.search, seconds=seconds)
    return replace(bare, answer=replace(answer, search=search), walked=walks[0] if walks else None)


def choose_so_far(request: ChooseRequest, *, clock: Callable[[], float], limit_s: float) -> Chosen | None:
    """The first that passes with a caution of its own, found in so many seconds; it is no answer.

    None where there is none, or a better one comes before it, or none was found in time. `clock` is as that
    of `choose_sling`.

    Raises
    ------
    InputFault
        As `choose_sling`.
    """
    from slingwright.choose.answer import first_graded
    from slingwright.usecases.first_answer import answer_so_far

    bare, began = _bare(request, read_request(request)), clock()
    found = first_graded(bare.setting, out_of_time=lambda: clock() - began > limit_s)
    return None if found is None else replace(bare, answer=answer_so_far(bare.setting, *found))


def unanswered(request: ChooseRequest) -> Chosen:
    """All that the answer to a request carries but the answer itself, for one that was found elsewhere.

    Raises
    ------
    InputFault
        As `choose_sling`.
    """
    return _bare(request, read_request(request))


def _bare(request: ChooseRequest, lift: Lift) -> Chosen:
    """All that an answer carries but the answer itself; what stands in its place is never shown."""
    from slingwright.choose.setting import Setting
    from slingwright.choose.wanted import shop_of_one
    from slingwright.units import Units
    from slingwright.usecases.first_answer import NO_ANSWER

    settings = request.settings
    opened = open_shop(settings)
    rulebook = open_rulebook(replace(settings, profile=lift.profile), regime=lift.rulebook)
    made_by = head(
        "offers/1",
        rulebook=rulebook_record(rulebook),
        shop_sha256=opened.shop.sha256,
        price_book=opened.price_book_record,
        input_sha256=_input_hash(request.content, lift),
        seed=settings.seed,
    )
    wanted = lift.want.sling
    shop = opened.shop if wanted is None else shop_of_one(opened.shop, wanted)
    setting = Setting(lift=lift, rulebook=rulebook, shop=shop, book=opened.book, draws=_draws(settings.seed))
    return Chosen(
        lift=lift,
        answer=NO_ANSWER,
        rulebook=rulebook,
        units=Units(settings.units or lift.units),
        language=settings.language,
        head=made_by,
        setting=setting,
        walked=None,
    )


@lru_cache(maxsize=4)
def _draws(seed: int) -> Draws:
    """The random numbers, a megabyte that all answers of one seed share."""
    from slingwright.choose.setting import draw

    return draw(seed)


def _input_hash(content: bytes, lift: Lift) -> str:
    """Hash of all that was read: the lift file and, where there is one, its mesh."""
    digest = hashlib.sha256(content)
    if lift.load.mesh_sha256:
        digest.update(lift.load.mesh_sha256.encode())
    return digest.hexdigest()


def print_sheet(chosen: Chosen, *, on: dt.date, offer_index: int = 0) -> bytes:
    """The lift sheet (PDF) of an offer, or the sheet that says why not."""
    from slingwright.papers import lift_sheet

    made_by = chosen.head["made_by"]
    assert isinstance(made_by, Mapping)
    return lift_sheet(
        chosen.lift,
        chosen.answer,
        offer_index,
        made_by=made_by,
        date=on,
        units=chosen.units,
        inspection=chosen.rulebook.removal_criteria(),
        language=chosen.language,
    )


def draw_chosen(
    chosen: Chosen,
    *,
    offer_index: int = 0,
    case: str = "stiff",
    anchors: Mapping[str, str] | None = None,
) -> str:
    """The drawing (SVG) of an offer in one of its cases; with `anchors` its legs can be touched.

    Raises
    ------
    LookupError
        The answer is a stop: nothing hangs. Or the offer has no such case.
    """
    from slingwright.draw import draw_offer

    made_by = chosen.head["made_by"]
    assert isinstance(made_by, Mapping)
    offer = chosen.answer.offers[offer_index]
    return draw_offer(
        chosen.lift,
        offer,
        units=chosen.units,
        case=case,
        made_by=made_by,
        anchors=anchors,
        language=chosen.language,
    )


def print_drawing(chosen: Chosen, *, on: dt.date, offer_index: int = 0, case: str = "stiff") -> bytes:
    """The drawing of an offer as a paper (PDF).

    Raises
    ------
    LookupError
        The answer is a stop: nothing hangs. Or the offer has no such case.
    """
    from slingwright.papers.lift_drawing import lift_drawing

    made_by = chosen.head["made_by"]
    assert isinstance(made_by, Mapping)
    return lift_drawing(
        chosen.lift,
        chosen.answer,
        offer_index,
        case=case,
        made_by=made_by,
        on=on,
        units=chosen.units,
        language=chosen.language,
    )


def scene_of_chosen(chosen: Chosen, *, offer_index: int = 0, case: str = "stiff") -> dict[str, Any]:
    """The scene document of an offer in one of its cases, for a view in space.

    Raises
    ------
    LookupError
        The answer is a stop: nothing hangs. Or the offer has no such case.
    """
    from slingwright.draw import scene_document

    offer = chosen.answer.offers[offer_index]
    return scene_document(chosen.lift, offer, units=chosen.units, case=case, language=chosen.language)
