"""The command line's frame: parse, run one command, turn what went wrong into words and an exit status.

Exit status: 0 answered, 1 answered and it is a stop, 2 the input is at fault, 70 a fault of ours,
130 stopped by the user, 141 the reader went away. Commands return 0 or 1 and raise `InputFault`.

A command's module may import at its top only what is quick (the standard library, cyclopts, `errors`,
`settings`); numpy, numba, pydantic, typst and trimesh are imported inside the command, for the command
line must start in 0.4 s.
"""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Sequence

from cyclopts import App, CoercionError, CycloptsError, UnusedCliTokensError

from slingwright import __version__
from slingwright.cli.adopt import adopt
from slingwright.cli.ask import ask
from slingwright.cli.certificate import certificate
from slingwright.cli.choose import choose
from slingwright.cli.config import config
from slingwright.cli.cut import cut
from slingwright.cli.desk import desk
from slingwright.cli.export import export
from slingwright.cli.hang import hang
from slingwright.cli.load import load
from slingwright.cli.make import make
from slingwright.cli.quote import quote
from slingwright.cli.rate import rate
from slingwright.cli.route import route
from slingwright.cli.schema import schema
from slingwright.cli.sheet import sheet
from slingwright.cli.show import print_fault
from slingwright.cli.tag import tag
from slingwright.cli.upgrade import upgrade
from slingwright.cli.version import version
from slingwright.errors import InputFault, fail

__all__ = ["build_app", "run"]

_WANTED: dict[object, tuple[str, str]] = {int: ("whole number", "2"), float: ("number", "2.5")}
OUR_FAULT, STOPPED, READER_GONE = 70, 130, 141
COMMANDS = (
    choose,
    ask,
    rate,
    hang,
    quote,
    make,
    tag,
    certificate,
    sheet,
    route,
    cut,
    desk,
    load,
    export,
    adopt,
    upgrade,
    schema,
    config,
    version,
)
ABOUT = (
    "From the lift to the right synthetic web sling: what will hang how, on which sling, and why.\n\n"
    "Every figure is an aid to a qualified person, never a leave to lift: local codes, the sling's tag "
    "and the person in charge of the lift come first."
)

log = logging.getLogger(__name__)


def build_app() -> App:
    """Make the command line's parser; plain help, for it starts quicker and reads well aloud."""
    app = App(
        name="slingwright",
        help=ABOUT,
        version=__version__,
        help_formatter="plain",
        help_format="plaintext",
        exit_on_error=False,
        print_error=False,
        suppress_keyboard_interrupt=False,
        result_action="return_value",
    )
    for command in COMMANDS:
        app.command(command)
    return app


def run(arguments: Sequence[str] | None = None) -> int:
    """Run one command line and return its exit status; never raises, never shows a traceback unasked."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    _let_any_letter_through()
    as_json, verbose = _asks_for(given, "--json"), _asks_for(given, "--verbose")
    logging.basicConfig(stream=sys.stderr, level=logging.DEBUG if verbose else logging.ERROR)
    try:
        try:
            code = _run_command(given)
        except InputFault as fault:
            print_fault(fault, as_json=as_json)
            code = 2
        sys.stdout.flush()
    except BrokenPipeError:
        # the reader (head, a closed pager) has had enough; the flush at exit must not complain either
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return READER_GONE
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        return STOPPED
    except Exception as error:  # the last door: what gets here is our bug, told as such
        log.debug("a fault of ours", exc_info=True)
        sys.stderr.write(
            f"A fault of ours, not of your input ({type(error).__name__}: {error}).\n"
            "No figure of this run may be used. Please report it with what --verbose adds: see SECURITY.md.\n"
        )
        return OUR_FAULT
    return code


def _run_command(given: list[str]) -> int:
    """Parse and run; a parser's complaint becomes an `InputFault` like any other."""
    try:
        code = build_app()(given)
    except CycloptsError as error:
        raise _fault_of(error) from error
    return code if isinstance(code, int) else 0


def _fault_of(error: CycloptsError) -> InputFault:
    """Word a parser's complaint: the option as the field where there is one."""
    error.verbose = False
    argument = getattr(error, "argument", None)
    field = argument.name if argument is not None and argument.name.startswith("-") else ""
    chain = " ".join(["slingwright", *(error.command_chain or ())])
    hint = f"see: {chain} --help"
    if isinstance(error, UnusedCliTokensError):
        return fail(field, f"too many arguments: {' '.join(error.unused_tokens or ())}", hint)
    if isinstance(error, CoercionError) and error.target_type in _WANTED:
        token = error.token.value if error.token is not None else ""
        noun, example = _WANTED[error.target_type]
        return fail(field, f'"{token}" is no {noun}', f"write it like {example}; {hint}")
    return fail(field, str(error).strip(), hint)


def _asks_for(given: list[str], flag: str) -> bool:
    """Tell whether a flag stands before any `--`; asked apart from the parser, which may have failed."""
    before = given[: given.index("--")] if "--" in given else given
    return any(token == flag or token.startswith(f"{flag}=") for token in before)


def _let_any_letter_through() -> None:
    """Print what a terminal of few letters cannot show as an escape, instead of failing on it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)  # a test's stand-in may have none
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


if __name__ == "__main__":
    sys.exit(run())
