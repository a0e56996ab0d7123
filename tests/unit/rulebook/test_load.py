"""Every number has a citation, limits are what their documents print, lists are whole."""

from __future__ import annotations

import hashlib
import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from slingwright.citation import Citation, Known
from slingwright.errors import InputFault
from slingwright.rulebook import Rulebook, Verdict, load_rulebook
from slingwright.sling import Fibre


def every_citation(book: Rulebook) -> list[Citation]:
    found = [book.design_factor.citation, book.hitch.basket_part, book.hitch.choke_citation]
    found += [book.hitch.choke_free.citation, book.legs.statics, book.source]
    found += [c.citation for t in book.tables for c in t.cells.values()] + [t.citation for t in book.tables]
    found += [c.citation for c in (*book.limits.values(), *book.hitch.factors.values())]
    found += [s.citation for s in book.hitch.schemes]
    found += [m.factor.citation for m in (*book.hitch.basket_modes, *book.hitch.bridle_modes)]
    found += [book.legs.counted_most.citation, book.legs.two_carry_all.citation]
    found += [c.citation for c in book.gate.strength_n_per_m.values()]
    found += [c.citation for c in (book.gate.one_ply, book.gate.wide_plied, book.gate.impossible)]
    found += [v.citation for v in book.chemicals.verdicts.values()] + [book.chemicals.unlisted]
    found += [row.citation for rows in book.practice.values() for row in rows]
    found += [c.citation for c in book.colours()]
    found += [v.citation for caution in book.cautions for v in caution.values]
    return found


TRADE_TEXT = re.compile(r"\b[TX]\d+b?\b")


@pytest.mark.parametrize("book_id", ["us", "en"])
def test_nobody_is_sent_to_what_cannot_be_looked_up(book_id: str) -> None:
    """A trade text without a name says so; its number is in the note, and the page of sources has it."""
    listed = (Path(__file__).parents[3] / "docs" / "reference" / "rulebooks.md").read_text("utf-8")
    notes = set()
    for citation in every_citation(load_rulebook(book_id)):
        assert not re.search(r"DOMAIN|PRACTICE", f"{citation} {citation.note}")
        assert not TRADE_TEXT.search(str(citation)), citation
        notes |= set(TRADE_TEXT.findall(citation.note))
    assert {"T6", "T7", "T9", "T9b", "T10", "T14"} <= notes
    table = listed.partition("| no. |")[2]
    assert [one for one in sorted(notes) if not re.search(rf"^\|[^|]*\b{one}\b", table, re.MULTILINE)] == []


@pytest.mark.parametrize("book_id", ["us", "en"])
@pytest.mark.parametrize("profile", ["own", "strictest"])
def test_every_number_is_cited(book_id: str, profile: str) -> None:
    found = every_citation(load_rulebook(book_id, profile))
    assert len(found) > 200
    assert all(c.document.strip() and isinstance(c.known, Known) for c in found)


@pytest.mark.parametrize("book_id", ["us", "en"])
def test_loaded_once_and_hashed(book_id: str) -> None:
    book = load_rulebook(book_id)
    assert load_rulebook(book_id) is book
    assert book.id == book_id
    assert book.adopted is None
    assert len(book.sha256) == 64
    assert book.sha256 == load_rulebook(book_id, "strictest").sha256
    assert (book.edition, book.profile) == ("2026.1", "own")
    assert book.documents


def test_the_hash_is_over_names_and_bytes_of_own_and_common_data(us: Rulebook) -> None:
    root = files("slingwright.rulebook") / "data"
    digest = hashlib.sha256()
    for folder in ("us", "common"):
        for item in sorted((root / folder).iterdir(), key=lambda entry: entry.name):
            digest.update(f"{folder}/{item.name}\n".encode() + item.read_bytes())
    assert us.sha256 == digest.hexdigest()


def test_a_rulebook_is_named_shortly(us: Rulebook) -> None:
    assert repr(us) == "Rulebook(us 2026.1, own, not adopted)"


def test_hashes_differ() -> None:
    assert load_rulebook("us").sha256 != load_rulebook("en").sha256


@pytest.mark.parametrize(
    ("book_id", "profile", "field"), [("iso", "own", "rulebook"), ("us", "loose", "profile")]
)
def test_no_such_book(book_id: str, profile: str, field: str) -> None:
    with pytest.raises(InputFault, match="is no") as caught:
        load_rulebook(book_id, profile)
    assert caught.value.field == field
    assert caught.value.hint.startswith("write")


def test_every_data_file_is_read(us: Rulebook) -> None:
    root = files("slingwright.rulebook") / "data"
    known = {"book", "limits", "check_limits", "webbing", "hitch", "legs", "colours", "removal", "inspection"}
    known |= {"tag", "certificate", "proof_test", "wll", "class7-eye", "class5-eye", "class7-endless"}
    known |= {"chemicals", "regimes", "fibres"}
    for folder in root.iterdir():
        for item in folder.iterdir():
            assert item.name.removesuffix(".toml") in known
            assert tomllib.loads(item.read_text("utf-8"))


# Printed figures: DOMAIN 3.1, 3.3, 3.4, 5, 6, 13 (29 CFR 1926.251 read; EN by trade manuals) and PRACTICE.
US_LIMITS = {
    "least_angle_deg": 30, "normal_angle_deg": 45, "preferred_angle_deg": 60, "near_vertical_deg": 5,
    "choker_low_pull_deg": 45, "choke_full_angle_deg": 120, "choke_unstable_deg": 135,
    "basket_least_angle_along_deg": 60, "hook_angle_deg": 90, "shackle_angle_deg": 120,
    "eye_to_hook_ratio": 3, "pin_to_eye_width_ratio": 1, "edge_radius_ratio": 3, "edge_former_ratio": 1,
    "friction_caution": 0.10, "friction_stop": 0.20, "lug_lean_deg": 15, "side_pull_stop_deg": 3,
    "long_load_m": 12 * 0.3048, "reserve_ratio": 0.10, "wet_nylon_loss": 0.15,
    "max_temperature_polyester_k": (180 + 459.67) / 1.8, "max_temperature_nylon_k": (180 + 459.67) / 1.8,
    "max_temperature_polypropylene_k": (200 + 459.67) / 1.8, "max_temperature_printed_k": 363.15,
    "min_temperature_k": 233.15, "made_length_tolerance_ratio": 0.015, "made_length_tolerance_m": 0.0254,
    "matched_length_tolerance_m": 0.0127, "clear_body_width_ratio": 2, "max_share_of_breaking": 0.2,
    "fitting_proof_ratio": 2,
}  # fmt: skip
EN_LIMITS = {
    "least_angle_deg": 30, "eye_to_hook_ratio": 3.5, "max_eye_angle_deg": 20, "hook_seat_ratio": 0.75,
    "hook_seat_free_width_m": 0.075, "eye_to_width_ratio": 3, "eye_to_width_ratio_wide": 2.5,
    "eye_wide_from_m": 0.15, "max_temperature_polyester_k": (180 + 459.67) / 1.8,
    "max_temperature_nylon_k": (180 + 459.67) / 1.8, "max_temperature_polypropylene_k": 353.15,
    "max_temperature_printed_k": 373.15, "min_temperature_k": 233.15, "made_length_tolerance_ratio": 0.03,
    "made_length_tolerance_m": 0, "matched_length_tolerance_m": 0.0127, "fitting_design_factor": 4,
    "least_width_m": 0.025, "greatest_width_m": 0.45, "width_tolerance_ratio": 0.1,
    "width_tolerance_ratio_wide": 0.08, "least_thickness_m": 0.002, "least_layer_thickness_m": 0.0012,
    "drying_temperature_k": 313.15, "choke_full_angle_deg": 120, "hook_angle_deg": 90,
    "shackle_angle_deg": 120,
}  # fmt: skip


@pytest.mark.parametrize(("book_id", "printed"), [("us", US_LIMITS), ("en", EN_LIMITS)])
def test_limits_as_printed(book_id: str, printed: dict[str, float]) -> None:
    book = load_rulebook(book_id)
    found = {name: book.limit(name).value for name in printed}
    assert found == pytest.approx(printed, rel=1e-14)


def test_own_rulebooks_import_no_other_regime(us: Rulebook, en: Rulebook) -> None:
    assert not us.has_limit("max_eye_angle_deg")
    assert not us.has_limit("hook_seat_ratio")
    assert en.has_limit("max_eye_angle_deg")
    assert us.colours() == ()
    with pytest.raises(KeyError):
        us.limit("max_eye_angle_deg")
    assert all("EN 1492" not in row.what for row in us.tag_fields())


def test_judgement_is_marked(us: Rulebook) -> None:
    for name in ("friction_caution", "friction_stop", "edge_radius_ratio", "reserve_ratio"):
        assert us.limit(name).citation.known is Known.JUDGEMENT
    assert us.limit("side_pull_stop_deg").citation.known is Known.PRACTICE
    assert us.limit("wet_nylon_loss").citation.known is Known.MEMORY
    assert us.limit("max_temperature_nylon_k").citation.known is Known.READ
    assert us.hitch.factors["wraps"].citation.known is Known.PRACTICE


def test_design_factor_gravity_temperature(us: Rulebook, en: Rulebook) -> None:
    assert (us.design_factor.value, en.design_factor.value) == (5.0, 7.0)
    assert us.g == 9.80665
    assert us.source == us.design_factor.citation
    assert (
        us.max_temperature_k(Fibre.POLYPROPYLENE).value == us.limit("max_temperature_polypropylene_k").value
    )


@pytest.mark.parametrize(
    # DOMAIN 6.1 and 13 (29 CFR 1926.251(e)(6), read) with PRACTICE's two corrections
    ("agent", "material", "verdict"),
    [
        ("acid", "nylon", "no"), ("acids", "polyester", "caution"), ("sulfuric acid", "polyester", "no"),
        ("caustic", "nylon", "ok"), ("caustic soda", "polyester", "no"), ("caustic", "polypropylene", "no"),
        ("caustic", "aluminium", "no"), ("acid", "steel-grade-8", "no"), ("phenol", "nylon", "no"),
        ("phenolics", "polyester", "no"), ("ether", "polyester", "no"), ("ethers", "nylon", "ok"),
        ("bleach", "polyester", "caution"), ("bleach", "nylon", "no"), ("formaldehyde", "polyester", "no"),
        ("aldehydes", "nylon", "ok"), ("diesel", "polyester", "ok"), ("  Sea   Water ", "nylon", "ok"),
        ("seawater", "polypropylene", "ok"), ("acetone", "polypropylene", "caution"),
        ("lye", "polyester", "no"),
        ("weak alkali", "polyester", "ok"), ("wet cement", "polyester", "no"),
        ("aldehydes", "polypropylene", "unknown"), ("dragon's blood", "nylon", "unknown"),
        ("water", "unobtainium", "unknown"),
    ],
)  # fmt: skip
def test_chemicals(us: Rulebook, en: Rulebook, agent: str, material: str, verdict: str) -> None:
    for book in (us, en):
        told = book.chemical(agent, material)
        assert told.verdict is Verdict(verdict)
        assert told.material == material
        assert told.citation.document


def test_agents_are_listed(us: Rulebook) -> None:
    names = us.agents()
    assert list(names) == sorted(set(names))
    assert {"diesel", "seawater", "caustic", "acid"} <= set(names)
    assert us.chemical("diesel fuel", "nylon").agent == "hydrocarbons"
    assert us.chemical("mystery", "nylon").agent == "mystery"


def test_every_fibre_and_agent_has_a_row_or_is_unknown(us: Rulebook) -> None:
    agents = {agent for agent, _ in us.chemicals.verdicts}
    assert agents == set(us.chemicals.agent_by_name.values())
    assert {material for _, material in us.chemicals.verdicts} == {
        "nylon", "polyester", "polypropylene", "aluminium", "steel-grade-8",
    }  # fmt: skip


def test_lists_are_whole(us: Rulebook, en: Rulebook) -> None:
    assert [len(us.practice[n]) for n in ("removal", "inspection", "tag", "certificate", "proof_test")] == [
        14, 9, 6, 15, 14,
    ]  # fmt: skip
    assert [len(en.practice[n]) for n in ("removal", "inspection", "tag", "certificate", "proof_test")] == [
        13, 3, 9, 10, 2,
    ]  # fmt: skip
    assert us.removal_criteria() == us.practice["removal"]
    assert us.inspection() == us.practice["inspection"]
    assert us.certificate_fields() == us.practice["certificate"]
    assert us.tag_fields() == us.practice["tag"]
    proof = {row.id: row.figures for row in us.proof_test()}
    assert proof["single"] == {"load_ratio": 2.0, "band_low": -0.05, "band_high": 0.0}
    assert (proof["master-link-2"]["load_ratio"], proof["master-link-3-4"]["load_ratio"]) == (4.0, 6.0)
    assert {row.id: row.figures["load_ratio"] for row in en.proof_test()} == {"type-test": 2.0, "single": 2.0}
    for book in (us, en):
        for rows in book.practice.values():
            assert len({row.id for row in rows}) == len(rows)
            assert all(row.what for row in rows)


def test_fibre_data(us: Rulebook, en: Rulebook) -> None:
    """DOMAIN 6: stretch at rated load 8 to 10 % and 3 to 7 %, specific gravity 1.14, 1.38, 0.91."""
    assert us.fibres() == en.fibres()
    rows = {row.id: row.figures for row in us.fibres()}
    assert (rows["nylon"]["stretch_low"], rows["nylon"]["stretch_high"]) == (0.08, 0.1)
    assert (rows["polyester"]["stretch_low"], rows["polyester"]["stretch_high"]) == (0.03, 0.07)
    gravity = [rows[name]["specific_gravity"] for name in ("nylon", "polyester", "polypropylene")]
    assert gravity == [1.14, 1.38, 0.91]
    assert rows["thickness"]["class7_m"] == pytest.approx(3 / 16 * 0.0254)
    assert rows["ultraviolet"]["nylon_loss_high"] == 0.6


def test_colours_of_en(en: Rulebook) -> None:
    by_load = {c.rated_t: c.colour for c in en.colours() if c.rated_t is not None}
    assert by_load == {
        1: "violet", 2: "green", 3: "yellow", 4: "grey", 5: "red", 6: "brown", 8: "blue", 10: "orange",
    }  # fmt: skip
    assert [c.rated_t for c in en.colours() if c.and_above] == [10.0]
    labels = {c.fibre: c.colour for c in en.colours() if c.fibre}
    assert labels == {"nylon": "green", "polyester": "blue", "polypropylene": "brown"}


def test_cautions_cover_every_disagreement(us: Rulebook, en: Rulebook) -> None:
    assert us.cautions == en.cautions
    assert len({c.id for c in us.cautions}) == len(us.cautions) == 27
    assert all(len(c.values) >= 2 and c.conservative and c.topic for c in us.cautions)
    strict = {c.id for c in us.cautions if c.in_strictest}
    assert strict == {
        "temperature", "temperature-polypropylene", "choker", "choke-angle", "choke-full", "legs",
        "angle-steps", "eye-to-hook", "hook-seat", "interval", "least-size",
    }  # fmt: skip
    factor = next(c for c in us.cautions if c.id == "design-factor")
    assert [v.value for v in factor.values] == ["5", "6", "7", "8"]


def test_citations_fall_back_to_their_head(en: Rulebook) -> None:
    vertical, wraps = en.hitch.factors["vertical"].citation, en.hitch.factors["wraps"].citation
    assert (vertical.document, vertical.edition) == ("EN 1492-1", "2000+A1:2008")
    assert (vertical.clause, vertical.known) == ("mode factors M", Known.SECONDARY)
    assert vertical.note.startswith("two trade user manuals")
    # an entry of another document takes nothing else from the head
    assert (wraps.edition, wraps.known) == ("", Known.PRACTICE)
    parallel = en.hitch.basket_modes[0].factor.citation
    assert (parallel.document, parallel.known) == ("EN 1492-1", Known.MEMORY)
