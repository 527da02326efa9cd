"""One line about a setter, and one topic for all: counted by hand from short logs."""

from collections.abc import Sequence

import pytest
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice.class_standing import QueueRow, SetterLine, standing_of, topic
from platebook.analysis.classes.agreement import Agreement, agreement
from platebook.analysis.grades.progress import progress
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.records import Setter, SignOff
from platebook.values import replace

COURSE = two_track_course()
UNSEEN = agreement((), ())
SETTER = Setter(setter_id="s1", name="Ottoline Marsh")


def _line(
    attempts: Sequence[Attempt],
    course: Course = COURSE,
    *,
    signed: Sequence[SignOff] = (),
    seen: Agreement = UNSEEN,
) -> SetterLine:
    reached = progress(course, attempts, sign_offs=signed, curves=False)
    return standing_of(SETTER, course, attempts, reached, seen)


def _showing(*results: str) -> list[Attempt]:
    """One whole setting a result, in order."""
    rows = evenings("+" * len(results))
    return [row.with_values(result=(word,)) for row, word in zip(rows, results, strict=True)]


def test_nobody_has_worked_yet() -> None:
    """Without attempts nothing is told of the work but the grades that lie ahead."""
    line = _line([])
    assert (line.setter_id, line.name, line.attempts) == ("s1", "Ottoline Marsh", 0)
    assert (line.grade, line.state, line.signs, line.defect) == ("", "", "", "")
    assert (line.lately, line.clock, line.days_since, line.practice) == (None, None, None, None)
    assert [g.grade for g in line.grades] == [grade.id for grade in COURSE.grades]
    assert "passed" not in {g.state for g in line.grades}


def test_a_setter_without_an_id_has_an_empty_one() -> None:
    """A setter who is not in a logbook yet has a line too."""
    nowhere = progress(COURSE, [])
    assert standing_of(Setter(name="Ottoline Marsh"), COURSE, [], nowhere, UNSEEN).setter_id == ""


def test_the_last_eight_judged_ones_stand_as_signs() -> None:
    """Oldest first; what was not judged has no sign, and counts as an attempt."""
    line = _line(evenings("-++-+?+-++"))
    assert (line.attempts, line.signs) == (10, "++x++x++")


@pytest.mark.parametrize(("signs", "to_go"), [("+", 10), ("+++-", 10), ("-+-", 11)])
def test_good_ones_to_go_are_counted_from_the_points(signs: str, to_go: int) -> None:
    """Eleven points pass this grade: a good one is 1, a failure takes 2 (the course's points)."""
    line = _line(evenings(signs))
    assert (line.grade, line.state, line.good_to_go) == ("1.5 mm in copper", "practised", to_go)


def test_the_grade_is_the_one_practised() -> None:
    """Eleven good ones pass the first grade, and the line is about the second."""
    line = _line(evenings("+" * 11))
    assert (line.grade, line.state, line.lately) == ("2.0 mm in copper", "practised", None)
    assert [grade.state for grade in line.grades[:3]] == ["passed", "practised", "ahead"]


def test_the_grade_is_the_one_last_worked_at() -> None:
    """An attempt without a grade does not move it."""
    rows = [*evenings("+"), *evenings("-", "copper-2.0", start=1)]
    no_grade = evenings("+", start=2)[0].with_values(grade=None)
    assert _line([*rows, no_grade]).grade == "2.0 mm in copper"


def test_a_grade_of_no_course_is_told_of_by_nothing() -> None:
    """What was set elsewhere has signs, and no grade to stand at."""
    line = _line(evenings("+-", "elsewhere"))
    assert (line.grade, line.lately, line.signs) == ("", None, "+x")


def test_how_it_goes_lately_lies_in_its_band() -> None:
    """A share between 0 and 1, higher for who gets more of them right."""
    good, bad = _line(evenings("-+++-+-++-")), _line(evenings("-----+--"))
    for line in (good, bad):
        assert line.lately is not None
        assert line.lately_low is not None
        assert line.lately_high is not None
        assert 0 <= line.lately_low <= line.lately <= line.lately_high <= 1
    assert (good.lately or 0) > (bad.lately or 0)


def test_the_main_defect_is_the_one_seen_most_lately() -> None:
    """Two high against one loose; what lies more than eight back is past."""
    assert _line(_showing("loose", "high", "good", "high")).defect == "high"
    assert _line(_showing("loose", "loose", "high", *["good"] * 7)).defect == "high"


def test_of_equal_defects_the_first_is_named_and_good_is_none() -> None:
    """A part that was missed names no defect either."""
    assert _line(_showing("gap", "loose")).defect == "gap"
    assert _line(_showing("good", "missed", "missed")).defect == ""


def test_the_clock_is_that_of_the_main_defect() -> None:
    """High at 4 twice and at 9 once; a loose one at 9 three times is no matter of it."""
    rows = _showing("high", "high", "high", "high", "loose", "loose", "loose")
    hours = (4, 9, 4, None, 9, 9, 9)
    placed = [row.with_values(clock=hour) for row, hour in zip(rows, hours, strict=True)]
    assert (_line(placed).defect, _line(placed).clock) == ("high", 4)
    assert _line(rows).clock is None


def test_a_stricter_course_fails_a_slight_defect() -> None:
    """Severity 1 is good with a remark, unless the setter's own course says from 1."""
    slight = [row.with_values(severity=(1,)) for row in _showing("marred", "loose")]
    assert _line(slight).signs == "+x"
    assert _line(slight, two_track_course(failure_from=1)).signs == "xx"


def test_a_point_that_shows_fails_where_the_back_is_to_be_closed() -> None:
    """Culet out is a remark where the culet is free (table of defects)."""
    enclosed = tuple(g.model_copy(update={"culet": "enclosed"}) for g in COURSE.grades)
    out = _showing("culet out")
    assert _line(out).signs == "+"
    assert _line(out, two_track_course(grades=enclosed)).signs == "x"


def test_a_grade_waits_for_its_sign_off() -> None:
    """Eleven good ones are eleven points; signed after the last of them it waits no more."""
    course, log = two_track_course(sign_off=True), evenings("+" * 11)
    waiting = _line(log, course)
    assert (waiting.state, waiting.sign_off) == ("to be signed off", "copper-1.5")
    assert waiting.sign_off_title == "1.5 mm in copper"
    signed = SignOff(
        setter_id="s1",
        course=course.id,
        grade="copper-1.5",
        signed_by="Tutor",
        attempt_id="a00010",
    )
    done = _line(log, course, signed=[signed])
    assert (done.grades[0].state, done.sign_off, done.sign_off_title) == ("passed", "", "")
    assert (done.grade, done.state) == ("2.0 mm in copper", "practised")
    assert _line(log[:10], course).sign_off == ""
    assert (_line(log).grades[0].state, _line(log).sign_off) == ("passed", "")


@pytest.mark.parametrize(
    ("looks", "bias", "not_enough", "eye"),
    [
        (0, None, "too few", "not looked at yet"),
        (3, None, "too few", "too few"),
        (9, None, None, "as the teacher's"),
        (9, 0.1, None, "as the teacher's"),
        (9, -0.1, None, "as the teacher's"),
        (9, 0.5, None, "kinder than the teacher's"),
        (9, -0.5, None, "harder than the teacher's"),
    ],
)
def test_the_eye_is_told_beside_the_inspectors(
    looks: int, bias: float | None, not_enough: str | None, eye: str
) -> None:
    """The bias is inspector minus setter: above 0 the setter saw less, and is kinder."""
    seen = UNSEEN.model_copy(update={"looks": looks, "bias": bias, "not_enough": not_enough})
    assert _line([], seen=seen).eye == eye


def _class(*defects: str, idle: int = 0) -> list[SetterLine]:
    """A line for each of these main defects, and so many setters without an attempt."""
    line = _line([])
    return [replace(line, attempts=9, defect=defect) for defect in defects] + [line] * idle


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        (_class("high", "high", "loose", "", ""), "For all: high is what 2 of 5 have most often."),
        (_class("gap", "gap", idle=20), "For all: gap is what 2 of 2 have most often."),
        (_class("high", "high", "loose", "gap", "", "", ""), ""),
        (_class("high", "loose"), ""),
        (_class("high"), ""),
        (_class("", "", idle=1), ""),
        ([], ""),
    ],
)
def test_a_topic_is_what_a_third_have_most(lines: list[SetterLine], sentence: str) -> None:
    """Two at least, and 2 of 5 (0.40) but not 2 of 7 (0.29); who did nothing is not counted."""
    assert topic(lines) == sentence


def test_a_row_of_the_queue_tells_no_verdict() -> None:
    """No result, no severity, no note: the inspector looks for themselves."""
    told = {"result", "severity", "note", "defect", "clock"}
    assert not told & set(QueueRow.__struct_fields__)
