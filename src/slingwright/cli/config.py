"""`slingwright config`: every setting and where it came from."""

from __future__ import annotations

from pathlib import Path

from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.usecases.made_by import head
from slingwright.usecases.settings import Settings

__all__ = ["config"]


def config(
    lift: str | None = None, *, settings: SettingOptions = NOTHING_SET, answering: Answering = ANSWER
) -> int:
    """Print every setting and where it came from.

    Parameters
    ----------
    lift
        A lift file: show the settings that hold for it. Left out: those of the working folder.
    """
    found = find_settings(settings, lift)
    if answering.json:
        print_document(config_document(found))
    else:
        print_text(config_text(found))
    return 0


def config_document(found: Settings) -> dict[str, object]:
    """Give the `slingwright/config/1` document: for each setting its value, source and place."""
    rows = {
        name: {
            "value": _shown(getattr(found, name)),
            "source": str(origin.source),
            "place": origin.place or None,
        }
        for name, origin in found.origins.items()
    }
    return {**head("config/1", seed=found.seed), "settings": rows}


def config_text(found: Settings) -> str:
    """Give one line for each setting: its name, its value, and where it came from in brackets."""
    lines = []
    for name, origin in found.origins.items():
        value = _shown(getattr(found, name))
        place = f" {origin.place}" if origin.place and origin.place != value else ""
        lines.append(f"{name:<11} {'not set' if value is None else value}  ({origin.source}{place})")
    return "\n".join(lines)


def _shown(value: Path | str | int | None) -> str | int | None:
    return str(value) if isinstance(value, Path) else value
