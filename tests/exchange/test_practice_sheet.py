"""A spreadsheet as a student keeps it: 64 attempts in mixed units, with headings of their own.

The sheet and its setter are invented; the habit in it (loose where the bur is nearly as wide as the
stone) is planted.
"""

from collections import Counter
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.builders import a_grade, some_course

from platebook.exchange import import_csv
from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem
from platebook.practice.results import failed

DATA = Path(__file__).parents[1] / "data"
COLUMN_MAP = {"Bur I used": "seat_bur_mm", "How it went": "result", "Remarks": "note"}
ZONE = ZoneInfo("Europe/Berlin")


def read(name: str, **options: object) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """What the import makes of one file."""
    data = (DATA / name).read_bytes()
    return import_csv(data, column_map=COLUMN_MAP, zone=ZONE, **options)  # type: ignore[arg-type]


def test_the_typing_errors_are_named() -> None:
    """Two errors, each with row, line, heading, value and what was expected."""
    _, problems = read("practice-sheet-with-errors.csv")
    assert [(p.row, p.line, p.field, p.read, p.level) for p in problems] == [
        (17, 19, "Stone diameter mm", "19,8", "problem"),
        (40, 42, "How it went", "losse", "problem"),
    ]
    assert problems[0].expected == "0.5 to 12 mm"
    assert problems[1].expected.startswith("loose, or one of: good, loose")


def test_without_a_map_the_own_headings_are_known_by_their_words() -> None:
    """What "Bur I used", "How it went" and "Remarks" mean to anybody."""
    data = (DATA / "practice-sheet.csv").read_bytes()
    assert import_csv(data, zone=ZONE) == read("practice-sheet.csv")


def test_the_mended_sheet_is_read() -> None:
    """64 attempts over eight evenings, lengths in millimetres whatever was typed."""
    found, problems = read("practice-sheet.csv")
    assert problems == ()
    assert len(found) == 64
    days = [attempt.began.date() for attempt in found if attempt.began is not None]
    assert Counter(days).most_common() == [(day, 8) for day in sorted(set(days))]
    assert {a.sheet_mm for a in found} == {0.81, 0.812, 1.02, 1.024}
    assert all(1.4 < (a.stone_diameter_mm or 0) < 2.6 for a in found)
    assert {a.seat_bur_shape for a in found} == {"hart"}
    assert [a.note for a in found if a.note and "\n" in a.note] == [
        "third one\nwith the same bur; teacher says it is worn"
    ]


def test_severity_stands_in_some_rows_only() -> None:
    """Missing ones stay missing in the record."""
    found, _ = read("practice-sheet.csv")
    faulty = [a for a in found if a.result not in {None, ("good",)}]
    given = [a for a in faulty if a.severity is not None]
    assert 0 < len(given) < len(faulty)


def test_about_a_third_failed_and_mostly_near_the_stones_size() -> None:
    """The planted habit is in the file: loose goes with a bur nearly as wide as the stone."""
    found, _ = read("practice-sheet.csv")
    assert 0.25 < sum(failed(a) is True for a in found) / 64 < 0.35
    shares = {}
    for near in (True, False):
        side = [
            a for a in found if ((a.stone_diameter_mm or 0) - (a.seat_bur_mm or 0) < 0.035) == near
        ]
        shares[near] = sum("loose" in (a.result or ()) for a in side) / len(side)
    assert shares[True] > 5 * shares[False]


def test_a_course_places_the_attempts() -> None:
    """No course, grade or exercise is named in the sheet; stone and metal tell the grade."""
    grades = (*some_course().grades, a_grade("copper-3.0", stones_mm=(3.0,)))
    found, problems = read("practice-sheet.csv", course=some_course(grades=grades))
    assert problems == ()
    assert Counter(a.grade for a in found) == {
        "copper-2.0": 32,
        "copper-1.5": 16,
        "copper-2.5": 8,
        "sterling-2.0": 8,
    }
    assert {(a.course, a.kind, a.exercise) for a in found} == {("evening", "whole", None)}
