"""From a lift file to its answer: the main job, shared by the command line and the web."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.usecases.documents import read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.rulebooks import open_rulebook, rulebook_record
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.choose.offer import Answer
    from slingwright.choose.search import Found, Search
    from slingwright.choose.setting import Setting
    from slingwright.lift.model import Lift
    from slingwright.rulebook import Rulebook
    from slingwright.units import Units
    from slingwright.usecases.settings import Settings

__all__ = ["ChooseRequest", "Chosen", "choose_sling", "draw_chosen", "print_sheet", "scene_of_chosen"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseRequest:
    """A lift file's bytes, its name, the folder its mesh may lie in, and the settings in force."""

    content: bytes
    file: str
    folder: Path | None
    settings: Settings
    limit_s: float | None = None
    audit: bool = False  # keep every candidate that is left behind


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


def choose_sling(
    request: ChooseRequest,
    *,
    clock: Callable[[], float],
    progress: Callable[[int], None] = lambda solved: None,
) -> Chosen:
    """Read the lift and the shop, search, answer.

    Raises
    ------
    InputFault
        The lift file, the shop's files or a setting is at fault; all faults of a file at once.
    """
    from slingwright.choose.answer import answer_lift
    from slingwright.choose.setting import Setting, draw
    from slingwright.lift import folder_reader, read_lift
    from slingwright.units import Units

    settings = request.settings
    tables = read_tables(request.content, request.file, what="a lift")
    if "rulebook" not in tables and settings.rulebook is not None:
        tables["rulebook"] = settings.rulebook
    lift = read_lift(tables, mesh_reader=folder_reader(request.folder) if request.folder else None)
    if settings.profile == "strictest":
        lift = replace(lift, profile="strictest")
    opened = open_shop(settings)
    rulebook = open_rulebook(replace(settings, profile=lift.profile), regime=lift.rulebook)
    began = clock()
    setting = Setting(
        lift=lift, rulebook=rulebook, shop=opened.shop, book=opened.book, draws=draw(settings.seed)
    )
    walks: list[tuple[Search, Found]] = []
    answer = answer_lift(
        setting,
        clock=clock,
        limit_s=request.limit_s,
        progress=progress,
        keep_lost=request.audit,
        walked=lambda search, main: walks.append((search, main)),
    )
    seconds = round(clock() - began, 3)
    made_by = head(
        "offers/1",
        rulebook=rulebook_record(rulebook),
        shop_sha256=opened.shop.sha256,
        price_book=opened.price_book_record,
        input_sha256=_input_hash(request.content, lift),
        seed=settings.seed,
    )
    return Chosen(
        lift=lift,
        answer=replace(answer, search=replace(answer.search, seconds=seconds)),
        rulebook=rulebook,
        units=Units(settings.units or lift.units),
        language=settings.language,
        head=made_by,
        setting=setting,
        walked=walks[0] if walks else None,
    )


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
