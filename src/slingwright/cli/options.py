"""The options that commands share: how to answer, and where the shop's files and choices come from."""

from __future__ import annotations

import os
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.usecases.settings import Settings, resolve_settings

__all__ = ["ANSWER", "NOTHING_SET", "STDIN", "Answering", "SettingOptions", "find_settings"]

STDIN = "-"  # a file's name that means: read it from stdin


@Parameter(name="*")
@dataclass(frozen=True, slots=True, kw_only=True)
class Answering:
    """How a command answers."""

    json: Annotated[bool, Parameter(negative="")] = False
    """Print one JSON document on stdout, and nothing else there."""

    verbose: Annotated[bool, Parameter(negative="")] = False
    """Log what is done to stderr."""


@Parameter(name="*")
@dataclass(frozen=True, slots=True, kw_only=True)
class SettingOptions:
    """The settings, each as an option; left out = variable, `slingwright.toml` or default.

    All are text here: the settings themselves judge them, so that all faults are told at once.
    """

    shop: str | None = None
    """The shop's file: what it can build."""

    stock: str | None = None
    """The shop's stock list: slings on the shelf."""

    rolls: str | None = None
    """The shop's rolls and remnants: webbing on the shelf."""

    price_book: str | None = None
    """The shop's price book."""

    adoption: str | None = None
    """The file by which the shop's qualified person adopted a rated-load table."""

    rulebook: str | None = None
    """us or en, where the lift does not say."""

    profile: str | None = None
    """own (the regime's own rules) or strictest (of all regimes)."""

    units: str | None = None
    """us or si: the units shown first."""

    language: str | None = None
    """en or es: the language of the answer."""

    seed: str | None = None
    """The seed of the random draws, a whole number."""


ANSWER = Answering()
NOTHING_SET = SettingOptions()


def find_settings(options: SettingOptions, file: str | None = None) -> Settings:
    """Resolve the settings as they hold for a file: its folder is where `slingwright.toml` is looked for.

    Parameters
    ----------
    options
        What the command line said.
    file
        The lift (or other) file; None or `-` = the working folder counts.

    Raises
    ------
    InputFault
        Every unfit setting at once.
    """
    start = Path() if file is None or file == STDIN else Path(file).parent
    return resolve_settings(asdict(options), os.environ, start)
