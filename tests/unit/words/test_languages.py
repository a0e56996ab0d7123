"""Catalogues beside each other: the same places for figures, cautions in both languages until reviewed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from slingwright.units import Units
from slingwright.words import answer_blocks, read_catalogue, standing_cautions
from slingwright.words.catalogue import BESIDE, SOURCE, join_both, languages, own_words
from slingwright.words.figures import show_angle, show_count, show_length, show_money, show_weight
from tests.escapes import escaped
from tests.golden import scenes
from tests.pseudo import pseudo_language, pseudo_text, rulebook_sections

OTHERS = [language for language in languages() if language != SOURCE]
_PLACE = re.compile(r"\{(\w+)\}")


def said_by(language: str) -> dict[tuple[str, str], str]:
    own = own_words(language)
    words = {(section, key): text for section, table in own.sections.items() for key, text in table.items()}
    return words | {(f"findings.{rule}", detail): said.say for (rule, detail), said in own.findings.items()}


@pytest.mark.parametrize("language", OTHERS)
def test_every_sentence_has_the_places_of_the_english_one(language: str) -> None:
    """A figure is neither lost nor made up in translation; a plural may say one of them twice."""
    english = said_by(SOURCE)
    for key, text in said_by(language).items():
        if key in english and key[0] != "about":
            assert set(_PLACE.findall(text)) == set(_PLACE.findall(english[key])), key
            assert text.count(" | ") == english[key].count(" | "), f"{key}: as many heads of a table"


@pytest.mark.parametrize("language", OTHERS)
def test_no_sentence_is_missing(language: str) -> None:
    """Whoever adds an English sentence adds it here, too: else it stands in English among the others."""
    rulebooks = {(section, row) for section, rows in rulebook_sections().items() for row in rows}
    assert {*said_by(SOURCE), *rulebooks} - set(said_by(language)) == set()


@pytest.mark.parametrize("language", OTHERS)
def test_no_sentence_is_for_a_key_that_english_has_not(language: str) -> None:
    """A key that nothing reads any more is found here."""
    known = set(said_by(SOURCE)) | {
        (section, row) for section, rows in rulebook_sections().items() for row in rows
    }
    assert set(said_by(language)) <= known


def test_what_a_language_has_not_yet_is_said_in_english(tmp_path: Path) -> None:
    with pseudo_language(tmp_path) as language:
        file = tmp_path / language / "cures.toml"
        file.write_text("\n".join(file.read_text("utf-8").splitlines()[:3]), encoding="utf-8")
        read_catalogue.cache_clear()
        assert (
            read_catalogue(language).word("cures", "wear-sleeve") == "Put a wear sleeve on against rubbing."
        )


@pytest.fixture(params=[True, False], ids=["reviewed", "not reviewed"])
def reviewed(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[str, bool]]:
    """The made-up language, once with a reviewer's name and once without."""
    with pseudo_language(tmp_path, reviewed=request.param) as language:
        yield language, request.param


def test_a_caution_has_its_english_beside_it_until_somebody_has_reviewed_it(
    reviewed: tuple[str, bool],
) -> None:
    language, done = reviewed
    for own, english in zip(standing_cautions(language=language), standing_cautions(), strict=True):
        assert own == pseudo_text(english) + ("" if done else f"{BESIDE}{english}")


def test_so_has_a_finding_with_all_its_figures_as_english_writes_them(reviewed: tuple[str, bool]) -> None:
    language, done = reviewed
    for scene in (scenes.chiller(), scenes.stopped(), scenes.bundle()):
        told, english = (
            [
                row
                for block in answer_blocks(scene.lift, scene.answer, Units.US, language=one)
                for row in block.rows
            ]
            for one in (language, SOURCE)
        )
        judged = [(a, b) for a, b in zip(told, english, strict=True) if a.mark in ("stop", "caution", "pass")]
        assert judged
        for own, source in judged:
            if source.text[0].isdigit():
                continue  # "12 more checks are in order" judges nothing
            assert own.text.partition(BESIDE)[2] == ("" if done else source.text)


def test_spanish_is_not_reviewed_yet_and_says_so() -> None:
    """Who reviews it writes a name into its `about.toml` and into docs/translation.md, and changes this."""
    assert read_catalogue("es").beside_english


def test_several_sentences_keep_their_english_together_at_the_end() -> None:
    assert join_both([f"α{BESIDE}a", f"β{BESIDE}b"], "; ") == f"α; β{BESIDE}a; b"
    assert join_both(["a", "b"], " ") == "a b"


def test_figures_have_the_decimal_sign_of_the_language() -> None:
    """A comma; then thousands stand apart by a space, for a point would be taken for a decimal sign."""
    assert show_length(2.355, Units.SI, language="es") == "2,355 m"
    assert show_length(2.355, Units.SI, language="en") == "2.355 m"
    assert show_angle(45.5, language="es") == "45,5°"
    assert show_weight(52_000.0, Units.US, language="es") == "11\u00a0690 lb"
    assert show_weight(52_000.0, Units.US, language="en") == "11,690 lb"
    assert show_count(27_126_784, language="es") == "27\u00a0126\u00a0784"
    assert show_money(123_456_789, "EUR", language="es") == "1\u00a0234\u00a0567,89 EUR"
    assert show_money(84_150, "JPY", language="es") == "84\u00a0150 JPY"
    assert show_length(2.8, Units.US, language="es") == "9 ft 2 1/4 in"


def test_a_rated_load_is_as_its_table_prints_it_in_every_language() -> None:
    """6,200 lb stays 6,200 lb: the tag says so, and the two must be told to be the same at a glance."""
    from slingwright.sling import Fibre, Form, Hitch, SlingSpec
    from slingwright.usecases.rulebooks import open_rulebook
    from slingwright.usecases.settings import resolve_settings
    from slingwright.words.rating import HitchUse, rating_blocks

    book = open_rulebook(resolve_settings({}, {}, Path.cwd()), regime="us")
    spec = SlingSpec(
        form=Form.TWISTED_EYE, fibre=Fibre.POLYESTER, webbing_class=7, plies=2, width_m=0.0508, length_m=2.7,
        eye_m=0.254,
    )  # fmt: skip
    rating = book.rate(spec, Hitch.VERTICAL)
    titles = [
        rating_blocks(
            spec, HitchUse(hitch=Hitch.VERTICAL), rating, rulebook="us", units=Units.US, language=one
        )[0]
        for one in ("en", "es")
    ]
    assert all("6,200 lb" in block.title for block in titles)
    assert "27.5 kN" in titles[0].title
    assert "27,5 kN" in titles[1].title


def test_no_spanish_sentence_is_an_english_one_copied() -> None:
    """Single words may be the same in both, signs and places are; two words in a row were left over."""
    english = said_by(SOURCE)
    same = {key: _PLACE.sub("", text) for key, text in said_by("es").items() if english.get(key) == text}
    left = {key: run for key, text in same.items() for run in escaped([text], ()) if " " in run}
    assert left == {}
