"""Settings: one order, and each value's origin."""

from __future__ import annotations

from pathlib import Path

import pytest

from slingwright.errors import InputFault
from slingwright.usecases.settings import SETTINGS_FILE, Origin, Source, resolve_settings


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder tree `yard/lifts/today`, the working folder being somewhere else."""
    (tmp_path / "yard" / "lifts" / "today").mkdir(parents=True)
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    return tmp_path / "yard"


def faults_of(options: dict[str, object], environ: dict[str, str], start: Path) -> dict[str, str]:
    """Give problem and hint of every fault, by its field."""
    with pytest.raises(InputFault) as caught:
        resolve_settings(options, environ, start)
    return {fault.field: f"{fault.problem} | {fault.hint}" for fault in caught.value.faults}


def test_nothing_said_gives_the_defaults_and_guesses_no_regime(yard: Path) -> None:
    settings = resolve_settings({}, {}, yard)
    assert (settings.profile, settings.language, settings.seed) == ("own", "en", 1)
    assert settings.rulebook is None
    assert settings.adoption is None
    assert set(settings.origins.values()) == {Origin(source=Source.DEFAULT)}


def test_option_beats_variable_beats_file_beats_default(yard: Path) -> None:
    variables, options = {"SLINGWRIGHT_SEED": "5"}, {"seed": "7"}
    (yard / SETTINGS_FILE).write_text("seed = 3\n")
    seen = [
        resolve_settings(options, variables, yard),
        resolve_settings({}, variables, yard),
        resolve_settings({}, {}, yard),
    ]
    assert [settings.seed for settings in seen] == [7, 5, 3]
    assert [settings.origins["seed"] for settings in seen] == [
        Origin(source=Source.OPTION, place="--seed"),
        Origin(source=Source.ENVIRONMENT, place="SLINGWRIGHT_SEED"),
        Origin(source=Source.FILE, place=str(yard / SETTINGS_FILE)),
    ]


def test_a_value_equal_to_the_default_still_wins(yard: Path) -> None:
    (yard / SETTINGS_FILE).write_text("seed = 9\n")
    assert resolve_settings({"seed": "1"}, {}, yard).seed == 1


def test_option_not_given_and_empty_variable_count_as_unset(yard: Path) -> None:
    (yard / SETTINGS_FILE).write_text('rulebook = "en"\n')
    settings = resolve_settings({"rulebook": None}, {"SLINGWRIGHT_RULEBOOK": ""}, yard)
    assert settings.rulebook == "en"


def test_only_the_nearest_settings_file_counts(yard: Path) -> None:
    (yard / SETTINGS_FILE).write_text('seed = 3\nrulebook = "us"\n')
    (yard / "lifts" / SETTINGS_FILE).write_text("seed = 4\n")
    settings = resolve_settings({}, {}, yard / "lifts" / "today")
    assert settings.seed == 4
    assert settings.rulebook is None


def test_paths_count_from_the_settings_file_or_from_the_working_folder(yard: Path, tmp_path: Path) -> None:
    (yard / "ours.toml").write_text("")
    (tmp_path / "elsewhere" / "prices.toml").write_text("")
    (yard / SETTINGS_FILE).write_text('shop = "ours.toml"\n')
    settings = resolve_settings({"price_book": "prices.toml"}, {}, yard / "lifts")
    assert settings.shop == yard / "ours.toml"
    assert settings.price_book == tmp_path / "elsewhere" / "prices.toml"


def test_a_shop_above_the_lift_is_found_with_its_stock_and_prices(yard: Path) -> None:
    for name in ("shop.toml", "stock.toml", "rolls.toml", "price_book.toml", "adoption.toml"):
        (yard / name).write_text("")
    settings = resolve_settings({}, {}, yard / "lifts" / "today")
    assert settings.need_shop() == yard / "shop.toml"
    assert settings.stock == yard / "stock.toml"
    assert settings.rolls == yard / "rolls.toml"
    assert settings.need_price_book() == yard / "price_book.toml"
    assert settings.origins["stock"].source is Source.FOUND
    assert settings.adoption is None, "a table is never adopted because a file lies about"


def test_stock_and_prices_are_looked_for_beside_the_shop_that_was_named(yard: Path, tmp_path: Path) -> None:
    (yard / "shop.toml").write_text("")
    (yard / "stock.toml").write_text("")
    (tmp_path / "elsewhere" / "other.toml").write_text("")
    settings = resolve_settings({"shop": "other.toml"}, {}, yard)
    assert settings.stock is None


def test_no_shop_is_a_fault_that_says_every_way_to_name_one(yard: Path) -> None:
    with pytest.raises(InputFault, match="no shop is known") as caught:
        resolve_settings({}, {}, yard).need_shop()
    assert caught.value.field == "shop"
    for way in ("--shop FILE", "SLINGWRIGHT_SHOP", SETTINGS_FILE, "shop.toml beside the lift"):
        assert way in caught.value.hint
    with pytest.raises(InputFault, match="no price book is known") as caught:
        resolve_settings({}, {}, yard).need_price_book()
    assert "--price-book FILE" in caught.value.hint


def test_all_faults_are_told_at_once_each_where_it_stands(yard: Path) -> None:
    (yard / SETTINGS_FILE).write_text('rulebook = "uk"\nshpo = "x"\nstock = 3\nseed = true\n')
    faults = faults_of(
        {"shop": "missing.toml"}, {"SLINGWRIGHT_SED": "4", "SLINGWRIGHT_UNITS": "imperial", "HOME": "x"}, yard
    )
    assert set(faults) == {
        "--shop", "SLINGWRIGHT_SED", "SLINGWRIGHT_UNITS", "rulebook", "shpo", "stock", "seed",
    }  # fmt: skip
    assert "no such file" in faults["--shop"]
    assert "did you mean SLINGWRIGHT_SEED?" in faults["SLINGWRIGHT_SED"]
    assert "us or si" in faults["SLINGWRIGHT_UNITS"]
    assert "did you mean shop?" in faults["shpo"]
    assert SETTINGS_FILE in faults["stock"]


def test_a_bad_value_that_a_better_one_hides_is_still_told(yard: Path) -> None:
    assert "whole number" in faults_of({"seed": "1"}, {"SLINGWRIGHT_SEED": "many"}, yard)["SLINGWRIGHT_SEED"]


@pytest.mark.parametrize(
    "seed",
    [
        "-1",
        "1.0",
        1.0,  # a file's 1.0 is no whole number either: it would print as another seed
        "0x1",
        "",
        "١",  # a digit to Unicode, not to us
        str(2**63),
        "9" * 5000,
    ],
)
def test_a_seed_is_a_whole_number_in_range(yard: Path, seed: object) -> None:
    assert "--seed" in faults_of({"seed": seed}, {}, yard)
    assert resolve_settings({"seed": str(2**63 - 1)}, {}, yard).seed == 2**63 - 1


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"seed = ", "is not TOML"),
        (b"shop = \"caf\xe9.toml\"", "is not TOML"),
        (b"a = " + b"[" * 100_000, "is not TOML"),
        (b"# " + b"x" * 1_000_000, "is larger than 1000000 bytes"),
    ],
)  # fmt: skip
def test_an_unreadable_settings_file_is_a_fault(yard: Path, content: bytes, problem: str) -> None:
    (yard / SETTINGS_FILE).write_bytes(content)
    faults = faults_of({}, {}, yard)
    assert problem in faults[""]
    assert SETTINGS_FILE in faults[""]


@pytest.mark.parametrize("path", ["nul\0inside", "", "x" * 5000, "."])
def test_odd_paths_are_faults_and_nothing_worse(yard: Path, path: str) -> None:
    assert "--shop" in faults_of({"shop": path}, {}, yard)
