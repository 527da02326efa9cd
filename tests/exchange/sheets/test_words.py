"""The table of words: each row means something, and says where it comes from."""

import csv
from collections import Counter
from importlib import resources

import pytest

from platebook.exchange.sheets.cells import CellReader
from platebook.exchange.sheets.words import (
    ROW_ID,
    TIME,
    bare,
    heading_meanings,
    is_total,
    meanings,
    month_of,
    several_meanings,
)
from platebook.practice.defects import verdicts
from platebook.practice.fields import choices, fields
from platebook.practice.results import SEVERITIES

TABLE = resources.files("platebook.exchange.sheets").joinpath("data", "words.csv")
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))
LANGUAGES = {"en", "de", "fr", "es", "it"}


def test_each_row_means_something_that_is_there() -> None:
    """A field, a value of its list, a month, a severity, yes or no."""
    values = {
        "heading": {*fields(), TIME, ROW_ID},
        "month": {str(n) for n in range(1, 13)},
        "severity": {str(size) for size in SEVERITIES},
        "yes/no": {"yes", "no"},
        "total": {"total"},
        "result": {*verdicts()},
        **{
            name: {c.value for c in listed}
            for name, listed in choices().items()
            if name != "result"
        },
    }
    wrong = [row for row in ROWS if row["means"] not in values.get(row["of"], set())]
    assert wrong == []


def test_each_row_has_a_language_and_a_source() -> None:
    """What was written down without a source says so."""
    assert {row["language"] for row in ROWS} == LANGUAGES
    assert [row for row in ROWS if not row["source"].strip()] == []


def test_no_row_stands_twice() -> None:
    """Of one language."""
    keys = [(r["of"], r["means"], bare(r["word"]), r["language"]) for r in ROWS]
    assert [key for key, times in Counter(keys).items() if times > 1] == []


def test_every_language_has_a_word_for_good_loose_and_tilted() -> None:
    """And for yes, copper and each month."""
    for of, means in (
        *(("result", name) for name in ("good", "loose", "high", "low", "tilted", "chipped")),
        ("yes/no", "yes"),
        ("metal", "sterling silver"),
        *(("month", str(n)) for n in (1, 5, 12)),
    ):
        said = {r["language"] for r in ROWS if (r["of"], r["means"]) == (of, means)}
        assert said | {"en"} >= LANGUAGES - ({"de"} if of == "month" else set()), (of, means)


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("lose", "loose"),
        ("Penchée", "tilted"),
        ("PENCHEE", "tilted"),
        ("i.O.", "good"),
        ("pas fermé", "gap"),
        ("sobresale", "high"),
        ("storta", "tilted"),
    ],
)
def test_case_accents_and_signs_do_not_matter(typed: str, means: str) -> None:
    """A word is known however it is written."""
    assert meanings("result")[bare(typed)] == means


def test_a_word_of_several_values_is_left_to_be_asked() -> None:
    """Silver alone says neither sterling nor fine."""
    assert "silber" not in meanings("metal")
    assert several_meanings("metal")["silber"] == ("sterling silver", "fine silver")


@pytest.mark.parametrize(
    ("typed", "text", "severity"),
    [
        ("etwas schief", "tilted", "1"),
        ("sehr locker und schief", "loose;tilted", "3"),
        ("schief (leicht)", "tilted", "1"),
        ("zu locker, stark schief", "loose;tilted", "2;3"),
        ("légèrement penchée et trop haute", "tilted;high", "1"),
        ("very loose, a bit crooked", "loose;tilted", "3;1"),
        ("gut", "good", ""),
        ("1", "1", ""),
        ("loose + gap", "loose + gap", ""),
    ],
)
def test_a_verdict_in_words(typed: str, text: str, severity: str) -> None:
    """Several things in one cell, and how bad each is where it is said."""
    meant = CellReader("result", "defects")(typed)
    assert (meant.text, meant.severity, meant.unknown) == (text, severity, ())


def test_only_the_part_that_nobody_knows_is_asked() -> None:
    """The rest of the cell is known."""
    assert CellReader("result", "defects")("schief und hakelig").unknown == ("hakelig",)


@pytest.mark.parametrize(
    ("heading", "first"),
    [("Stein Ø", "stone_diameter_mm"), ("Uhrzeit", TIME), ("Bur used", "seat_bur_mm")],
)
def test_headings(heading: str, first: str) -> None:
    """Words that may mean several fields have the likeliest first."""
    assert heading_meanings()[bare(heading)][0] == first


def test_months_and_totals() -> None:
    """In the language of the file."""
    assert [month_of(name) for name in ("März", "mars", "May", "dic.", "Ergebnis")] == [
        3,
        3,
        5,
        12,
        None,
    ]
    totals = ("Summe", "TOTAL:", "Summe Mai", "Total 2023", "total disaster", "4", "")
    assert [is_total([cell]) for cell in totals] == [True, True, True, True, False, False, False]
