"""The three answers for the setter in use, the first screen that shows them, and their hand."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.builders import a_grade, an_attempt
from tests.services.bench import (
    ADA,
    COURSE,
    NOW,
    SEAT_BUR,
    a_row,
    a_row_a_minute,
    ada_at,
    logged,
    minutes_on,
    new_session,
)

from platebook.logbook import open_logbook, records
from platebook.practice.records import Setter
from platebook.services.answers import basis_of, hand_of, progress, sizes_for_grade, tools_and_hand
from platebook.services.findings import findings, findings_with_values
from platebook.services.now.next_up import next_with_sizes
from platebook.services.now.now_view import now
from platebook.services.people.setters import add_setter
from platebook.services.session import NOBODY_IN_USE, Refused, Session
from platebook.trade import Drawer, Tool
from platebook.values import replace


def _days_later(session: Session, days: int) -> Session:
    return replace(session, clock=lambda: NOW + timedelta(days=days))


@pytest.mark.parametrize("answer", [findings, progress, next_with_sizes])
def test_without_anyone_in_use_the_refusal_says_what_to_do(answer: object, tmp_path: Path) -> None:
    """No logbook, or nobody in it: a sentence each time, and no file is made."""
    assert callable(answer)
    session = new_session(tmp_path)
    with pytest.raises(Refused) as refused:
        answer(session)
    assert (refused.value.sentence, session.path.exists()) == (
        f"{NOBODY_IN_USE} There is no logbook yet at {session.path}.",
        False,
    )
    add_setter(session, ADA)
    with pytest.raises(Refused, match="setter: nobody is in use"):
        answer(session)


def test_an_empty_log_is_answered(tmp_path: Path) -> None:
    """Counts of nothing, no grade begun, and something to do first."""
    session = ada_at(tmp_path)
    found = findings(session)
    assert (found.attempts, found.failures, found.evidence, found.findings) == (
        0,
        0,
        "counts only",
        (),
    )
    shown = progress(session)
    assert (shown.settings, shown.days_since_practice) == (0, None)
    assert {g.rate for g in shown.grades} == {None}
    advice, sizes = next_with_sizes(session)
    assert (advice.course, advice.grade) == (COURSE, "copper-1.5")
    assert advice.why
    assert sizes is not None
    assert sizes.stone.diameter_mm == 1.5


def test_few_attempts_are_only_counted(tmp_path: Path) -> None:
    """Below 20 attempts nothing is said to go with failure; all are counted."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(4), *a_row_a_minute(3, result="loose"))
    found = findings(session)
    assert (found.attempts, found.failures) == (7, 3)
    assert (found.evidence, found.findings) == ("counts only", ())
    grade = progress(session).grade("copper-2.0")
    assert grade is not None
    assert (grade.good, grade.attempts) == (4, 7)


def test_days_are_counted_by_the_benchs_own_calendar(tmp_path: Path) -> None:
    """Half past seven in the evening to the same time eight days on."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    assert progress(_days_later(session, 8)).days_since_practice == 8
    assert now(_days_later(session, 8)).days_since == 8


def test_the_sizes_are_for_the_stone_that_was_measured(tmp_path: Path) -> None:
    """And from the drawer of the setter in use."""
    session = ada_at(tmp_path, SEAT_BUR)
    logged(session, *a_row_a_minute(12))
    advice, sizes = next_with_sizes(session)
    assert sizes is not None
    wanted = {"copper-2.0": 1.98, "copper-2.5": 2.5, "copper-1.5": 1.5}
    assert sizes.stone.diameter_mm == wanted[advice.grade]
    drawer, _ = tools_and_hand(session)
    assert drawer is not None
    assert [t.name for t in drawer.tools] == [SEAT_BUR.name]


def test_without_anyone_in_use_sizes_go_by_custom(tmp_path: Path) -> None:
    """There is no drawer and no hand then."""
    assert tools_and_hand(new_session(tmp_path)) == (None, None)


def test_the_first_screen_of_an_empty_logbook(tmp_path: Path) -> None:
    """What to do, with sizes, set-up, plate and what to mind; nothing counted yet."""
    view = now(ada_at(tmp_path))
    assert (view.setter, view.grade_title) == (ADA, "1.5 mm in copper")
    assert view.exercise_title
    assert view.task
    assert view.criterion
    assert (view.attempts, view.days_since, view.points, view.invented) == (0, None, 0, False)
    assert view.set_up["stone_diameter_mm"] == "1.5"
    assert view.plate is not None
    assert (view.plate.name, view.plate.next_position) == ("1", "1")
    assert view.cautions


def test_the_first_screen_after_some_attempts(tmp_path: Path) -> None:
    """Points, days, plate and set-up are those of the log."""
    session = ada_at(tmp_path, SEAT_BUR)
    rows = a_row_a_minute(3, plate="C", lubricant="wax")
    logged(session, *(dict(row, position=str(n)) for n, row in enumerate(rows, 1)))
    view = now(session)
    assert (view.attempts, view.days_since) == (3, 0)
    assert view.plate is not None
    assert (view.plate.name, view.plate.next_position) == ("C", "4")
    assert view.set_up["lubricant"] == "wax"
    grade = progress(session).grade(view.advice.grade)
    assert grade is not None
    assert (view.points, view.promote_at, view.good_to_go) == (
        grade.points,
        grade.promote_at,
        grade.good_to_go,
    )


def test_readings_are_shown_where_they_are_asked(tmp_path: Path) -> None:
    """A grade that is being learned always asks (a whole setting has readings)."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(3))
    view = now(session)
    assert view.readings_asked
    assert view.readings_asked == view.advice.readings_asked
    assert bool(view.readings) == (view.advice.kind == "whole" or view.advice.part is not None)


def test_each_finding_has_its_values(tmp_path: Path) -> None:
    """Wide seats that came out loose: the findings are the same ones, each with values or none."""
    session = ada_at(tmp_path)
    rows = [
        a_row(
            seat_diameter_mm=f"{1.90 + i % 12 / 100:.2f}",
            result="loose" if i % 12 > 7 else "good",
            began=minutes_on(i),
        )
        for i in range(48)
    ]
    logged(session, *rows)
    both = findings_with_values(session)
    assert both.findings == findings(session)
    assert len(both.values) == len(both.findings.findings)
    wide = next(v for v in both.values if v is not None and v.variable == "clearance_mm")
    assert min(wide.showed) > max(wide.others)


def test_nobody_in_use_is_refused(tmp_path: Path) -> None:
    """As for the findings themselves."""
    with pytest.raises(Refused, match="nobody is in use"):
        findings_with_values(new_session(tmp_path))


GRADE = a_grade()


def test_without_a_grade_there_are_no_sizes() -> None:
    """Nothing is guessed."""
    assert sizes_for_grade(None, ()) is None


def test_before_a_stone_was_measured_the_grades_own_size_counts() -> None:
    """A stone of another grade does not."""
    other = an_attempt(grade="copper-1.5", stone_diameter_mm=1.48)
    sizes = sizes_for_grade(GRADE, (other,))
    assert sizes is not None
    assert (sizes.stone.diameter_mm, sizes.sheet.thickness_mm) == (2.0, 0.812)


def test_the_stone_last_measured_at_the_grade_counts() -> None:
    """With all that was measured of it."""
    first = an_attempt(grade=GRADE.id, stone_diameter_mm=1.96)
    last = an_attempt(grade=GRADE.id, stone_diameter_mm=1.97, stone_depth_mm=1.21)
    unmeasured = an_attempt(grade=GRADE.id, stone_diameter_mm=None)
    sizes = sizes_for_grade(GRADE, (first, last, unmeasured))
    assert sizes is not None
    assert (sizes.stone.diameter_mm, sizes.stone.depth_mm) == (1.97, 1.21)


def test_an_impossible_stone_in_the_log_is_passed_over() -> None:
    """A stone of 40 mm was mistyped; the grade's own size is taken."""
    sizes = sizes_for_grade(GRADE, (an_attempt(grade=GRADE.id, stone_diameter_mm=40.0),))
    assert sizes is not None
    assert sizes.stone.diameter_mm == 2.0


def test_a_sheet_outside_the_limits_has_no_sizes() -> None:
    """The course check is the place that tells of it."""
    assert sizes_for_grade(a_grade(sheet_mm=9.0), ()) is None


def test_the_drawers_bur_is_taken() -> None:
    """Where it is near enough."""
    bur = Tool(kind="bur", name="my 1.9", shape="hart", size_mm=1.9)
    sizes = sizes_for_grade(GRADE, (), Drawer(tools=(bur,)))
    assert sizes is not None
    assert (sizes.seat_bur.from_, sizes.seat_bur.tool) == ("drawer", "my 1.9")


def _classmates_log(session: Session, seat_mm: float, setters: int) -> None:
    with open_logbook(session.path) as book:
        for number in range(setters):
            book.tell(
                records.add_setter,
                Setter(name=f"Mate {number}"),
                book.stamp(ADA, session.clock(), "add"),
            )
    for number in range(setters):
        rows = [a_row(setter=f"Mate {number}", seat_diameter_mm=f"{seat_mm}")] * 6
        logged(session, *rows)


def test_five_classmates_tell_of_a_hand_that_has_cut_nothing(tmp_path: Path) -> None:
    """Their overcut is taken, with whose seats it rests on; four are no class."""
    session = ada_at(tmp_path)
    _classmates_log(session, 2.0, 4)
    assert hand_of(session, basis_of(session)).for_shape("hart") is None
    with open_logbook(session.path) as book:
        book.tell(
            records.add_setter, Setter(name="Mate 4"), book.stamp(ADA, session.clock(), "add")
        )
    logged(session, *[a_row(setter="Mate 4", seat_diameter_mm="2.0")] * 6)
    known = hand_of(session, basis_of(session)).for_shape("hart")
    assert known is not None
    assert (known.from_attempts, known.from_class) == (0, 30)
    assert known.overcut_mm > 0.06


def test_what_a_classmate_logs_later_is_taken_in(tmp_path: Path) -> None:
    """Nothing kept from before is given as if it still stood."""
    session = ada_at(tmp_path)
    _classmates_log(session, 2.0, 5)
    before = hand_of(session, basis_of(session)).for_shape("hart")
    logged(session, *[a_row(setter="Mate 0", seat_diameter_mm="1.94")] * 6)
    after = hand_of(session, basis_of(session)).for_shape("hart")
    assert before is not None
    assert after is not None
    assert (before.from_class, after.from_class) == (30, 36)
    assert after.overcut_mm < before.overcut_mm
