"""Logbooks that share a folder: each gets what concerns it, and all end up with the same."""

import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, a_row, a_row_a_minute, logged, new_session, ticking
from tests.services.school import School, a_school, all_share, answered, desk_of, own_file

from platebook.exchange.bundle_file import LARGEST_FILE, read_bundle
from platebook.logbook import defaults, open_logbook, setter_records
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.records import add_inspections
from platebook.practice.records import Inspection
from platebook.practice.revision import Revision
from platebook.services.answers import basis_of
from platebook.services.attempts.log import attempt_history, attempts_of, log_page
from platebook.services.attempts.recording import amend, undo
from platebook.services.files import backup, check, restore
from platebook.services.people.setters import add_setter, erase_setter, list_setters, merge_setters
from platebook.services.people.teachers import begin_teaching
from platebook.services.progress_callback import Stopped
from platebook.services.session import Refused, opened, today_at, with_setter_of
from platebook.services.sharing.erasings import obey_erasing
from platebook.services.sharing.let_in import waiting_people
from platebook.services.sharing.outcome_words import MOST_PEOPLE, came_words, waiting_lines
from platebook.services.sharing.places.folder import read_file
from platebook.services.sharing.share_ahead import Heard, ShareAhead, share_ahead
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.share_progress import OTHERS, OWN, SUMS, ShareProgress
from platebook.services.sharing.single_bundle import export_bundle, import_bundle, unread_words
from platebook.services.sharing.start_files import remember_folder
from platebook.values import replace


def stop_at_the_sums(what: str) -> None:
    """Stop the work once every bundle was gone through."""
    if what == SUMS:
        raise Stopped


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Nothing is logged yet."""
    return a_school(tmp_path)


def test_each_writes_one_file_and_takes_in_the_others(school: School) -> None:
    """The instructor has everyone; a student has what concerns them."""
    logged(school.ada, *a_row_a_minute(2))
    logged(school.bram, a_row())
    done = all_share(school, school.ada, school.bram, school.tutor, school.ada)
    assert {p.name for p in school.folder.iterdir()} == {
        own_file(school, d).name for d in (school.ada, school.bram, school.tutor)
    }
    assert [len(one.received) for one in done] == [0, 1, 2, 2]
    assert {(p.setter.name, p.attempts) for p in list_setters(school.tutor)} == {
        (ADA, 2),
        (BRAM, 1),
    }
    assert [p.setter.name for p in list_setters(school.ada)] == [ADA]
    assert {one.records for one in done[2].received} == {
        (("attempt", 2), ("setter", 1)),
        (("attempt", 1), ("setter", 1)),
    }


def test_everyone_is_taken_in_where_that_is_asked_for(school: School) -> None:
    """`--all` with a setter in use."""
    logged(school.bram, a_row())
    share(school.bram, school.folder)
    share(school.ada, school.folder, everyone=True)
    assert {p.setter.name for p in list_setters(school.ada)} == {ADA, BRAM}


def test_who_erased_themselves_is_sent_nobody_elses(school: School) -> None:
    """With nobody left the others of the folder are not even named; `--all` asks for everyone."""
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    share(school.bram, school.folder)
    erase_setter(school.ada, ADA)
    alone = replace(school.ada, setter_id=None, setter_name="")
    done = share(alone, school.folder)
    assert (list_setters(alone), done.waiting) == ((), ())
    assert waiting_people(alone) == ()
    share(alone, school.folder, everyone=True)
    assert [p.setter.name for p in list_setters(alone)] == [BRAM]


def test_before_sharing_it_is_known_what_would_be_new(school: School) -> None:
    """Who has shared there meanwhile, and what was changed here since; nothing before the first."""
    assert share_ahead(school.ada) == ShareAhead()
    remember_folder(school.ada, school.folder)
    share(school.bram, school.folder)
    place = str(school.folder)
    assert share_ahead(school.ada) == ShareAhead(place, others=1, new=1, to_go=None)
    share(school.ada, school.folder)
    assert share_ahead(school.ada) == ShareAhead(place, others=1, new=0, to_go=0)
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    share(school.bram, school.folder)
    assert share_ahead(school.ada) == ShareAhead(place, others=1, new=1, to_go=1)
    remember_folder(school.ada, school.folder / "gone")
    assert share_ahead(school.ada) == ShareAhead(f"{place}/gone", to_go=1)


def test_before_sharing_it_is_known_of_whom_something_came_and_when_they_made_it(
    school: School,
) -> None:
    """How old their newest is, and whether more of theirs lies there; nothing of who is erased."""
    remember_folder(school.tutor, school.folder)
    logged(school.bram, a_row())
    all_share(school, school.bram, school.tutor)
    today = today_at(school.tutor)
    assert share_ahead(school.tutor).heard == (Heard(BRAM, today, days=0),)
    logged(school.bram, a_row())
    all_share(school, school.bram)
    assert share_ahead(school.tutor).heard == (Heard(BRAM, today, days=0, more=True),)
    erase_setter(school.tutor, BRAM)
    assert share_ahead(school.tutor).heard == ()


def test_what_came_is_one_sentence(school: School) -> None:
    """How much came in and of how many; who waits is counted, and where that is answered."""
    share(school.bram, school.folder)
    logged(school.ada, a_row(), a_row())
    share(school.ada, school.folder)
    out = "what is yours has gone out."
    waiting = share(school.tutor, school.folder)
    nothing = f"Nothing new came in; {out}"
    assert came_words(waiting) == f"{nothing} 2 people wait for your answer: b."
    done = share(school.tutor, school.folder, everyone=True)
    assert came_words(done) == f"2 attempts came in from 2 others; {out}"
    assert came_words(share(school.tutor, school.folder, everyone=True)) == nothing


def test_what_is_being_done_is_told_and_how_far_it_is(school: School) -> None:
    """The own file revision by revision, then the others' files; and last the class's sums."""
    logged(school.ada, *a_row_a_minute(3))
    share(school.tutor, school.folder)
    told: list[tuple[str, list[float]]] = []
    progress = ShareProgress(
        lambda done, of: told[-1][1].append(done / of if of else 0.0) if told else None,
        lambda what: told.append((what, [])),
    )
    share(school.ada, school.folder, progress=progress)
    assert [what for what, _ in told] == [OWN, OTHERS, SUMS]
    own = told[0][1]
    assert (own, own[-1], len(own)) == (sorted(own), 1.0, 1 + len(_own_revisions(school)))


def _own_revisions(school: School) -> tuple[Revision, ...]:
    return read_file(school.folder / own_file(school, school.ada)).revisions


@pytest.mark.parametrize("after", [1, 2])
def test_a_share_that_is_stopped_while_it_writes_leaves_the_file_before_it(
    school: School, after: int
) -> None:
    """Whole, with nothing half written beside it, in the folder or beside the logbook."""
    logged(school.ada, a_row())
    share(school.ada, school.folder)
    before = {file.name: file.read_bytes() for file in school.folder.iterdir()}
    beside = {file.name for file in school.ada.path.parent.iterdir()}
    logged(school.ada, *a_row_a_minute(4))

    def stop(done: float, of: int) -> None:
        if of and done >= after:
            raise Stopped

    with pytest.raises(Stopped):
        share(school.ada, school.folder, progress=ShareProgress(stop))
    assert {file.name: file.read_bytes() for file in school.folder.iterdir()} == before
    assert {file.name for file in school.ada.path.parent.iterdir()} == beside
    share(school.ada, school.folder)
    assert len(_own_revisions(school)) == 1 + 1 + 4


def test_a_bundle_that_nobody_can_read_is_told() -> None:
    """It is written, as the own work is in it; only nobody reads one so large."""
    assert unread_words(LARGEST_FILE) is None
    told = unread_words(LARGEST_FILE + 2**20) or ""
    assert "513 MB large; a bundle is at most 512 MB, so others cannot take it in" in told


def test_sharing_twice_is_sharing_once(school: School) -> None:
    """Nothing new comes in, and a file that would say the same is not written again."""
    logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    before = own_file(school, school.ada).stat().st_mtime_ns
    again = all_share(school, school.ada, school.tutor)
    assert [[one.revisions for one in done.received] for done in again] == [[0], [0]]
    assert own_file(school, school.ada).stat().st_mtime_ns == before


def test_a_clash_is_shown_and_settled_by_whoever_amends(school: School) -> None:
    """Everywhere the same one counts meanwhile; the history has both."""
    (attempt_id,) = logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    amend(school.ada, attempt_id, {"note": "mine"})
    amend(school.tutor, attempt_id, {"note": "yours"})
    done = all_share(school, school.ada, school.tutor, school.ada)
    answered(school.ada)
    done[2] = share(school.ada, school.folder)
    found = (("attempt", attempt_id),)
    assert [one.clashes for one in done] == [(), found, found]
    assert [one.clashes for one in done[2].received] == [found]
    assert attempts_of(school.ada) == attempts_of(school.tutor)
    assert "Two versions stand side by side" in attempt_history(school.ada, attempt_id)[-1]
    assert log_page(school.ada).rows[0].note.startswith("two versions: ")
    amend(school.ada, attempt_id, {"note": "ours"})
    done = all_share(school, school.ada, school.tutor)
    assert [one.clashes for one in done] == [(), ()]
    assert [a.note for a in attempts_of(school.tutor)] == ["ours"]


def test_undo_reaches_only_what_was_done_here(school: School) -> None:
    """What came in stays."""
    logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    with pytest.raises(Refused, match="nothing to take back"):
        undo(school.tutor)
    assert len(attempts_of(school.tutor)) == 1


def test_clocks_that_are_off_decide_nothing(school: School) -> None:
    """A year ahead or an hour behind: the correction made last is the one that counts."""
    (attempt_id,) = logged(school.ada, a_row())
    share(school.ada, school.folder)
    late = replace(school.tutor, clock=ticking(NOW + timedelta(days=365)))
    early = replace(school.ada, clock=ticking(NOW - timedelta(hours=1)))
    all_share(school, late)
    amend(late, attempt_id, {"note": "a year ahead"})
    all_share(school, late, early)
    share(answered(early), school.folder)
    amend(early, attempt_id, {"note": "an hour behind"})
    done = all_share(school, early, late)
    assert [one.clashes for one in done] == [(), ()]
    assert [a.note for a in attempts_of(late)] == ["an hour behind"]


def test_two_people_of_one_name_stay_two_until_they_are_made_one(school: School) -> None:
    """The notice names the command; a student's own logbook follows it."""
    mine = add_setter(school.tutor, ADA)
    logged(school.ada, a_row())
    share(school.ada, school.folder)
    (done,) = all_share(school, school.tutor)
    assert "stands for 2 people" in done.notices[0]
    command = done.notices[0].partition("platebook setter merge ")[2]
    ids = (str(mine.setter_id), str(school.ada.setter_id))
    assert set(command.split()) == {one[-8:] for one in ids}
    assert share(school.tutor, school.folder).notices == ()
    theirs = str(school.ada.setter_id)
    merge_setters(school.tutor, ids[0][-8:], theirs)
    all_share(school, school.tutor, school.ada)
    share(answered(school.ada), school.folder)
    with opened(school.ada) as book:
        now = with_setter_of(school.ada, book)
    assert (now.setter_id, len(attempts_of(now))) == (mine.setter_id, 1)
    assert check(school.ada) == ()


def test_a_logbook_restored_elsewhere_takes_back_what_it_had_shared(
    school: School, tmp_path: Path
) -> None:
    """From a backup of before: what was shared since is there again, and both may go on."""
    logged(school.ada, a_row(note="before"))
    backup(school.ada, tmp_path / "copy.sqlite")
    logged(school.ada, a_row(note="since"))
    share(school.ada, school.folder)
    second = desk_of(tmp_path, "second")
    restore(second, tmp_path / "copy.sqlite")
    second = replace(second, setter_id=school.ada.setter_id, setter_name=ADA)
    with opened(second) as book, opened(school.ada) as old:
        assert book.ask(replica_of) != old.ask(replica_of)
        assert book.ask(defaults.former_replicas) == (old.ask(replica_of),)
    share(second, school.folder)
    assert [a.note for a in attempts_of(second)] == ["before", "since"]
    logged(second, a_row(note="elsewhere"))
    logged(school.ada, a_row(note="here"))
    done = all_share(school, second, school.ada, second)
    assert [one.clashes for one in done] == [(), (), ()]
    assert "others know" in done[0].notices[0]
    share(answered(school.ada, always=True), school.folder)
    assert share(second, school.folder).notices == ()
    notes = {a.note for a in attempts_of(school.ada)}
    assert (
        notes == {a.note for a in attempts_of(second)} == {"before", "since", "elsewhere", "here"}
    )


def test_a_restored_logbook_hands_on_what_was_never_shared(school: School, tmp_path: Path) -> None:
    """The machine it was made on is gone for good."""
    logged(school.ada, a_row())
    backup(school.ada, tmp_path / "copy.sqlite")
    second = desk_of(tmp_path, "second")
    restore(second, tmp_path / "copy.sqlite")
    all_share(school, second, school.tutor)
    assert len(attempts_of(school.tutor)) == 1


def test_the_same_file_copied_to_two_machines_loses_nothing(school: School, tmp_path: Path) -> None:
    """Both bear one id and write one file, so each takes the file in before writing it."""
    logged(school.ada, a_row(note="before"))
    twin = desk_of(tmp_path, "twin")
    shutil.copy(school.ada.path, twin.path)
    twin = replace(twin, setter_id=school.ada.setter_id, setter_name=ADA)
    logged(school.ada, a_row(note="one"))
    logged(twin, a_row(note="two"))
    all_share(school, school.ada, twin)
    with pytest.raises(Refused, match=r"own file.*signed with another key"):
        share(school.ada, school.folder)
    share(answered(school.ada, always=True), school.folder)
    assert {a.note for a in attempts_of(school.ada)} == {"before", "one", "two"}
    assert {a.note for a in attempts_of(twin)} == {"before", "one", "two"}


def test_erasing_travels_and_spares_the_persons_own_logbook(school: School) -> None:
    """Gone from the class and its bundle; elsewhere somebody is asked, never where they work."""
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    all_share(school, school.ada, school.bram, school.tutor)
    share(school.ada, school.folder, everyone=True)
    erase_setter(school.tutor, BRAM)
    done = all_share(school, school.tutor, school.ada, school.bram, school.tutor)
    assert [p.setter.name for p in list_setters(school.tutor)] == [ADA]
    assert {p.setter.name for p in list_setters(school.ada)} == {ADA, BRAM}
    assert [(p.setter.name, p.attempts) for p in list_setters(school.bram)] == [(BRAM, 1)]
    assert [one.name for one in done[1].erasings] == [BRAM]
    assert (done[2].erasings, done[3].erasings) == ((), ())
    obey_erasing(school.ada, BRAM)
    assert [p.setter.name for p in list_setters(school.ada)] == [ADA]
    assert BRAM.encode() not in own_file(school, school.tutor).read_bytes()


def test_a_bundle_travels_by_mail(school: School, tmp_path: Path) -> None:
    """Under any name; first as a rehearsal; never over a file that is there."""
    logged(school.ada, *a_row_a_minute(3))
    file = tmp_path / "evening.platebook"
    assert export_bundle(school.ada, file) == 4
    with pytest.raises(Refused, match="is there already"):
        export_bundle(school.ada, file)
    tried, _ = import_bundle(school.tutor, file, dry_run=True)
    assert (tried.records, attempts_of(school.tutor)) == ((("attempt", 3), ("setter", 1)), ())
    nowhere = new_session(tmp_path)
    assert import_bundle(nowhere, file, everyone=True, dry_run=True)[0].records == tried.records
    assert not nowhere.path.exists()
    done, _ = import_bundle(school.tutor, file)
    assert (done.records, len(attempts_of(school.tutor))) == (tried.records, 3)
    file.write_bytes(file.read_bytes()[:-1])
    with pytest.raises(
        Refused, match=r"evening\.platebook: was cut short.*Nothing of it was taken"
    ):
        import_bundle(school.tutor, file)


def test_one_persons_bundle_has_nobody_else_in_it(school: School, tmp_path: Path) -> None:
    """What an instructor mails to a student, inspections included."""
    logged(school.ada, a_row())
    (theirs,) = logged(school.bram, a_row())
    all_share(school, school.ada, school.bram, school.tutor)
    with opened(school.tutor) as book:
        look = Inspection(attempt_id=theirs, inspector="Tutor Vale", result=("gap",))
        book.tell(add_inspections, [look], school.tutor.stamp(book, "inspect", author="Tutor Vale"))
    file = tmp_path / "bram.platebook"
    export_bundle(school.tutor, file, about=school.bram.setter_id)
    with file.open("rb") as stream:
        bundle = read_bundle(stream)
    assert {r.kind for r in bundle.revisions} == {"setter", "attempt", "inspection"}
    assert ADA.encode() not in file.read_bytes()
    import_bundle(school.bram, file)
    with opened(school.bram) as book:
        assert [i.inspector for i in book.ask(setter_records.inspections)] == ["Tutor Vale"]


def test_the_invented_class_is_not_exchanged(school: School) -> None:
    """Nobody who takes it in could tell it from people."""
    invented = replace(school.ada, invented=True)
    with pytest.raises(Refused, match="made up"):
        share(invented, school.folder)
    assert list(school.folder.iterdir()) == []


def test_a_class_of_six_tells_each_member_what_the_others_showed(
    school: School, tmp_path: Path
) -> None:
    """As sums of five or more; fewer tell nothing, and nobody is told of themselves.

    They are worked out last: the own file is there before, and stays whole where that is stopped.
    """
    students = [desk_of(tmp_path, f"s{n}", f"Setter {n}") for n in range(6)]
    for number, session in enumerate(students):
        rows = a_row_a_minute(24)
        for place in range(number % 3, 24, 3):
            rows[place] |= {"result": "loose", "fit": "5"}
        logged(session, *rows)
        share(session, school.folder)
    with pytest.raises(Stopped):
        share(
            school.tutor,
            school.folder,
            everyone=True,
            progress=ShareProgress(begins=stop_at_the_sums),
        )
    own = school.folder / own_file(school, school.tutor)
    assert read_file(own).priors == ()
    all_share(school, school.tutor)
    assert len(read_file(own).priors) == 6
    first = students[0]
    assert basis_of(first).class_sums == ""
    share(first, school.folder)
    sums = basis_of(first).class_sums
    assert '"setters":5' in sums
    assert not any(f"Setter {n}" in sums for n in range(6))
    erase_setter(first, "Setter 0")
    with open_logbook(first.path) as book:
        assert book.ask(defaults.default, f"class prior of {first.setter_id}") is None


def test_of_a_crowd_a_few_are_named_in_a_line_that_may_be_copied(school: School) -> None:
    """Whoever wrote the bundle gives the names: no shell obeys one of them."""
    for n in range(30):
        add_setter(school.ada, f"$(touch {n})")
    share(school.ada, school.folder, everyone=True)
    begin_teaching(school.tutor, name="Isolde Crane")
    done = share(school.tutor, school.folder)
    (line,) = waiting_lines(done.waiting, by_key=False)
    first, more = done.waiting[0].name, len(done.waiting) - MOST_PEOPLE
    assert f" and {more} more. Let one in with --let-in '{first}' (and" in line
    assert line.count("(0 attempts)") == MOST_PEOPLE
