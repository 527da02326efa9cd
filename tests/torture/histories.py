"""A plain model of the logbook beside the logbook itself, over histories drawn at random.

Two students and a tutor, a machine each. Every student records, corrects, hides, brings in sheets,
takes back and puts back, keeps a copy and begins again from it; all share through one folder; the
tutor looks, corrects what a student does too, erases, and begins again from a copy. The model is
a dictionary and a list a person, and after every step both say the same.
"""

import shutil
import tempfile
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import cycle
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from tests.services.bench import ADA, BRAM, a_row, minutes_on
from tests.services.school import a_school, all_share, answered, assert_whole
from tests.torture.outcome import Outcome

from platebook.services.attempts.log import attempts_of, inspections_of
from platebook.services.attempts.recording import amend, hide, record, redo, undo
from platebook.services.attempts.spreadsheets import import_file
from platebook.services.backups import copy_now, whereabouts
from platebook.services.classes.inspections import inspect
from platebook.services.files import backup, restore
from platebook.services.people.setters import erase_setter, list_setters
from platebook.services.session import Session
from platebook.services.sharing.share_folder import share

Standing = Mapping[str, tuple[str, str]]
"""What stands of one person: note and result by the id of the attempt."""

RESULTS = st.sampled_from(("good", "loose", "tilted"))
NOTES = st.text("ef", min_size=1, max_size=3)
WHO = st.sampled_from((ADA, BRAM))
STEPS: dict[str, int] = {}
"""How often each kind of step was taken, over all histories of this run."""


@dataclass(frozen=True)
class KeptCopy:
    """A copy that a student made, what stood then, and which sharing was their last before it."""

    file: Path
    standing: Standing
    shares: int


@dataclass
class Person:
    """What the model knows of a student: what stands, and what it was before each change."""

    session: Session
    standing: Standing = field(default_factory=dict)
    done: list[tuple[Standing, Standing]] = field(default_factory=list)
    undone: list[tuple[Standing, Standing]] = field(default_factory=list)
    shares: int = 0
    kept: KeptCopy | None = None

    def begin_anew(self, standing: Standing) -> None:
        """What stands now came from elsewhere too, and cannot be taken back here."""
        self.standing = standing
        self.done.clear()
        self.undone.clear()

    def change(self, after: Standing) -> None:
        """One more change, after which nothing that was taken back can be put back."""
        self.done.append((self.standing, after))
        self.undone.clear()
        self.standing = after


class Histories(RuleBasedStateMachine):
    """The machine that Hypothesis drives."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="histories-"))
        self.school = a_school(self.folder)
        self.people = {ADA: Person(self.school.ada), BRAM: Person(self.school.bram)}
        self.in_folder: dict[str, Standing] = {}
        self.at_tutor: dict[str, Standing] = {}
        self.erased: set[str] = set()
        self.looks: dict[str, list[str]] = {}
        self.tutors_copy: Path | None = None
        self.sheets = 0
        self.copies = 0

    def teardown(self) -> None:
        """Every logbook is whole at the end."""
        try:
            assert_whole(self.school)
        finally:
            shutil.rmtree(self.folder)

    @rule(
        who=WHO, results=st.lists(RESULTS, min_size=1, max_size=3), note=st.text("ab", max_size=3)
    )
    def record_some(self, who: str, results: list[str], note: str) -> None:
        """A few attempts as one change."""
        person = self.people[who]
        done = record(person.session, [a_row(result=r, note=note) for r in results])
        assert len(done.ids) == len(results)
        new = {key: (note, r) for key, r in zip(done.ids, results, strict=True)}
        person.change({**person.standing, **new})
        _count("record")

    @rule(who=WHO, data=st.data(), note=st.text("cd", min_size=1, max_size=3), result=RESULTS)
    def amend_one(self, who: str, data: st.DataObject, note: str, result: str) -> None:
        """Another note and result on one that stands."""
        person = self.people[who]
        if person.standing:
            key = data.draw(st.sampled_from(sorted(person.standing)))
            done = amend(person.session, key, {"note": note, "result": result})
            assert done.stored, done.problems
            person.change({**person.standing, key: (note, result)})
            _count("amend")

    @rule(who=WHO, data=st.data())
    def hide_one(self, who: str, data: st.DataObject) -> None:
        """One goes from everything."""
        person = self.people[who]
        if person.standing:
            key = data.draw(st.sampled_from(sorted(person.standing)))
            hide(person.session, key)
            person.change({k: v for k, v in person.standing.items() if k != key})
            _count("hide")

    @rule(who=WHO)
    def take_back(self, who: str) -> None:
        """The last change is as if it had not been."""
        person = self.people[who]
        if person.done:
            undo(person.session)
            before, after = person.done.pop()
            assert person.standing == after
            person.standing = before
            person.undone.append((before, after))
            _count("undo")

    @rule(who=WHO)
    def put_back(self, who: str) -> None:
        """What was taken back last stands again."""
        person = self.people[who]
        if person.undone:
            redo(person.session)
            before, after = person.undone.pop()
            person.standing = after
            person.done.append((before, after))
            _count("redo")

    @rule(who=WHO, rows=st.integers(1, 4))
    def bring_in_a_sheet(self, who: str, rows: int) -> None:
        """New rows come in as one change; the same sheet again brings nothing."""
        person = self.people[who]
        self.sheets += 1
        sheet = self.folder / f"sheet-{self.sheets}.csv"
        note = f"sheet {self.sheets}"
        # A row of the same minute in another sheet would be a correction of the first.
        times = (minutes_on(100 * self.sheets + n) for n in range(rows))
        lines = [f"loose,2.0,{note},{time_of_row}" for time_of_row in times]
        sheet.write_text("\n".join(["result,stone_diameter_mm,note,began", *lines]), "utf-8")
        assert import_file(person.session, sheet).stored
        new = {
            str(a.attempt_id): (note, "loose")
            for a in attempts_of(person.session)
            if a.note == note
        }
        assert len(new) == rows
        person.change({**person.standing, **new})
        again = import_file(person.session, sheet)
        assert (len(again.rows.new), again.rows.known) == (0, rows)
        _count("import")

    @rule(who=WHO)
    def share_own(self, who: str) -> None:
        """A student's bundle says what stands with them; nothing of theirs changes by it."""
        done = share(self.people[who].session, self.school.folder)
        assert done.unread == ()
        self.shared(who)
        _count("share")

    def shared(self, who: str) -> None:
        """What stands with a student lies in the folder."""
        self.in_folder[who] = self.people[who].standing
        self.people[who].shares += 1

    @rule()
    def tutor_takes_in(self) -> None:
        """The tutor has what lay in the folder, but for those who were erased there."""
        done = share(self.school.tutor, self.school.folder, everyone=True)
        assert done.unread == ()
        for who, standing in self.in_folder.items():
            if who not in self.erased:
                self.at_tutor[who] = standing
        _count("take in")

    @rule(who=WHO, data=st.data(), here=NOTES, there=NOTES, result=RESULTS)
    def both_correct_one(
        self, who: str, data: st.DataObject, here: str, there: str, result: str
    ) -> None:
        """Two corrections of one attempt stand side by side, one counts; one more settles."""
        person, tutor, folder = self.people[who], self.school.tutor, self.school.folder
        if who in self.erased or not person.standing:
            return
        key = data.draw(st.sampled_from(sorted(person.standing)))
        all_share(self.school, person.session, tutor)
        amend(person.session, key, {"note": f"here {here}"})
        amend(tutor, key, {"note": f"there {there}", "result": result})
        all_share(self.school, person.session, tutor, person.session)
        done = share(answered(person.session), folder)
        assert done.clashes == (("attempt", key),)
        mine, theirs = _said(person.session), _said(tutor)
        assert {k: mine[k] for k in person.standing} == {k: theirs[k] for k in person.standing}
        assert mine[key] in {
            (f"here {here}", person.standing[key][1]),
            (f"there {there}", result),
        }
        assert amend(person.session, key, {"note": f"both {here}", "result": result}).stored
        done, there_too = all_share(self.school, person.session, tutor)
        assert (done.clashes, there_too.clashes) == ((), ())
        person.begin_anew({**person.standing, key: (f"both {here}", result)})
        self.shared(who)
        self.at_tutor.update({k: v for k, v in self.in_folder.items() if k not in self.erased})
        _count("both correct")

    @rule(who=WHO)
    def keep_a_copy(self, who: str) -> None:
        """A copy in a place of one's own."""
        person = self.people[who]
        self.copies += 1
        file = self.folder / f"copy-{self.copies}.sqlite"
        backup(person.session, file)
        person.kept = KeptCopy(file, person.standing, person.shares)
        _count("backup")

    @rule(who=WHO)
    def begin_again_from_a_copy(self, who: str) -> None:
        """What was shared since the copy comes back with the next sharing, the rest is gone."""
        person = self.people[who]
        if person.kept is None or who in self.erased:
            return
        restore(person.session, person.kept.file)
        share(person.session, self.school.folder)
        share(answered(person.session), self.school.folder)
        since = person.shares > person.kept.shares
        person.begin_anew(self.in_folder[who] if since else person.kept.standing)
        self.shared(who)
        _count("restore")

    @rule(who=WHO, data=st.data(), comment=NOTES)
    def tutor_looks(self, who: str, data: st.DataObject, comment: str) -> None:
        """A look stands beside what its setter said, and reaches them with what is shared."""
        person, tutor = self.people[who], self.school.tutor
        if who in self.erased or not person.standing:
            return
        key = data.draw(st.sampled_from(sorted(person.standing)))
        all_share(self.school, person.session, tutor)
        inspect(tutor, key, "loose", comment=f"look {comment}", by="March")
        all_share(self.school, tutor, person.session)
        share(answered(person.session), self.school.folder)
        self.looks.setdefault(key, []).append(f"look {comment}")
        self.shared(who)
        self.at_tutor.update({k: v for k, v in self.in_folder.items() if k not in self.erased})
        _count("look")

    @precondition(lambda self: self.school.tutor.path.exists())
    @rule()
    def tutor_keeps_a_copy(self) -> None:
        """A copy of the program's own, which whoever is erased goes from too."""
        self.tutors_copy = copy_now(self.school.tutor).file
        _count("tutor's copy")

    @precondition(lambda self: self.tutors_copy is not None)
    @rule()
    def tutor_begins_again(self) -> None:
        """What lies in the folder comes back, and nobody who was erased."""
        tutor = self.school.tutor
        assert self.tutors_copy is not None
        restore(tutor, self.tutors_copy)
        assert not self.erased & {listed.setter.name for listed in list_setters(tutor)}
        for _ in range(2):
            share(answered(tutor), self.school.folder, everyone=True)
        self.at_tutor = {k: v for k, v in self.in_folder.items() if k not in self.erased}
        _count("tutor's restore")

    @invariant()
    def looks_stand_beside(self) -> None:
        """A student sees what was looked at of what stands, whatever they did to it since."""
        for person in self.people.values():
            seen = {key for key in person.standing if key in self.looks}
            attempts = (
                [a for a in attempts_of(person.session) if a.attempt_id in seen] if seen else []
            )
            told = {
                str(a.attempt_id): sorted(i.comment for i in inspections_of(person.session, a))
                for a in attempts
            }
            assert told == {key: sorted(self.looks[key]) for key in seen}

    @precondition(lambda self: self.at_tutor)
    @rule(data=st.data())
    def tutor_erases(self, data: st.DataObject) -> None:
        """Somebody goes for good; no sharing brings them back."""
        who = data.draw(st.sampled_from(sorted(self.at_tutor)))
        erase_setter(self.school.tutor, who)
        del self.at_tutor[who]
        self.erased.add(who)
        _count("erase")

    @invariant()
    def no_byte_of_the_erased_stays(self) -> None:
        """Not in the logbook, its copies, or what is kept beside it; not after a sharing either."""
        if not self.erased:
            return
        files = [f for f in self.school.tutor.path.parent.rglob("*") if f.is_file()]
        held = [file.read_bytes() for file in files]
        assert [who for who in self.erased for data in held if who.encode() in data] == []

    @rule(who=WHO)
    def copy(self, who: str) -> None:
        """The newest copy holds what stands."""
        person = self.people[who]
        copy_now(person.session)
        assert whereabouts(person.session).copies[0].attempts == len(person.standing)
        _count("copy")

    @invariant()
    def both_say_the_same(self) -> None:
        """Every logbook says what the model says."""
        for person in self.people.values():
            assert _said(person.session) == dict(person.standing)
        if self.school.tutor.path.exists():
            everything = {k: v for standing in self.at_tutor.values() for k, v in standing.items()}
            assert _said(self.school.tutor) == everything
            names = {listed.setter.name for listed in list_setters(self.school.tutor)}
            assert names == set(self.at_tutor)


def _said(session: Session) -> dict[str, tuple[str, str]]:
    return {
        str(a.attempt_id): (a.note or "", ";".join(a.result or ()))
        for a in attempts_of(session, everyone=True)
    }


def _count(step: str) -> None:
    STEPS[step] = STEPS.get(step, 0) + 1


Machine = type[RuleBasedStateMachine]


def run(machine: Machine, examples: int, steps: int, *, derandomize: bool = False) -> None:
    """So many histories of up to so many steps; it raises with one that differs."""
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            derandomize=derandomize,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        ),
    )


def torture(seconds: float, machines: Sequence[Machine]) -> Outcome:
    """Histories of each kind in turn for so long."""
    outcome = Outcome("histories")
    STEPS.clear()
    end = time.monotonic() + seconds
    for machine in cycle(machines):
        if time.monotonic() > end or outcome.found:
            break
        outcome.counts["histories"] += 10
        try:
            run(machine, 10, 40)
        except (AssertionError, ExceptionGroup) as error:
            steps = "; ".join(getattr(error, "__notes__", ()))
            outcome.found.append(f"the logbook says something else: {error} after {steps}")
    outcome.counts.update({f"{name} steps": number for name, number in STEPS.items()})
    return outcome
