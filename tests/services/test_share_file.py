"""Kept shares and lines: by what they rest on, never by time, and gone with the setter."""

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.services.bench import a_row, logged
from tests.services.class_of_six import class_of_six

from platebook.analysis.class_share import class_share, prepared_for_class
from platebook.demo.planted import Cause, Plan, planted
from platebook.logbook.attempts import select_attempts
from platebook.logbook.place import answers_folder
from platebook.logbook.wanted import Wanted
from platebook.services import class_answers
from platebook.services.cache import Cache
from platebook.services.class_answers import class_findings, class_so_far, read_ahead
from platebook.services.class_roll import pupils
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.inspecting import queue
from platebook.services.recording import amend, hide, undo
from platebook.services.roster import change_setter, erase_setter, merge_setters
from platebook.services.share_file import form_beside, packed, unpacked


def newest(desk: Desk, name: str) -> str:
    """The id of this setter's newest attempt."""
    (who,) = (one for one in pupils(desk) if one.setter.name == name)
    with opened(desk) as book:
        return book.ask(select_attempts, Wanted(setter_id=who.setter_id))[-1].attempt_id or ""


CHANGES: dict[str, Callable[[Desk], object]] = {
    "a new attempt": lambda desk: logged(desk, a_row(setter="Setter 2")),
    "an attempt corrected": lambda desk: amend(desk, newest(desk, "Setter 2"), {"note": "x"}),
    "an attempt hidden": lambda desk: hide(desk, newest(desk, "Setter 2")),
    "another name": lambda desk: change_setter(desk, "Setter 2", name="Setter 22"),
    "two made one": lambda desk: merge_setters(desk, "Setter 2", "Setter 5"),
}


def rests_on(desk: Desk) -> dict[str, str]:
    """What the kept answers of each setter rest on."""
    return {one.setter_id: one.rests_on for one in pupils(desk)}


@pytest.mark.parametrize("change", CHANGES)
def test_what_is_kept_is_never_stale(tmp_path: Path, change: str) -> None:
    """After each change, and after it is taken back, the answer is the one without anything kept.

    Only the setter concerned is asked again.
    """
    desk = class_of_six(tmp_path)
    whole(desk)
    before = rests_on(desk)
    CHANGES[change](desk)
    after = rests_on(desk)
    assert [one for one in after if after[one] != before[one]] == [pupils(desk)[2].setter_id]
    assert whole(desk) == whole_anew(desk)
    undo(desk)
    assert rests_on(desk)[pupils(desk)[2].setter_id] not in {*before.values(), *after.values()}
    assert whole(desk) == whole_anew(desk)


def whole(desk: Desk) -> tuple[object, ...]:
    """All answers about the class."""
    return class_findings(desk), class_so_far(desk), queue(desk)


def whole_anew(desk: Desk) -> tuple[object, ...]:
    """The same with nothing kept."""
    for file in answers_folder(desk.path).iterdir():
        file.unlink()
    return whole(desk)


def test_only_who_changed_is_worked_out_again(tmp_path: Path) -> None:
    """The shares that are made after a new attempt are those of its setter alone."""
    desk = class_of_six(tmp_path)
    class_findings(desk)
    before = {file.name for file in answers_folder(desk.path).glob("*.npz")}
    assert len(before) >= 6
    logged(desk, a_row(setter="Setter 2"))
    class_findings(desk)
    changed = before ^ {file.name for file in answers_folder(desk.path).glob("*.npz")}
    assert {name.rpartition("-share")[0] for name in changed} == {pupils(desk)[2].setter_id}


def test_a_share_reads_back_as_it_was_and_a_damaged_one_not_at_all(tmp_path: Path) -> None:
    """Bytes cut short, of another file, or of other arrays are as good as none."""
    plan = Plan(attempts=40, causes=(Cause("clearance_mm", "loose"),))
    share = class_share(prepared_for_class(planted(plan, 3).attempts, None))
    again = unpacked(packed(share))
    assert packed(again) == packed(share)
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
    desk = class_of_six(tmp_path)
    file = answers_folder(desk.path) / "class-lines.json"
    read_ahead(desk)
    assert not file.exists()
    monkeypatch.setattr(class_answers, "WORTH_A_POOL", 1)
    read_ahead(desk)
    assert file.exists()
    told = class_so_far(desk)
    asked: list[str] = []
    monkeypatch.setattr(class_answers, "line_of", lambda log: asked.append(log.setter.name))
    assert (class_so_far(desk), asked) == (told, [])


def test_what_is_kept_goes_when_a_setter_is_erased(tmp_path: Path) -> None:
    """Their shares, and everything about the class they were in."""
    desk = class_of_six(tmp_path)
    whole(desk)
    gone = pupils(desk)[2].setter_id
    kept = [file.name for file in answers_folder(desk.path).iterdir()]
    assert any(name.startswith(f"{gone}-share0") for name in kept)
    assert "class-lines.json" in kept
    erase_setter(desk, gone)
    left = [file.name for file in answers_folder(desk.path).iterdir()]
    assert not any(name.startswith((gone, "class")) for name in left)
    assert left
