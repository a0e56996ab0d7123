"""What this installation runs on: every distribution it needs, with the licence its own metadata names."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution

__all__ = ["Shipped", "needed_distributions"]

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_LONGEST = 60  # characters: a "License" longer than that is the licence's whole text, not its name
_CLASSIFIER = "License :: "


@dataclass(frozen=True, slots=True, kw_only=True)
class Shipped:
    """A thing that runs here and is not ours: its name, version and licence; empty where it does not say."""

    name: str
    version: str
    licence: str


def needed_distributions(root: str = "slingwright") -> tuple[Shipped, ...]:
    """Every distribution that `root` needs, directly or not, as far as it is installed; by name.

    What is needed on other systems, or for tests alone, is not installed by need and so left out.
    """
    found: dict[str, Distribution] = {}
    waiting = _needs(root)
    while waiting:
        name = waiting.pop()
        if name in found or name == root:
            continue
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            continue  # for another system
        waiting += _needs(name)
    return tuple(
        Shipped(name=name, version=one.version, licence=_licence(one)) for name, one in sorted(found.items())
    )


def _needs(name: str) -> list[str]:
    try:
        asked = distribution(name).requires or []
    except PackageNotFoundError:
        return []
    return [_plain(text) for text in asked if "extra ==" not in text.partition(";")[2]]


def _plain(requirement: str) -> str:
    """The distribution's name in a requirement, as the index writes it."""
    name = _NAME.match(requirement)
    return re.sub(r"[-_.]+", "-", name[0]).lower() if name else ""


def _licence(one: Distribution) -> str:
    metadata = one.metadata
    said = (metadata[key] for key in ("License-Expression", "License") if key in metadata)
    told = next((text for text in said if text), "")
    if told.strip() and len(told) <= _LONGEST and "\n" not in told.strip():
        return told.strip()
    return ", ".join(_classified(one.metadata.get_all("Classifier") or ()))


def _classified(classifiers: Iterable[str]) -> list[str]:
    named = (text.rpartition(" :: ")[2] for text in classifiers if text.startswith(_CLASSIFIER))
    return [text for text in named if text != "OSI Approved"]
