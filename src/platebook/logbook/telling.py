"""What may be written to a logbook: each call is one change, kept whole or not at all."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from platebook.logbook import (
    adding,
    anonymous,
    erasing,
    handing_on,
    keeping,
    merging,
    records,
    taking_in,
    undoing,
    uniting,
)
from platebook.logbook.erasing import Erased
from platebook.logbook.kinds import Record, kind_named
from platebook.logbook.session import Session
from platebook.logbook.taking_in import TakenIn, Terms
from platebook.logbook.undoing import Step
from platebook.logbook.uniting import United
from platebook.logbook.writing import Stamp
from platebook.practice.attempt import Attempt
from platebook.practice.bundle import Bundle
from platebook.practice.draw import Draw
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.revision import Change, Revision
from platebook.practice.setter import Setter
from platebook.practice.sign_off import SignOff
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool


class Telling(Session):
    """The changes. `author` signs them and `now` is the time on the wall.

    Given ids are kept and missing ones are assigned, rising in the order given. LogbookError for an
    id that is taken, or a setter that the logbook does not know.
    """

    def new_ids(self, count: int, now: datetime) -> tuple[str, ...]:
        """Ids for records that are to be added later, rising."""
        return self._ids.take(count, now)

    def add_attempts(
        self,
        attempts: Iterable[Attempt],
        *,
        author: str,
        now: datetime,
        what: str = "record",
        new_setters: Iterable[Setter] = (),
    ) -> tuple[str, ...]:
        """Add attempts as one change, with the setters that are new; gives their ids in order."""
        batch = adding.Batch(
            attempts=tuple(attempts),
            setters=tuple(new_setters),
        )
        return self._tell(adding.add_batch, batch, self._stamp(author, now, what))

    def add_setter(
        self, setter: Setter | str, *, author: str, now: datetime, what: str = "add"
    ) -> Setter:
        """Add a person, by name or with all that is known; gives the setter with its id."""
        person = Setter(name=setter) if isinstance(setter, str) else setter
        return self._tell(adding.add_setter, person, self._stamp(author, now, what))

    def add_tools(
        self, setter_id: str, tools: Sequence[Tool], *, author: str, now: datetime
    ) -> tuple[Tool, ...]:
        """Put tools into a setter's drawer; gives them with their ids."""
        stamp = self._stamp(author, now, "add")
        return self._tell(adding.add_tools, setter_id, tools, stamp)

    def add_tool(self, setter_id: str, tool: Tool, *, author: str, now: datetime) -> Tool:
        """Put one tool into a setter's drawer; gives it with its id."""
        return self.add_tools(setter_id, [tool], author=author, now=now)[0]

    def add_tool_check(
        self, check: ToolCheckRecord, *, author: str, now: datetime
    ) -> ToolCheckRecord:
        """Add a check of a measuring tool; gives it with its id."""
        return self._tell(adding.add_tool_check, check, self._stamp(author, now, "check"))

    def add_plate(self, plate: Plate, *, author: str, now: datetime) -> Plate:
        """Add a plate of a setter; gives it with its id."""
        return self._tell(adding.add_plate, plate, self._stamp(author, now, "add"))

    def add_inspections(
        self, inspections: Sequence[Inspection], *, author: str, now: datetime
    ) -> tuple[Inspection, ...]:
        """Put inspections beside attempts, as one change; gives them with their ids."""
        stamp = self._stamp(author, now, "inspect")
        return self._tell(adding.add_inspections, inspections, stamp)

    def add_draws(self, draws: Sequence[Draw], *, author: str, now: datetime) -> tuple[Draw, ...]:
        """Keep what was drawn at random, as one change; gives the draws with their ids."""
        return self._tell(adding.add_draws, draws, self._stamp(author, now, "draw"))

    def add_draws_if(
        self, draws: Sequence[Draw], known: Mapping[str, str], *, author: str, now: datetime
    ) -> dict[str, str]:
        """Keep the draws of those whose digest with draws is the one known; gives the new ones."""
        stamp = self._stamp(author, now, "draw")
        return self._tell(adding.add_draws_if, draws, known, stamp)

    def add_sign_off(self, sign_off: SignOff, *, author: str, now: datetime) -> SignOff:
        """Sign a grade off for a setter; gives the sign-off with its id."""
        return self._tell(adding.add_sign_off, sign_off, self._stamp(author, now, "add"))

    def amend(
        self,
        kind: str,
        record_id: str,
        record: Record,
        *,
        author: str,
        now: datetime,
        what: str = "amend",
    ) -> Change | None:
        """Leave a record as this value; None where it is so already. It settles a clash."""
        stamp = self._stamp(author, now, what)
        return self._tell(records.amend, kind_named(kind), record_id, record, stamp)

    def hide(
        self, kind: str, *record_ids: str, author: str, now: datetime, what: str = "hide"
    ) -> Change | None:
        """Take records out of what stands, their past kept, as one change; None where all are."""
        stamp = self._stamp(author, now, what)
        return self._tell(records.hide, kind_named(kind), record_ids, stamp)

    def undo(self, *, author: str, now: datetime) -> Step:
        """Take back the author's last change; says what was taken back, or why it was not."""
        return self._tell(undoing.step, "undo", self._stamp(author, now, "undo"))

    def redo(self, *, author: str, now: datetime) -> Step:
        """Put back what was taken back last; says what, or why not."""
        return self._tell(undoing.step, "redo", self._stamp(author, now, "redo"))

    def merge_setters(self, keep: str, gone: str, *, author: str, now: datetime) -> Change:
        """Make two entries of one person one: `keep` has it all. It can be taken back."""
        return self._tell(merging.merge_setters, keep, gone, self._stamp(author, now, "merge"))

    def erase(self, setter_id: str, *, now: datetime) -> Erased:
        """Take a person out for good, down to the bytes; it cannot be taken back."""
        return self._tell(erasing.erase, self.path, setter_id, now)

    def unite(self, revisions: Iterable[Revision], *, now: datetime) -> United:
        """Take in revisions of other logbooks: a set union, in any order, any number of times."""
        return self._tell(uniting.unite, revisions, self._ids.one(now))

    def take_in(
        self,
        bundle: Bundle,
        *,
        now: datetime,
        only: str | None = None,
        spared: str | None = None,
        rehearsal: bool = False,
    ) -> TakenIn:
        """Take in another logbook's bundle, or what concerns the setter `only`; all or nothing.

        No word from elsewhere erases the person `spared`. A `rehearsal` changes nothing.
        """
        terms = Terms(digest=self._ids.one(now), only=only, spared=spared, rehearsal=rehearsal)
        return self._tell(taking_in.take_in, self.path, bundle, terms)

    def anonymous_bundle(
        self, about: str | None, *, now: datetime, shipped: Iterable[str]
    ) -> Bundle:
        """All that this logbook knows, or knows of one setter, without the people in it.

        `shipped` are the courses that everyone has.
        """
        veil = self._tell(anonymous.veil_of, now)
        known = self._ask(handing_on.everything, about)
        return anonymous.veiled(known, veil, frozenset(shipped))

    def set_default(self, name: str, value: str | None) -> None:
        """Take this as given from now on in this logbook; None forgets it."""
        self._tell(keeping.set_default, name, value)

    def keep_course(self, course: str, version: int, text: str) -> str:
        """Keep the text of a course version; gives its digest. Keeping it twice is once."""
        return self._tell(keeping.keep_course, course, version, text)

    def _stamp(self, author: str, now: datetime, what: str) -> Stamp:
        return Stamp(author, now, what, self._ids)
