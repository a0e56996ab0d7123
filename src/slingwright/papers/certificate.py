"""The certificate of conformity, and of proof test where the sling was pulled: one page a sling."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from slingwright.make.made import MadeSling
from slingwright.papers.document import (
    Paper,
    bullets_section,
    fields_section,
    pairs_section,
    paper_footer,
    print_paper,
    text_section,
)
from slingwright.rulebook import Rulebook
from slingwright.units import Units
from slingwright.words import criterion_texts, read_catalogue, rulebook_name
from slingwright.words.certifying import CertificateLine
from slingwright.words.making import making_cautions

__all__ = ["certificate_paper"]


def certificate_paper(
    lines: Sequence[CertificateLine],
    *,
    number: str,
    made: MadeSling | None,
    rulebook: Rulebook,
    made_by: Mapping[str, object],
    on: dt.date,
    units: Units,
    specimen: bool = False,
    language: str = "en",
) -> bytes:
    """Print one sling's certificate (PDF); the same arguments give the same bytes.

    Parameters
    ----------
    lines, number
        Its fields and its number.
    made
        What the floor wrote down; None = a specimen without a record.
    rulebook, made_by
        The one rulebook it is made to, and the document head's `made_by`.
    """
    words = read_catalogue(language)
    label = words.sections["certificate"]
    tested = made is not None and made.proof is not None
    if made is None:
        statement = label["statement-specimen"]
    else:
        statement = words.fill(
            "certificate", "statement", on=made.inspected_on.isoformat(), by=made.inspected_by
        )
    removal = criterion_texts(rulebook.removal_criteria(), rulebook.id, language=language)
    return print_paper(
        Paper(
            kind=label["kind"],
            title=words.fill("certificate", "title-proof" if tested else "title", number=number),
            facts=[
                [words.word("make", "rules"), rulebook_name(rulebook.id, rulebook.profile, language=language)]
            ],
            sections=[
                pairs_section(label["fields"], [(line.label, line.text) for line in lines]),
                text_section(label["sign"], [statement]),
                fields_section(
                    "", [label["sign-name"], label["sign-signature"], label["sign-date"]], columns=3
                ),
                bullets_section(label["removal"], removal),
                bullets_section(words.word("quote", "cautions"), making_cautions(language=language)),
            ],
            footer=paper_footer(made_by, on, language=language),
            units=units,
            specimen=words.word("paper", "specimen") if specimen else "",
            language=language,
        ),
        on=on,
    )
