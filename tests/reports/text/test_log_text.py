"""The log as a table of plain text, and one attempt as a list."""

from datetime import UTC, datetime

from tests.builders import an_attempt

from platebook.practice.fields import fields
from platebook.practice.records import Inspection
from platebook.reports.text.log_text import (
    HEADINGS,
    WIDTH,
    attempt_lines,
    inspection_lines,
    log_lines,
)

ONE = an_attempt(
    attempt_id="019c2000-0000-7000-8000-0000000a1b2c",
    grade="copper-2.0",
    result=("loose", "high"),
    severity=(2, 1),
)


def test_an_empty_log_is_its_headings() -> None:
    """One line."""
    assert log_lines(()) == ("  ".join(HEADINGS),)


def test_a_line_an_attempt_with_the_ending_of_its_id() -> None:
    """Columns are as wide as they need."""
    head, line = log_lines((ONE,))
    assert line == "0a1b2c  2026-02-03 18:30  copper-2.0  1.98   1.9  loose, clearly + high, slight"
    assert head.index("result") == line.index("loose")


def test_a_grade_is_called_by_its_title() -> None:
    """Where it is known."""
    _, line = log_lines((ONE,), titles={str(ONE.attempt_id): "2.0 mm in copper"})
    assert "  2.0 mm in copper  1.98" in line


def test_an_attempt_of_which_two_versions_stand_says_so() -> None:
    """Before its result; the last version counts."""
    lines = log_lines((ONE,), two_versions=[str(ONE.attempt_id)])
    assert "  two versions: loose, clearly" in lines[1]


def test_an_inspection_is_a_line_with_what_was_seen() -> None:
    """When, who, what, how bad and where; and what was left empty is not there."""
    full = Inspection(
        attempt_id="a",
        inspector="Tutor Vale",
        result=("loose", "gap"),
        severity=(2, 1),
        clock=4,
        comment="look again",
        looked=datetime(2026, 2, 3, 18, tzinfo=UTC),
    )
    assert inspection_lines([full, Inspection(attempt_id="a", inspector="B")]) == (
        "3 February 2026, Tutor Vale: loose, clearly + gap, slight, at 4 o'clock; look again",
        "B: not judged",
    )


def test_a_part_says_which_and_an_attempt_without_a_result_says_why() -> None:
    """In the place of the result."""
    lines = log_lines(
        (
            an_attempt(kind="part", part="width", result=("missed",)),
            an_attempt(result=None, ended="tool broke"),
            an_attempt(result=None),
        )
    )
    assert [line.rpartition("  ")[2] for line in lines[1:]] == [
        "width: missed",
        "tool broke",
        "not judged",
    ]


def test_no_line_is_wider_than_the_terminal() -> None:
    """With long names, long grades and every defect at once."""
    long = ONE.with_values(
        setter="Wilhelmina Featherstonehaugh-Okonkwo",
        grade="a-grade-with-quite-a-long-id-of-its-own",
        result=("loose", "high", "tilted", "chipped", "gap", "off mark"),
    )
    for with_setter in (False, True):
        lines = log_lines((ONE, long), with_setter=with_setter)
        assert max(len(line) for line in lines) <= WIDTH == 80


def test_a_class_log_says_whose_each_is() -> None:
    """Beside the id."""
    head, one, two = log_lines((ONE, ONE.with_values(setter="Bram Osk")), with_setter=True)
    start = head.index("setter")
    assert [one[start:].split("  ")[0], two[start:].split("  ")[0]] == [
        "Ottoline Marsh",
        "Bram Osk",
    ]


def test_one_attempt_lists_what_is_filled_in() -> None:
    """Every field that has a value once, in the order of the contract; course fields last."""
    attempt = ONE.with_values(extra=(("torch", "small"),), note="ticks")
    lines = attempt_lines(attempt)
    names = [line.split()[1] for line in lines]
    assert names == [n for n in [*fields(), "torch"] if n in names]
    assert "seat_go_mm" not in names
    assert lines[-1].split() == ["course", "torch", "small"]
    assert next(x for x in lines if " note " in x).split() == ["look", "note", "ticks"]


def test_a_line_that_is_too_long_ends_between_two_words() -> None:
    """No word of it is broken."""
    bad = ONE.with_values(result=("loose", "scratched", "off mark", "chipped"), severity=None)
    _, line = log_lines((bad,), titles={str(ONE.attempt_id): "2.5 mm doubled copper"})
    assert line.endswith("  loose + scratched")
