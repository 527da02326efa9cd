"""Kept shares and lines: by what they rest on, never by time, and gone with the setter."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.services.bench import a_row, ada_at, logged, minutes_on
from tests.services.class_of_six import class_of_six
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.classes.search import class_share, prepared_for_class
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file.place import answers_folder
from platebook.services.attempts.recording import amend, hide, undo
from platebook.services.cache import Cache
from platebook.services.classes import class_answers
from platebook.services.classes.class_answers import class_findings, class_so_far, read_ahead
from platebook.services.classes.class_roll import pupils
from platebook.services.classes.inspections import queue
from platebook.services.classes.setter_work import form_beside, pack_share, unpack_share
from platebook.services.people.setters import change_setter, erase_setter, merge_setters
from platebook.services.session import Session, opened
from platebook.values import replace


def newest(session: Session, name: str) -> str:
    """The id of this setter's newest attempt."""
    (who,) = (one for one in pupils(session) if one.setter.name == name)
    with opened(session) as book:
        return book.ask(select_attempts, Wanted(setter_id=who.setter_id))[-1].attempt_id or ""


CHANGES: dict[str, Callable[[Session], object]] = {
    "a new attempt": lambda session: logged(session, a_row(setter="Setter 2")),
    "an attempt corrected": lambda session: amend(
        session, newest(session, "Setter 2"), {"note": "x"}
    ),
    "an attempt hidden": lambda session: hide(session, newest(session, "Setter 2")),
    "another name": lambda session: change_setter(session, "Setter 2", name="Setter 22"),
    "two made one": lambda session: merge_setters(session, "Setter 2", "Setter 5"),
}


def rests_on(session: Session) -> dict[str, str]:
    """What the kept answers of each setter rest on."""
    return {one.setter_id: one.rests_on for one in pupils(session)}


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """A class about which everything was asked, and kept; only to be copied."""
    session = class_of_six(tmp_path_factory.mktemp("asked"))
    whole(session)
    return session


@pytest.fixture
def session(asked: Session, tmp_path: Path) -> Session:
    """A copy of it with what is kept, the test's own."""
    shutil.copytree(asked.path.parent, tmp_path, dirs_exist_ok=True)
    return replace(asked, path=tmp_path / asked.path.name)


@pytest.mark.parametrize("change", CHANGES)
def test_what_is_kept_is_never_stale(session: Session, change: str) -> None:
    """After each change, and after it is taken back, the answer is the one without anything kept.

    Only the setter concerned is asked again.
    """
    before = rests_on(session)
    CHANGES[change](session)
    after = rests_on(session)
    assert [one for one in after if after[one] != before[one]] == [pupils(session)[2].setter_id]
    assert whole(session) == whole_anew(session)
    undo(session)
    assert rests_on(session)[pupils(session)[2].setter_id] not in {
        *before.values(),
        *after.values(),
    }
    assert whole(session) == whole_anew(session)


def whole(session: Session) -> tuple[object, ...]:
    """All answers about the class."""
    return class_findings(session), class_so_far(session), queue(session)


def whole_anew(session: Session) -> tuple[object, ...]:
    """The same with nothing kept."""
    for file in answers_folder(session.path).iterdir():
        file.unlink()
    return whole(session)


def test_only_who_changed_is_worked_out_again(session: Session) -> None:
    """The shares that are made after a new attempt are those of its setter alone."""
    before = {file.name for file in answers_folder(session.path).glob("*.npz")}
    assert len(before) >= 6
    logged(session, a_row(setter="Setter 2"))
    class_findings(session)
    changed = before ^ {file.name for file in answers_folder(session.path).glob("*.npz")}
    assert {name.rpartition("-share")[0] for name in changed} == {pupils(session)[2].setter_id}


def test_a_share_reads_back_as_it_was_and_a_damaged_one_not_at_all(tmp_path: Path) -> None:
    """Bytes cut short, of another file, or of other arrays are as good as none."""
    plan = Plan(attempts=40, causes=(Cause("clearance_mm", "loose"),))
    share = class_share(prepared_for_class(planted(plan, 3).attempts, None))
    again = unpack_share(pack_share(share))
    assert pack_share(again) == pack_share(share)
    assert [one.key for one in again.cells] == [one.key for one in share.cells]
    logbook = tmp_path / "logbook.sqlite"
    form = form_beside(())
    Cache(logbook).keep(form, "a", share, "mark")
    assert Cache(logbook).find(form, "a", "mark") is not None
    assert Cache(logbook).find(form, "a", "another") is None
    (file,) = answers_folder(logbook).iterdir()
    for damage in (file.read_bytes()[:-40], b"", b"PK"):
        file.write_bytes(damage)
        assert Cache(logbook).find(form, "a", "mark") is None


def test_a_large_class_is_read_ahead_and_a_small_one_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After it nothing of the lines is worked out any more, until somebody logs."""
    session = class_of_six(tmp_path)
    file = answers_folder(session.path) / "class-lines.json"
    read_ahead(session)
    assert not file.exists()
    monkeypatch.setattr(class_answers, "WORTH_A_POOL", 1)
    read_ahead(session)
    assert file.exists()
    told = class_so_far(session)
    asked: list[str] = []
    monkeypatch.setattr(class_answers, "line_of", lambda log: asked.append(log.setter.name))
    assert (class_so_far(session), asked) == (told, [])


def test_one_person_alone_is_no_class_to_read_ahead(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However much they logged, there is no screen of a class to make ready."""
    session = ada_at(tmp_path)
    logged(session, *(a_row(began=minutes_on(n)) for n in range(3)))
    monkeypatch.setattr(class_answers, "WORTH_A_POOL", 1)
    told: list[tuple[float, int]] = []
    read_ahead(session, lambda done, of: told.append((done, of)))
    assert told == []


def test_what_is_kept_goes_when_a_setter_is_erased(session: Session) -> None:
    """Their shares, and everything about the class they were in."""
    gone = pupils(session)[2].setter_id
    kept = [file.name for file in answers_folder(session.path).iterdir()]
    assert any(name.startswith(f"{gone}-share0") for name in kept)
    assert "class-lines.json" in kept
    erase_setter(session, gone)
    left = [file.name for file in answers_folder(session.path).iterdir()]
    assert not any(name.startswith((gone, "class")) for name in left)
    assert left
