"""Where the shop's files and the house's few choices come from, found in one order and told to the user.

Option, `SLINGWRIGHT_…` environment variable, `slingwright.toml` beside the lift file or in a folder above
it (the nearest one alone), default. Standard library only: every command asks here first, and the command
line must start fast. The date is no setting: a date that stands in a file would go stale on a paper.
"""

from __future__ import annotations

import difflib
import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from slingwright.errors import Fault, InputFault, fail

__all__ = ["LANGUAGES", "SETTINGS_FILE", "Origin", "Settings", "Source", "resolve_settings"]

SETTINGS_FILE = "slingwright.toml"
VARIABLE_PREFIX = "SLINGWRIGHT_"
MOST_BYTES = 1_000_000
LANGUAGES = ("en", "es")  # as `words` has them; said again, for `words` takes longer to load
MOST_SEED = 2**63 - 1


class Source(StrEnum):
    """Which of the places a setting came from."""

    OPTION = "option"
    ENVIRONMENT = "environment"
    FILE = "file"
    FOUND = "found"  # no one named it: the usual file name, beside the lift (or the shop) or above
    DEFAULT = "default"


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where one setting came from; `place` is the option, the variable or the file's path."""

    source: Source
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Every setting, resolved; None = nobody said. `origins` holds where each came from, by its name.

    `rulebook` and `units` have no default on purpose: a lift says its own, and a regime is never guessed.
    `adoption` has none either: a table is adopted by a file that somebody names, never by default.
    """

    shop: Path | None
    stock: Path | None
    rolls: Path | None
    price_book: Path | None
    adoption: Path | None
    rulebook: str | None
    profile: str
    units: str | None
    language: str
    seed: int
    origins: Mapping[str, Origin]

    def need_shop(self) -> Path:
        """Give the shop's file.

        Raises
        ------
        InputFault
            Nobody named one, and none lies beside the lift or above it.
        """
        return self._need(self.shop, "shop")

    def need_price_book(self) -> Path:
        """Give the price book's file.

        Raises
        ------
        InputFault
            Nobody named one, and none lies beside the shop's file.
        """
        return self._need(self.price_book, "price_book")

    def _need(self, value: Path | None, name: str) -> Path:
        if value is None:
            problem = f"no {name.replace('_', ' ')} is known"
            usual = (
                f"or keep a {_USUAL_FILE[name]} {'beside the lift' if name == 'shop' else 'beside the shop'}"
            )
            raise fail(name, problem, f"{_ways_to_say(name)}, {usual}")
        return value


class _Unfit(ValueError):  # noqa: N818  (never leaves this file)
    """A value that a setting cannot take; never leaves this module, its words become a fault."""


def _read_file(value: object, base: Path) -> Path:
    if not isinstance(value, str | Path) or not str(value):
        msg = f"must be a file's path, not {value!r}"
        raise _Unfit(msg)
    path = base / value
    if not os.path.isfile(path):
        msg = f"names {str(value)!r}, and there is no such file"
        raise _Unfit(msg)
    return path


def _read_one_of(*choices: str) -> Callable[[object, Path], str]:
    def read(value: object, base: Path) -> str:
        del base  # a word is the same wherever it stands
        if value not in choices:
            known = " or ".join(choices)
            msg = f"must be {known}, not {value!r}"
            raise _Unfit(msg)
        return str(value)

    return read


def _read_seed(value: object, base: Path) -> int:
    del base
    digits = str(value).strip()
    if not (digits.isascii() and digits.isdigit()) or len(digits) > 19:
        msg = f"must be a whole number from 0 up, not {value!r}"
        raise _Unfit(msg)
    if int(digits) > MOST_SEED:
        msg = f"must be at most {MOST_SEED}, not {value!r}"
        raise _Unfit(msg)
    return int(digits)


_READERS: Mapping[str, Callable[[object, Path], Any]] = {
    "shop": _read_file,
    "stock": _read_file,
    "rolls": _read_file,
    "price_book": _read_file,
    "adoption": _read_file,
    "rulebook": _read_one_of("us", "en"),
    "profile": _read_one_of("own", "strictest"),
    "units": _read_one_of("us", "si"),
    "language": _read_one_of(*LANGUAGES),
    "seed": _read_seed,
}
_DEFAULTS: Mapping[str, str | int] = {"profile": "own", "language": "en", "seed": 1}
_USUAL_FILE = {name: f"{name}.toml" for name in ("shop", "stock", "rolls", "price_book")}


def _option_of(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _variable_of(name: str) -> str:
    return f"{VARIABLE_PREFIX}{name.upper()}"


def _ways_to_say(name: str) -> str:
    return f"give {_option_of(name)} FILE, set {_variable_of(name)}, write {name} = … in {SETTINGS_FILE}"


def resolve_settings(options: Mapping[str, object], environ: Mapping[str, str], start_dir: Path) -> Settings:
    """Find every setting and where it came from.

    A path given by option or variable counts from the working folder, one in `slingwright.toml` from that
    file's folder. An empty variable counts as unset.

    Parameters
    ----------
    options
        What the command line (or a page) said, by setting name; None = not said.
    environ
        The environment's variables; those that begin with `SLINGWRIGHT_` are read.
    start_dir
        The lift file's folder; the working folder where there is no lift file.

    Raises
    ------
    InputFault
        Every unknown name and unfit value, all at once, each with where it stands.
    """
    faults: list[Fault] = []
    here, start = Path.cwd(), start_dir.absolute()
    settings_file = _find_above(start, SETTINGS_FILE)
    layers = (
        [(Source.OPTION, _option_of(name), name, value, here) for name, value in options.items()]
        + list(_read_environment(environ, here, faults))
        + (list(_read_settings_file(settings_file, faults)) if settings_file else [])
    )
    values: dict[str, Any] = dict.fromkeys(_READERS) | dict(_DEFAULTS)
    origins = dict.fromkeys(_READERS, Origin(source=Source.DEFAULT))
    for source, place, name, value, base in layers:
        if value is None:
            continue
        try:
            read = _READERS[name](value, base)
        except _Unfit as unfit:
            faults.append(_unfit_fault(source, place, name, str(unfit)))
            continue
        if origins[name].source is Source.DEFAULT:  # an earlier layer wins; later ones are still judged
            values[name], origins[name] = read, Origin(source=source, place=place)
    if faults:
        raise InputFault(faults)
    _find_usual_files(values, origins, start)
    return Settings(**values, origins=origins)


def _read_environment(
    environ: Mapping[str, str], here: Path, faults: list[Fault]
) -> Iterator[tuple[Source, str, str, object, Path]]:
    """Give what the environment says; an unknown variable is a fault, for it is a typing error."""
    variables = {_variable_of(name): name for name in _READERS}
    for variable in sorted(key for key in environ if key.startswith(VARIABLE_PREFIX)):
        if variable in variables:
            yield Source.ENVIRONMENT, variable, variables[variable], environ[variable] or None, here
        else:
            faults.append(Fault(variable, "is no setting of Slingwright", _nearest(variable, variables)))


def _read_settings_file(path: Path, faults: list[Fault]) -> Iterator[tuple[Source, str, str, object, Path]]:
    """Give what the settings file says; an unknown key is a fault with the nearest right one."""
    for key, value in _parse(path, faults).items():
        if key in _READERS:
            yield Source.FILE, str(path), key, value, path.parent
        else:
            faults.append(Fault(key, f"is no setting (in {path})", _nearest(key, _READERS)))


def _parse(path: Path, faults: list[Fault]) -> dict[str, Any]:
    import tomllib  # only where there is a file to read: the command line must start fast

    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
        if len(content) > MOST_BYTES:
            faults.append(Fault("", f"{path} is larger than {MOST_BYTES} bytes", "settings are a few lines"))
            return {}
        return tomllib.loads(content.decode("utf-8"))
    except OSError as error:
        faults.append(Fault("", f"{path} cannot be read: {error.strerror}", "see who may read it"))
    except (ValueError, RecursionError) as error:  # not UTF-8, not TOML, or nested past all sense
        faults.append(
            Fault("", f"{path} is not TOML: {error}", 'a setting is a line like: shop = "shop.toml"')
        )
    return {}


def _find_usual_files(values: dict[str, Any], origins: dict[str, Origin], start: Path) -> None:
    """Fill in files that nobody named: the shop's beside the lift or above, the others beside the shop's."""
    if values["shop"] is None and (shop := _find_above(start, _USUAL_FILE["shop"])):
        values["shop"], origins["shop"] = shop, Origin(source=Source.FOUND, place=str(shop))
    for name in ("stock", "rolls", "price_book"):
        if values[name] is None and values["shop"] is not None:
            beside = values["shop"].parent / _USUAL_FILE[name]
            if os.path.isfile(beside):
                values[name], origins[name] = beside, Origin(source=Source.FOUND, place=str(beside))


def _find_above(start: Path, name: str) -> Path | None:
    """Find the nearest file of this name, in `start` or a folder above it."""
    return next(
        (folder / name for folder in (start, *start.parents) if os.path.isfile(folder / name)),
        None,
    )


def _unfit_fault(source: Source, place: str, name: str, problem: str) -> Fault:
    """Name the fault by what the user must change: the option, the variable, or the key in the file."""
    if source is Source.FILE:
        return Fault(name, f"{problem} (in {place})", "a path counts from that file's folder")
    return Fault(
        place, problem, "a path counts from the working folder" if _READERS[name] is _read_file else ""
    )


def _nearest(word: str, known: Mapping[str, object]) -> str:
    near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f"did you mean {near[0]}?" if near else f"known: {', '.join(known)}"
