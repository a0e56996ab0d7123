"""`slingwright certificate`: conformity and proof test of slings as they were made."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.make import open_order
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions
from slingwright.cli.show import print_document, print_text
from slingwright.errors import fail

__all__ = ["certificate"]


def certificate(
    order: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    record: Annotated[str | None, Parameter(help="What the floor wrote down (making-record).")] = None,
    serial: Annotated[
        str | None, Parameter(help="Of this sling only; left out: of all in the record.")
    ] = None,
    out: Annotated[Path | None, Parameter(help="Folder for the certificates (PDF, one a sling).")] = None,
    specimen: Annotated[
        bool, Parameter(negative="", help="Draw them whatever the gates, SPECIMEN across.")
    ] = False,
    at: Annotated[str | None, Parameter(help="The certificates' date, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Certify slings as made: conformity, and proof test where they were pulled.

    Exit status 1 = something is withheld: the order is not released, or a sling is not as it was ordered.

    Parameters
    ----------
    order
        The order (TOML or JSON), or - for stdin.
    """
    from slingwright.usecases.certificate import certificate_document, certify, print_certificate

    day = read_day(at)
    made = open_order(order, settings)
    given = None if record is None else (read_input(record), record)
    answer = certify(made, given, serial=serial, on=day, specimen=specimen)
    if out is not None and not out.is_dir():
        raise fail("--out", f"{str(out)!r} is no folder", "make the folder first")
    papers = []
    if out is not None:
        papers = [
            Paper(
                option="--out",
                path=out / f"{one.number}.pdf",
                content=print_certificate(answer, index, on=day),
            )
            for index, one in enumerate(answer.certificates)
        ]
    write_papers(papers)
    if answering.json:
        print_document(certificate_document(answer))
    else:
        from slingwright.words.orders import cautions_block, certificate_block, shut_block

        serials = [one.serial for one in answer.certificates]
        language = made.language
        done = certificate_block(serials, answer.departures, made.units, specimen=specimen, language=language)
        shut = shut_block(made.shut, language=language)
        print_text(blocks_text((done, shut, cautions_block(language=language))))
    return int(answer.is_stop)
