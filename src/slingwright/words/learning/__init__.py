"""The pages to learn from, made from a rulebook: no figure stands in their words."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from importlib import resources

from slingwright.rulebook import Rulebook
from slingwright.units import Units
from slingwright.words.catalogue import read_catalogue
from slingwright.words.learning.holding import angle_parts, choke_parts, edge_parts, hitch_parts
from slingwright.words.learning.keeping import care_parts, heat_parts, limit_parts, removal_parts
from slingwright.words.learning.model import Asked, Part, Table, Topic
from slingwright.words.learning.saying import best_parts, friction_parts, lug_parts, weight_parts
from slingwright.words.learning.slings import form_parts, tag_parts, webbing_parts

__all__ = [
    "FACES",
    "TOPICS",
    "Part",
    "Table",
    "Topic",
    "learn_topic",
    "topic_lead",
    "topic_of_field",
    "topic_of_rule",
    "topic_title",
]

_PARTS: Mapping[str, Callable[[Asked], tuple[Part, ...]]] = {
    "weight": weight_parts,
    "forms": form_parts,
    "webbing": webbing_parts,
    "hitches": hitch_parts,
    "angles": angle_parts,
    "choke": choke_parts,
    "lugs": lug_parts,
    "friction": friction_parts,
    "edges": edge_parts,
    "heat": heat_parts,
    "care": care_parts,
    "removal": removal_parts,
    "tag": tag_parts,
    "best": best_parts,
    "limits": limit_parts,
}
TOPICS = tuple(_PARTS)
FACES: Mapping[str, str] = {  # the picture that stands for a topic
    "forms": "form-twisted-eye", "webbing": "plies", "hitches": "hitch-basket", "angles": "angle",
    "choke": "choke", "edges": "edge", "removal": "removal", "tag": "tag", "weight": "weight",
    "lugs": "lug", "friction": "friction", "best": "best",
}  # fmt: skip


def learn_topic(name: str, book: Rulebook, units: Units, *, language: str = "en") -> Topic:
    """Make the page of one of `TOPICS` (`KeyError` for any other) by a rulebook."""
    asked = Asked(book=book, units=units, language=language)
    return Topic(
        name=name,
        title=topic_title(name, language=language),
        lead=topic_lead(name, language=language),
        parts=_PARTS[name](asked),
    )


def topic_title(name: str, *, language: str = "en") -> str:
    """A topic's title."""
    return read_catalogue(language).word("learn-titles", name)


def topic_lead(name: str, *, language: str = "en") -> str:
    """What a topic is about, in a sentence."""
    return read_catalogue(language).word("learn-leads", name)


def topic_of_field(field: str) -> str:
    """The topic that explains a field of the desk's forms; empty where there is none."""
    return _topics()["field"].get(field, "")


def topic_of_rule(rule: str) -> str:
    """The topic that explains what a rule of the checks is about; empty where there is none."""
    return _topics()["rule"].get(rule, "")


@cache
def _topics() -> dict[str, dict[str, str]]:
    file = resources.files("slingwright.words") / "data" / "learn_topics.toml"
    return tomllib.loads(file.read_text("utf-8"))
