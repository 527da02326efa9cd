"""What a class has shown reaches its members, and nothing else does."""

import json
from pathlib import Path

import pytest
from tests.services.bench import a_row, ada_at, logged
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.classes.find_class import InOneGo, priors_from
from platebook.analysis.classes.search import SEED
from platebook.analysis.findings.find import find
from platebook.logbook import defaults
from platebook.logbook.defaults import prior_name
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt
from platebook.practice.revision import Bundle
from platebook.services.answers import basis_of, findings, prior_in, sums_for
from platebook.services.classes.class_answers import keep_priors
from platebook.services.session import Session, opened

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
