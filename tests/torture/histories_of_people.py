"""The plain model over people and things: added, renamed, made one, taken out, erased when asked.

At one desk everything is done by one person and taken back in order: people, attempts of each,
tools and plates. Between desks a student who has all of a class erases somebody, and the tutor, who
is asked to do the same, does so or keeps them. After every step model and logbook say the same.
"""

import dataclasses
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule
from tests.services.bench import ADA, BRAM, a_row, logged, minutes_on
from tests.services.school import a_school, all_share, answered, assert_whole
from tests.torture.histories import STEPS

from platebook.services.attempts.log import attempts_of
from platebook.services.attempts.recording import record, redo, undo
from platebook.services.attempts.spreadsheets import import_file
from platebook.services.drawer.drawer import change, drawer_view, put_in, take_out
from platebook.services.files import check
from platebook.services.people.setters import (
    add_setter,
    change_setter,
    erase_setter,
    list_setters,
    merge_setters,
)
from platebook.services.plates import new_plate, plate_from, plates_of
from platebook.services.session import Session
from platebook.services.sharing.erasings import erasings, keep_erasing, obey_erasing
from platebook.services.sharing.share_folder import share

NAMES = st.text("klm", min_size=3, max_size=6)


@dataclasses.dataclass(frozen=True)
class World:
    """What stands at a desk: who, whose attempts with their notes, the tools and plates in use."""

    people: Mapping[str, str]
    attempts: Mapping[str, tuple[str, str]] = dataclasses.field(default_factory=dict)
    tools: frozenset[tuple[str, str]] = frozenset()
    plates: frozenset[str] = frozenset()


class AtADesk(RuleBasedStateMachine):
    """All that one person does in one logbook, and takes back."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="desk-"))
        self.session: Session = a_school(self.folder).ada
        self.me = self.session.setter_id or ""
        self.world = World({self.me: ADA})
        self.done: list[tuple[World, World]] = []
        self.undone: list[tuple[World, World]] = []
        self.made = 0

    def teardown(self) -> None:
        """The logbook is whole at the end."""
        try:
            assert check(self.session) == ()
        finally:
            shutil.rmtree(self.folder)

    def change(self, what: str, **parts: object) -> None:
        """One more change, after which nothing that was taken back can be put back."""
        after = replace(self.world, **parts)  # type: ignore[arg-type] # parts of it
        self.done.append((self.world, after))
        self.undone.clear()
        self.world = after
        self.count(what)

    def count(self, what: str) -> None:
        """One more step of this kind; who is in use may be called otherwise by now."""
        STEPS[what] = STEPS.get(what, 0) + 1
        name = self.world.people[self.me]
        self.session = self.session.for_setter(self.me, name)

    @rule(note=NAMES)
    def record_one(self, note: str) -> None:
        """An attempt of one's own."""
        (key,) = record(self.session, [a_row(note=note)]).ids
        self.change("record", attempts={**self.world.attempts, key: (self.me, note)})

    @rule(name=NAMES)
    def add_somebody(self, name: str) -> None:
        """A person of a name that nobody bears."""
        if name not in self.world.people.values():
            added = add_setter(self.session, name)
            self.change(
                "add person", people={**self.world.people, added.setter_id or "": added.name}
            )

    @rule(data=st.data())
    def bring_in_for_one(self, data: st.DataObject) -> None:
        """A sheet that says whose an attempt is."""
        whose = data.draw(st.sampled_from(sorted(self.world.people)))
        self.made += 1
        sheet = self.folder / f"sheet-{self.made}.csv"
        name, note = self.world.people[whose], f"sheet {self.made}"
        began = minutes_on(100 * self.made)
        sheet.write_text(
            f"setter,result,stone_diameter_mm,note,began\n{name},loose,2.0,{note},{began}\n"
        )
        done = import_file(self.session, sheet)
        assert done.stored, done
        (key,) = (
            str(a.attempt_id) for a in attempts_of(self.session, everyone=True) if a.note == note
        )
        self.change("import for one", attempts={**self.world.attempts, key: (whose, note)})

    @rule(data=st.data(), name=NAMES)
    def rename(self, data: st.DataObject, name: str) -> None:
        """A name is corrected, one's own too."""
        whose = data.draw(st.sampled_from(sorted(self.world.people)))
        if name not in self.world.people.values():
            change_setter(self.session, whose, name=name)
            self.change("rename", people={**self.world.people, whose: name})

    @rule(data=st.data())
    def make_one(self, data: st.DataObject) -> None:
        """Somebody's entry goes into one's own, with all their attempts."""
        others = sorted(set(self.world.people) - {self.me})
        if others:
            gone = data.draw(st.sampled_from(others))
            merge_setters(self.session, self.me, gone)
            attempts = {
                key: (self.me if whose == gone else whose, note)
                for key, (whose, note) in self.world.attempts.items()
            }
            people = {key: name for key, name in self.world.people.items() if key != gone}
            self.change("merge", people=people, attempts=attempts)

    @rule(size=st.integers(10, 30))
    def add_a_tool(self, size: int) -> None:
        """Another one for the drawer."""
        before = {row.tool_id for row in drawer_view(self.session)}
        put_in(self.session, f"bur {size / 10} hart")
        (new,) = (row for row in drawer_view(self.session) if row.tool_id not in before)
        self.change("add tool", tools=self.world.tools | {(new.tool_id, new.name)})

    @rule(data=st.data(), size=st.integers(10, 30))
    def change_a_tool(self, data: st.DataObject, size: int) -> None:
        """It is another size, and called by it."""
        if self.world.tools:
            tool = data.draw(st.sampled_from(sorted(self.world.tools)))
            change(self.session, tool[0], f"bur {size / 10} hart")
            (now,) = (row for row in drawer_view(self.session) if row.tool_id == tool[0])
            tools = self.world.tools - {tool} | {(tool[0], now.name)}
            self.change("change tool", tools=tools)

    @rule(data=st.data())
    def take_a_tool_out(self, data: st.DataObject) -> None:
        """It lies in the drawer no more."""
        if self.world.tools:
            tool = data.draw(st.sampled_from(sorted(self.world.tools)))
            take_out(self.session, tool[0])
            self.change("take out tool", tools=self.world.tools - {tool})

    @rule()
    def make_a_plate(self) -> None:
        """A plate of a name that no other has."""
        self.made += 1
        plate, problems = plate_from(
            {"name": f"P{self.made}", "width": "50", "height": "30", "stones": "2.0"}
        )
        assert plate is not None, problems
        new_plate(self.session, plate)
        self.change("make plate", plates=self.world.plates | {plate.name})

    @rule()
    def take_back(self) -> None:
        """The last change is as if it had not been."""
        if self.done:
            undo(self.session)
            before, after = self.done.pop()
            self.undone.append((before, after))
            self.world = before
            self.count("undo of people and things")

    @rule()
    def put_back(self) -> None:
        """What was taken back last stands again."""
        if self.undone:
            redo(self.session)
            before, after = self.undone.pop()
            self.done.append((before, after))
            self.world = after
            self.count("redo of people and things")

    @invariant()
    def both_say_the_same(self) -> None:
        """The logbook says what the model says."""
        said = World(
            {str(one.setter.setter_id): one.setter.name for one in list_setters(self.session)},
            {
                str(a.attempt_id): (str(a.setter_id), a.note or "")
                for a in attempts_of(self.session, everyone=True)
            },
            frozenset((row.tool_id, row.name) for row in drawer_view(self.session)),
            frozenset(one.plate.name for one in plates_of(self.session)),
        )
        assert said == self.world


class AskedToErase(RuleBasedStateMachine):
    """Ada has all of the class; whom she erases, the tutor is asked about."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="asked-"))
        self.school = a_school(self.folder)
        for session in (self.school.ada, self.school.bram):
            logged(session, a_row())
        self.bram_id = self.school.bram.setter_id or ""
        self.brams = 1
        self.in_folder, self.at_tutor, self.at_ada = 0, 0, 0
        self.gone_at_ada = self.gone_at_tutor = False

    def teardown(self) -> None:
        """Every logbook is whole at the end."""
        try:
            assert_whole(self.school)
        finally:
            shutil.rmtree(self.folder)

    @rule()
    def bram_records(self) -> None:
        """One more attempt of his, with himself alone."""
        logged(self.school.bram, a_row())
        self.brams += 1

    @rule()
    def bram_shares(self) -> None:
        """His file has all that he has, whoever was asked to erase him."""
        share(self.school.bram, self.school.folder)
        self.in_folder = self.brams
        _count("share")

    @rule()
    def ada_takes_all_in(self) -> None:
        """But nobody whom she erased; and her wish goes out with it."""
        share(answered(self.school.ada), self.school.folder, everyone=True)
        if not self.gone_at_ada and self.in_folder:
            self.at_ada = self.in_folder
        _count("take in")

    @rule()
    def ada_erases_bram(self) -> None:
        """In her own logbook, for good."""
        if self.at_ada:
            erase_setter(self.school.ada, self.bram_id)
            self.at_ada, self.gone_at_ada = 0, True
            _count("erase")

    @rule()
    def tutor_takes_in(self) -> None:
        """Nobody goes there by another's wish alone: the tutor is asked."""
        all_share(self.school, self.school.tutor)
        if self.in_folder and not self.gone_at_tutor:
            self.at_tutor = self.in_folder
        _count("take in")

    @rule(obeys=st.booleans())
    def tutor_answers(self, *, obeys: bool) -> None:
        """As Ada asked, or that he stays."""
        if not self.school.tutor.path.exists():
            return
        waiting = [one for one in erasings(self.school.tutor) if not one.kept]
        if not waiting:
            return
        assert (self.gone_at_ada, [one.person_id for one in waiting]) == (True, [self.bram_id])
        assert waiting[0].attempts == self.at_tutor
        if obeys:
            obey_erasing(self.school.tutor, self.bram_id)
            self.at_tutor, self.gone_at_tutor = 0, True
        else:
            keep_erasing(self.school.tutor, self.bram_id)
        _count("obey" if obeys else "keep")

    @invariant()
    def each_has_what_is_theirs(self) -> None:
        """Bram keeps all that is his; Ada and the tutor have what they took in and let go."""
        has = [
            _brams(session, self.bram_id)
            for session in (self.school.bram, self.school.ada, self.school.tutor)
        ]
        assert has == [self.brams, self.at_ada, self.at_tutor]
        if self.gone_at_ada and self.school.ada.path.exists():
            assert BRAM not in {p.setter.name for p in list_setters(self.school.ada)}


MACHINES = (AtADesk, AskedToErase)


def _brams(session: Session, setter_id: str) -> int:
    if not session.path.exists():
        return 0
    return sum(a.setter_id == setter_id for a in attempts_of(session, everyone=True))


def _count(step: str) -> None:
    STEPS[step] = STEPS.get(step, 0) + 1
