"""What may be asked of a logbook."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from platebook.logbook import (
    anonymous,
    attempts,
    belongings,
    checking,
    copies,
    handing_on,
    history,
    keeping,
    records,
    revisions,
)
from platebook.logbook.attempts import PlainRows
from platebook.logbook.history import History
from platebook.logbook.keeping import CourseText
from platebook.logbook.kinds import kind_named
from platebook.logbook.session import Session
from platebook.logbook.wanted import Order, Wanted
from platebook.practice.attempt import Attempt
from platebook.practice.bundle import Bundle
from platebook.practice.draw import Draw
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.revision import Revision
from platebook.practice.setter import Setter
from platebook.practice.sign_off import SignOff
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool


class Asking(Session):
    """The questions: each gives frozen values, of records that stand (hidden ones are left out)."""

    def attempts(  # noqa: PLR0913 - one way to ask for a page, all of it by keyword
        self,
        setter_id: str | None = None,
        *,
        grade: str | None = None,
        result: str | None = None,
        words: Iterable[str] = (),
        order: Order = "time",
        limit: int | None = None,
        newest_first: bool = False,
        before: Attempt | None = None,
        after: Attempt | None = None,
    ) -> tuple[Attempt, ...]:
        """Attempts of one setter or of everyone, in order or the other way round.

        `result` leaves those that show it ("good" or a defect), `words` those in which all of them
        stand (`logbook.wanted`). The next page is asked for by its bound: newest first `before` the
        last one shown, in order `after` it.
        """
        wanted = Wanted(
            setter_id=setter_id,
            grade=grade,
            result=result,
            words=tuple(words),
            order=order,
            before=before,
            after=after,
        )
        return self._ask(attempts.select, wanted, limit=limit, newest_first=newest_first)

    def count_attempts(
        self,
        setter_id: str | None = None,
        *,
        grade: str | None = None,
        result: str | None = None,
    ) -> int:
        """How many attempts of one setter or of everyone stand."""
        wanted = Wanted(setter_id=setter_id, grade=grade, result=result)
        return self._ask(attempts.count, wanted)

    def attempt_counts(self) -> dict[str, int]:
        """How many attempts of each setter stand, by id."""
        return self._ask(attempts.counts)

    def plain_attempts(self, setter_id: str) -> PlainRows:
        """One setter's attempts in order, as plain rows to be read elsewhere."""
        return self._ask(attempts.plain_rows, setter_id)

    def attempt(self, attempt_id: str) -> Attempt | None:
        """The attempt of this id; None where none stands."""
        return next(iter(self.attempts_by_id([attempt_id])), None)

    def attempts_by_id(self, attempt_ids: Iterable[str]) -> tuple[Attempt, ...]:
        """The attempts of these ids that stand, in order."""
        return self._ask(attempts.by_id, attempt_ids)

    def attempt_ids_ending(self, ending: str) -> tuple[str, ...]:
        """Ids of attempts that end so."""
        return self._ask(attempts.ids_ending, ending)

    def grades(self, setter_id: str) -> tuple[str, ...]:
        """The grade ids a setter has attempts of."""
        return self._ask(attempts.grades, setter_id)

    def history(self, kind: str, record_id: str) -> History:
        """Every version of a record, the one that counts last; a clash is marked."""
        return self._ask(history.history_of, kind_named(kind), record_id)

    def taken(self, kind: str, record_ids: Iterable[str]) -> frozenset[str]:
        """Those of these ids that no new record may have, because one that stands has it."""
        return self._ask(records.taken, kind_named(kind), record_ids)

    def clashes(self) -> tuple[tuple[str, str], ...]:
        """Kind and id of every record of which two versions stand side by side."""
        return self._ask(history.clashes)

    def clashing(self, kind: str, record_ids: Iterable[str]) -> frozenset[str]:
        """Those of these records of which two versions stand side by side."""
        return self._ask(history.clashing, kind_named(kind), record_ids)

    def setters(self) -> tuple[Setter, ...]:
        """Everyone in the logbook, in the order added."""
        return self._ask(belongings.setters)

    def tools(self, setter_id: str) -> tuple[Tool, ...]:
        """A setter's tools, in the order added."""
        return self._ask(belongings.tools, setter_id)

    def tool_checks(self, setter_id: str) -> tuple[ToolCheckRecord, ...]:
        """The checks of a setter's measuring tools, in the order made."""
        return self._ask(belongings.tool_checks, setter_id)

    def plates(self, setter_id: str) -> tuple[Plate, ...]:
        """A setter's plates, in the order added."""
        return self._ask(belongings.plates, setter_id)

    def inspections(self, setter_id: str | None = None) -> tuple[Inspection, ...]:
        """Inspections of one setter's attempts, or of everyone's."""
        return self._ask(belongings.inspections, setter_id)

    def was_told(self, attempt_id: str, *, besides: Iterable[str] = ()) -> bool:
        """Whether anyone but these looked at an attempt and took the look back since."""
        return self._ask(belongings.was_told, attempt_id, frozenset(besides))

    def verdicts_before_looks(self, setter_id: str) -> dict[str, dict[str, Any]]:
        """Results and severities by attempt, as they were when the first look was made."""
        return self._ask(belongings.verdicts_before_looks, setter_id)

    def draws(self, setter_id: str) -> tuple[Draw, ...]:
        """What was drawn at random of a setter's, in the order drawn."""
        return self._ask(belongings.draws, setter_id)

    def sign_offs(self, setter_id: str) -> tuple[SignOff, ...]:
        """What was signed off for a setter, in the order signed."""
        return self._ask(belongings.sign_offs, setter_id)

    def default(self, name: str) -> str | None:
        """What this logbook was told to take as given under a name."""
        return self._ask(keeping.default, name)

    def course_text(self, digest: str) -> CourseText | None:
        """The course text of this digest."""
        return self._ask(keeping.course_text, digest)

    def course_texts(self, course: str) -> tuple[CourseText, ...]:
        """All texts kept of a course, lowest version first."""
        return self._ask(keeping.course_texts, course)

    def all_course_texts(self) -> tuple[CourseText, ...]:
        """Every course text that is kept."""
        return self._ask(keeping.all_course_texts)

    def digest(self, setter_id: str) -> str:
        """A mark that is new after every change that concerns the setter."""
        return self._ask(keeping.digest, setter_id)

    def digests(self) -> dict[str, str]:
        """The digests of all setters by id."""
        return self._ask(keeping.digests)

    def digests_with_draws(self) -> dict[str, str]:
        """The same, another one after a change of the setter's draws too."""
        return self._ask(keeping.digests_with_draws)

    @property
    def replica(self) -> str:
        """The id of this logbook among all that share records with it."""
        return self._ask(revisions.replica_of)

    def revisions(self, replica: str | None = None) -> tuple[Revision, ...]:
        """All revisions, or those that one replica made, in the order made."""
        return self._ask(revisions.revisions_by, replica)

    @property
    def former_replicas(self) -> tuple[str, ...]:
        """The ids this logbook had before it was restored from backups."""
        return self._ask(keeping.former_replicas)

    def bundle(self, about: str | None = None) -> Bundle:
        """What this logbook hands on; with a setter `about` all that it knows about them."""
        return self._ask(handing_on.bundle_of, about)

    @property
    def anonymous_replicas(self) -> frozenset[str]:
        """The ids that this logbook's anonymous bundles have had."""
        return self._ask(anonymous.anonymous_replicas)

    def check(self) -> tuple[str, ...]:
        """What is wrong with the logbook, a sentence each; empty where it is whole."""
        return self._ask(checking.findings)

    def backup(self, target: Path) -> None:
        """Copy the logbook to a new file that is proven readable. A taken name is refused."""
        self._ask(copies.copy_into, target.absolute())
