"""Rows to attempts and back, with every problem on the way."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import an_attempt, some_course
from tests.practice.attempts import attempts

from platebook.practice import read_attempts, write_row
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import ExtraField
from platebook.practice.fields import fields
from platebook.practice.problem import Problem

FIRST_ID = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def read_one(**row: object) -> Attempt:
    """The attempt of one row that has no problem."""
    found, problems = read_attempts([row])
    assert problems == ()
    return found[0]


def problems_of(**row: object) -> list[tuple[str, str]]:
    """Field and expectation of each problem of one row that gives no attempt."""
    found, problems = read_attempts([row])
    assert found == ()
    assert all(p.level == "problem" for p in problems)
    return [(p.field, p.expected) for p in problems]


def test_a_row_as_a_csv_gives_it() -> None:
    """Text of every kind of field becomes a value of its type."""
    attempt = read_one(
        began="3.2.2026 18:30",
        stone_diameter_mm="1,98 mm",
        sheet_mm="20 ga",
        layers="1",
        metal="Cu",
        fit="3",
        fit_checks="4",
        stone_checked="yes",
        result="loose; tilted",
        severity="2;1",
        clock="4",
        note="a\nb",
    )
    assert attempt == Attempt(
        began=datetime(2026, 2, 3, 18, 30, tzinfo=UTC),
        kind="whole",
        stone_diameter_mm=1.98,
        sheet_mm=0.812,
        layers=1,
        metal="copper",
        fit="enters tilted and snaps",
        fit_checks="3-5",
        stone_checked=True,
        result=("loose", "tilted"),
        severity=(2, 1),
        clock=4,
        note="a\nb",
    )


def test_a_row_as_json_gives_it() -> None:
    """Numbers, truth values, lists and null are read like their text."""
    attempt = read_one(
        stone_diameter_mm=1.98,
        layers=2,
        fit=3,
        fit_checks=0,
        hand_cut=False,
        result=["loose", "tilted"],
        severity=[3],
        position=7,
        clock=None,
    )
    assert (attempt.stone_diameter_mm, attempt.layers) == (1.98, 2)
    assert (attempt.fit, attempt.fit_checks) == ("enters tilted and snaps", "0")
    assert attempt.hand_cut is False
    assert (attempt.result, attempt.severity) == (("loose", "tilted"), (3,))
    assert (attempt.position, attempt.clock) == ("7", None)


def test_missing_ids_stay_missing_and_empty_rows_give_nothing() -> None:
    """Ids are given where the rows are stored; blank rows still count."""
    rows = [{"note": "first"}, {"note": " ", "layers": ""}, {"layers": "x"}]
    found, problems = read_attempts(rows)
    assert [(a.attempt_id, a.setter_id, a.note) for a in found] == [(None, None, "first")]
    assert [p.row for p in problems] == [3]


def test_all_problems_of_all_rows_are_named() -> None:
    """Row, field, what was read and what was expected; nothing stops at the first fault."""
    rows = [
        {"result": "good;loose", "stone_diameter_mm": "40"},
        {"result": "good"},
        {"clock": "13", "severity": "5", "result": "loose"},
    ]
    found, problems = read_attempts(rows)
    assert [a.result for a in found] == [("good",)]
    assert [(p.row, p.field, p.read) for p in problems] == [
        (1, "stone_diameter_mm", "40"),
        (1, "result", "good;loose"),
        (3, "clock", "13"),
        (3, "severity", "5"),
    ]
    assert str(problems[0]) == "row 1, stone_diameter_mm: read '40', expected 0.5 to 12 mm"


@pytest.mark.parametrize(
    ("row", "field", "says"),
    [
        ({"result": "good + loose"}, "result", "good alone"),
        ({"result": "loose", "severity": "2;1"}, "severity", "at most one severity a defect"),
        ({"result": "good", "severity": "1"}, "severity", "defects here: 0"),
        ({"severity": "1"}, "severity", "defects here: 0"),
        ({"result": "loose", "severity": "4"}, "severity", "1 slight"),
        ({"result": "wobbly"}, "result", "one of: good"),
        ({"result": "lose", "severity": "2"}, "result", "loose, or one of: good"),
        ({"result": "loose", "clock": "0"}, "clock", "1 to 12"),
        (
            {"stone_diameter_min_mm": "2.02", "stone_diameter_max_mm": "1.98"},
            "stone_diameter_min_mm",
            "at most stone_diameter_max_mm, which is 1.98 mm",
        ),
        (
            {"seat_go_mm": "1.94", "seat_nogo_mm": "1.94"},
            "seat_go_mm",
            "less than seat_nogo_mm, which is 1.94 mm",
        ),
        (
            {"stone_depth_mm": "2.1", "stone_diameter_mm": "2"},
            "stone_depth_mm",
            "at most stone_diameter_mm, which is 2 mm",
        ),
        ({"began": "3/2/2026"}, "began", "--dates dmy or --dates mdy"),
        ({"kind": "part", "result": "loose"}, "result", "good or missed"),
        ({"layers": [1, 2]}, "layers", "one plain value"),
        ({"note": {"a": 1}}, "note", "one plain value"),
        ({"stone_diameter_mm": True}, "stone_diameter_mm", "a length above zero"),
        ({"stone_diameter_mm": float("inf")}, "stone_diameter_mm", "a length above zero"),
    ],
)
def test_contradictions_and_nonsense_are_problems(
    row: dict[str, object], field: str, says: str
) -> None:
    """One problem each, at the field where it can be mended."""
    ((found, expected),) = problems_of(**row)
    assert found == field
    assert says in expected


def test_severity_is_left_as_given() -> None:
    """A missing severity is filled where it is used, not in the record."""
    assert read_one(result="loose;tilted", severity="3").severity == (3,)
    assert read_one(result="loose").severity is None


def test_a_value_outside_its_list_is_kept_with_a_notice() -> None:
    """The attempt stands; the notice names the list."""
    found, problems = read_attempts([{"lubricant": "bur oil"}])
    assert found[0].lubricant == "bur oil"
    assert problems == (Problem(1, "lubricant", "bur oil", "one of: none, wax, oil", "notice"),)


def test_an_unknown_field_is_told_once() -> None:
    """Its values are not read, which is said at the first row that has it."""
    found, problems = read_attempts([{"colour": "red", "note": "a"}, {"colour": "blue"}])
    assert len(found) == 1
    assert problems == (Problem(1, "colour", "red", "a field of the record", "notice"),)


def test_an_id_may_stand_once() -> None:
    """The second row says which one has it."""
    rows = [{"attempt_id": FIRST_ID}, {"attempt_id": FIRST_ID.upper()}]
    found, problems = read_attempts(rows)
    assert len(found) == 1
    assert [(p.row, p.field, p.expected) for p in problems] == [
        (2, "attempt_id", "an id of its own; row 1 has it")
    ]


def test_the_zone_and_the_order_of_slashes_are_arguments() -> None:
    """Local time counts where no offset stands; a day is marked as one."""
    zone = timezone(timedelta(hours=-5))
    found, problems = read_attempts(
        [{"began": "2/3/2026 18:30"}, {"began": "2026-02-03"}], zone=zone, dates="mdy"
    )
    assert problems == ()
    assert [(a.began, a.day_only) for a in found] == [
        (datetime(2026, 2, 3, 18, 30, tzinfo=zone), False),
        (datetime(2026, 2, 3, tzinfo=zone), True),
    ]


@pytest.mark.parametrize(
    ("row", "grade"),
    [
        ({"stone_diameter_mm": "1.98", "metal": "copper"}, "copper-2.0"),
        ({"stone_diameter_mm": "1.9", "metal": "copper"}, "copper-2.0"),
        ({"stone_diameter_mm": "1.89", "metal": "copper"}, None),
        ({"stone_diameter_mm": "2.1", "metal": "925"}, "sterling-2.0"),
        ({"stone_diameter_mm": "2.5", "metal": "sterling"}, None),
        ({"stone_diameter_mm": "2.0"}, None),
        ({"metal": "copper"}, None),
        ({"stone_diameter_mm": "2.0", "metal": "copper", "grade": "copper-2.5"}, "copper-2.5"),
    ],
)
def test_a_blank_grade_is_proposed_from_stone_and_metal(
    row: dict[str, object], grade: str | None
) -> None:
    """Within 0.1 mm and only where one grade has both; a grade that is typed stands."""
    found, problems = read_attempts([row], course=some_course())
    assert problems == ()
    assert found[0].grade == grade


def test_a_grade_or_exercise_that_the_course_does_not_know_is_told() -> None:
    """It is kept: the notice names those of the course."""
    row = {"grade": "my own", "exercise": "juggling"}
    found, problems = read_attempts([row, row | {"course": "another"}], course=some_course())
    assert [(a.grade, a.exercise) for a in found] == [("my own", "juggling")] * 2
    assert [(p.row, p.field, p.level) for p in problems] == [
        (1, "grade", "notice"),
        (1, "exercise", "notice"),
    ]
    assert problems[0].expected.startswith("a grade of course evening: copper-1.5, copper-2.0")


def test_a_placed_attempt_belongs_to_the_course() -> None:
    """Course and version come with the grade; a row of another course is left alone."""
    stone = {"stone_diameter_mm": "2", "metal": "copper"}
    found, _ = read_attempts([stone, stone | {"course": "another"}], course=some_course())
    assert [(a.course, a.course_version, a.grade) for a in found] == [
        ("evening", 1, "copper-2.0"),
        ("another", None, None),
    ]


def test_the_exercise_says_what_kind_it_is() -> None:
    """A part exercise of the course is judged as good or missed."""
    found, problems = read_attempts(
        [{"exercise": "width", "result": "missed"}], course=some_course()
    )
    assert problems == ()
    assert (found[0].kind, found[0].part, found[0].result) == ("part", "width", ("missed",))


def test_fields_of_the_course_are_read_and_written() -> None:
    """A course's own fields keep their names, in the order of the course."""
    extra = (
        ExtraField(name="lamp", type="choice", meaning="which lamp", choices=("left", "right")),
        ExtraField(name="breaks", type="integer", meaning="rests taken"),
        ExtraField(name="music", type="yes/no", meaning="played"),
    )
    course = some_course(extra=extra)
    rows = [{"music": "yes", "lamp": "Left", "breaks": "2"}]
    found, problems = read_attempts(rows, course=course)
    assert problems == ()
    assert found[0].extra == (("lamp", "left"), ("breaks", 2.0), ("music", True))
    assert read_attempts([write_row(found[0])], course=course) == (found, ())


@given(attempts())
def test_what_is_written_reads_back(attempt: Attempt) -> None:
    """Every field of any attempt survives the way to text and back."""
    assert read_attempts([write_row(attempt)]) == ((attempt,), ())


@given(
    st.dictionaries(
        st.sampled_from([*fields(), "other"]),
        st.none()
        | st.booleans()
        | st.integers()
        | st.floats()
        | st.text(max_size=20)
        | st.lists(st.text(max_size=5) | st.integers()),
        max_size=12,
    )
)
def test_no_row_raises(row: dict[str, object]) -> None:
    """Whatever a row holds, there is an attempt, a problem or an empty row."""
    lamp = ExtraField(name="other", type="number", meaning="whatever")
    found, problems = read_attempts([row], course=some_course(extra=(lamp,)))
    assert len(found) <= 1
    assert all(p.row == 1 and p.expected for p in problems)


@pytest.mark.parametrize("name", list(fields()))
@pytest.mark.parametrize("text", ["9" * 20_000, "-" * 20_000, "1;" * 9_000, "2026-02-03" * 999])
def test_no_endless_text_raises(name: str, text: str) -> None:
    """The problem shows the beginning of what was typed."""
    _, problems = read_attempts([{name: text}])
    assert all(len(p.read) <= 200 for p in problems)
    assert problems or name == "note"


def test_the_row_holds_every_field_in_order() -> None:
    """The columns are the contract's."""
    assert list(write_row(an_attempt())) == list(fields())
