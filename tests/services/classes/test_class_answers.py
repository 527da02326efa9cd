"""The class: roster, lines, queue, a look recorded, what all share and take along."""

import json
from collections import Counter
from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, a_row, ada_at, logged, minutes_on, new_session
from tests.simulated.planted import Cause, Plan, planted

from platebook.advice.class_standing import topic
from platebook.analysis.classes.find_class import InOneGo, priors_from
from platebook.analysis.classes.search import SEED
from platebook.analysis.findings.find import find
from platebook.logbook import defaults
from platebook.logbook.defaults import prior_name
from platebook.logbook.file.place import answers_folder
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.courses.course_file import shipped_courses
from platebook.practice.revision import Bundle
from platebook.services.answers import basis_of, prior_in, sums_for
from platebook.services.attempts.recording import undo
from platebook.services.classes.class_answers import class_findings, class_so_far, eyes
from platebook.services.classes.class_roll import pupils
from platebook.services.classes.class_sums import keep_priors
from platebook.services.classes.inspections import inspect, queue
from platebook.services.courses.in_force import use_course
from platebook.services.findings import Asked, findings
from platebook.services.people.setters import add_setter, change_setter
from platebook.services.session import Refused, Session, opened


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada and Bram of one evening, Cleo of another, each with something logged."""
    found = ada_at(tmp_path)
    change_setter(found, ADA, group="Thursday")
    add_setter(found, BRAM, group="Thursday")
    add_setter(found, "Cleo Vane", group="Saturday")
    for n, result in enumerate(("good", "high", "high", "good", "high")):
        for name in (ADA, BRAM):
            logged(found, a_row(setter=name, result=result, began=minutes_on(n), plate="1"))
    logged(found, a_row(setter="Cleo Vane", began=minutes_on(9)))
    return found


def shipped_course_of(session: Session) -> Course:
    """The course that everyone of this class follows."""
    (course,) = {one.course.id: one.course for one in pupils(session)}.values()
    return course


def test_each_setter_has_a_line(session: Session) -> None:
    """The last eight as signs, the main defect, and the eye as far as it is known."""
    (ada, bram), _ = class_so_far(session, "Thursday")
    assert (ada.name, ada.signs, ada.defect, ada.attempts) == (ADA, "+xx+x", "high", 5)
    assert (bram.state, bram.eye) == ("practised", "not looked at yet")
    ladder = shipped_course_of(session).grades
    assert [one.grade for one in bram.grades] == [grade.id for grade in ladder]
    assert Counter(one.state for one in bram.grades) == {"practised": 1, "ahead": len(ladder) - 1}
    assert topic((ada, bram)) == "For all: high is what 2 of 2 have most often."
    assert topic((ada,)) == ""


def test_practice_and_what_it_used_stand_with_each_line_and_for_all(session: Session) -> None:
    """Five attempts of this week each; the class's are the sum."""
    (ada, _), together = class_so_far(session, "Thursday")
    assert ada.practice is not None
    assert [w.attempts for w in ada.practice.weeks][-2:] == [0, 5]
    assert [(u.what, u.count) for u in ada.practice.stones] == [("2.0 mm", 5)]
    assert (together.a_week, [(u.what, u.count) for u in together.burs]) == (
        10.0,
        [("1.90 mm hart", 10)],
    )


def test_the_queue_tells_reasons_and_no_verdict(session: Session) -> None:
    """One position a setter is drawn, and nothing in a row says how it came out."""
    rows = queue(session, "Thursday")
    assert {row.setter for row in rows} == {ADA, BRAM}
    assert sum(row.drawn for row in rows) == 2
    assert not any(hasattr(row, "result") for row in rows)


def test_a_look_is_recorded_and_then_the_own_verdict_told(session: Session) -> None:
    """Beside the setter's, never over it; it leaves the queue and can be taken back."""
    row = next(r for r in queue(session, "Thursday") if r.drawn and r.setter == BRAM)
    done = inspect(session, row.attempt_id, "2", severity="2", clock=4, comment="nail", by="Tutor")
    assert (done.inspection.result, done.inspection.drawn_at_random) == (("high",), True)
    assert done.own_result in {("good",), ("high",)}
    assert row.attempt_id not in {r.attempt_id for r in queue(session, "Thursday")}
    assert eyes(session, "Thursday")[BRAM].looks == 1
    undo(session)
    assert row.attempt_id in {r.attempt_id for r in queue(session, "Thursday")}


def test_what_was_not_drawn_does_not_count_for_the_agreement(session: Session) -> None:
    """An instructor's own choice is no sample."""
    row = next(r for r in queue(session, "Thursday") if not r.drawn)
    assert not inspect(session, row.attempt_id, "good", by="Tutor").inspection.drawn_at_random
    assert eyes(session, "Thursday")[row.setter].looks == 0


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"result": "wobbly"}, "result: read 'wobbly'"),
        ({"result": "high", "severity": "9"}, "severity: read '9'"),
        ({"result": "good", "clock": 13}, "clock: read 13, expected 1 to 12"),
        (
            {"result": "tilted", "comment": "9"},
            "comment: read '9', expected a comment in words, or",
        ),
        ({"result": "good", "by": ADA}, "an inspection is someone else's look"),
    ],
)
def test_what_is_no_look_is_refused(session: Session, values: dict[str, object], says: str) -> None:
    """With what was read and expected; nothing is recorded."""
    row = next(r for r in queue(session, "Thursday") if r.setter == ADA)
    given = {"by": "Tutor"} | values
    with pytest.raises(Refused) as caught:
        inspect(session, row.attempt_id, str(given.pop("result")), **given)  # type: ignore[arg-type]
    assert says in caught.value.sentence
    assert eyes(session)[ADA].looks == 0


def test_the_class_answer_follows_what_is_logged(session: Session) -> None:
    """Kept until somebody logs something; two of one name are told apart."""
    assert class_findings(session, "Thursday").attempts == 10
    logged(session, a_row(setter=BRAM, began=minutes_on(20)))
    assert class_findings(session, "Thursday").attempts == 11
    add_setter(session, ADA, group="Thursday")
    assert [name for name in eyes(session, "Thursday") if name.startswith(ADA)] == [
        ADA,
        f"{ADA} (2)",
    ]


def test_each_window_of_the_class_is_kept_by_itself(session: Session) -> None:
    """Asked of everything, since a day and lately: each is told, and none pushes another out."""
    asked = (Asked(), Asked(everything=True), Asked(since=NOW.date() + timedelta(days=1)))
    counted = [class_findings(session, "Thursday", asked=one).attempts for one in asked]
    assert counted == [10, 10, 0]
    kept = {file.name for file in answers_folder(session.path).iterdir()}
    again = [class_findings(session, "Thursday", asked=one).attempts for one in asked]
    assert again == counted
    assert {file.name for file in answers_folder(session.path).iterdir()} == kept


def test_each_line_and_the_findings_go_by_the_setters_own_course(session: Session) -> None:
    """Where one of two follows a stricter course, a slight defect fails with them alone."""
    for n in range(20, 28):
        for name in (ADA, BRAM):
            row = a_row(setter=name, result="marred", severity="1", began=minutes_on(n))
            logged(session, row)
    both, _ = class_so_far(session, "Thursday")
    assert [one.signs for one in both] == ["++++++++", "++++++++"]
    before = class_findings(session, "Thursday").failures
    text = shipped_courses()[0].replace('id = "small-to-large"', 'id = "strict"', 1)
    use_course(session, "strict", f"failure_from = 1\n{text}")
    (ada, bram), _ = class_so_far(session, "Thursday")
    assert [ada.signs, bram.signs] == ["xxxxxxxx", "++++++++"]
    assert class_findings(session, "Thursday").failures == before + 8


def test_a_class_of_nobody_has_nothing_to_say(tmp_path: Path) -> None:
    """No logbook yet, or nobody in it."""
    session = new_session(tmp_path)
    assert (pupils(session), queue(session), class_so_far(session)[0]) == ((), (), ())


HABIT = Plan(attempts=64, causes=(Cause("clearance_mm", "loose", size=1.6),))
MINE = "mine"


@pytest.fixture(scope="module")
def sums() -> str:
    """What seven setters with one habit say to one of them, as a bundle has it."""
    logs: dict[str, tuple[Attempt, ...]] = {
        name: planted(HABIT, seed).attempts for seed, name in enumerate((MINE, *"abcdef"))
    }
    prior = priors_from(InOneGo(logs, None, SEED).shares())[MINE]
    assert prior is not None
    return prior.model_dump_json()


def bring(session: Session, replica: str, sums: str, *, whose: str | None = None) -> str:
    """Let a bundle of this logbook bring sums; gives those that are kept then."""
    setter_id = str(session.setter_id)
    bundle = Bundle(replica=replica, revisions=(), priors=((whose or setter_id, sums),))
    with opened(session) as book:
        keep_priors(book, bundle, session.setter_id)
        return sums_for(book, setter_id)


def of_setters(sums: str, count: int) -> str:
    """The same sums as a class of another size would send them."""
    return json.dumps(json.loads(sums) | {"setters": count})


def test_of_several_classes_the_largest_stays_and_each_renews_its_own(
    tmp_path: Path, sums: str
) -> None:
    """A smaller class does not push a larger one out; the same one may shrink."""
    session = ada_at(tmp_path)
    assert bring(session, "one", of_setters(sums, 8)) == of_setters(sums, 8)
    assert bring(session, "two", of_setters(sums, 6)) == of_setters(sums, 8)
    assert bring(session, "two", of_setters(sums, 9)) == of_setters(sums, 9)
    assert bring(session, "two", of_setters(sums, 7)) == of_setters(sums, 7)


@pytest.mark.parametrize(
    "odd",
    ["", "{", "[]", '{"setters":4,"cells":[]}', '{"setters":6,"cells":[{"u":1}]}'],
)
def test_sums_that_are_none_are_left(tmp_path: Path, odd: str) -> None:
    """Of four setters, of no shape, of nothing."""
    session = ada_at(tmp_path)
    assert (bring(session, "one", odd), prior_in(odd)) == ("", None)


def test_what_is_about_somebody_else_is_left(tmp_path: Path, sums: str) -> None:
    """Each keeps their own class."""
    session = ada_at(tmp_path)
    assert bring(session, "one", sums, whose="another") == ""
    with opened(session) as book:
        assert book.ask(defaults.default, prior_name("another")) is None


def test_findings_start_from_what_the_class_has_shown(tmp_path: Path, sums: str) -> None:
    """The answer is the one that the analysis gives with this prior, and not a kept older one."""
    session = ada_at(tmp_path)
    log = planted(HABIT, 99).attempts[:40]
    rows = [a.with_values(attempt_id=None, setter_id=session.setter_id, setter=None) for a in log]
    with opened(session) as book:
        book.tell(add_attempts, rows, book.stamp("x", session.clock(), "record"))
    alone = findings(session)
    bring(session, "one", sums)
    bench = basis_of(session)
    helped = findings(session)
    assert helped == find(bench.attempts, course=bench.course, prior=prior_in(sums))
    assert helped != alone
    logged(session, a_row())
    assert basis_of(session).class_sums == sums
