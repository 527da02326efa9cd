"""What is said from the findings: what to mind today, and thanks for a habit that has gone.

| function | gives |
|---|---|
| `mind_today` | what Now says: the strongest thing to mind, and thanks |
| `minded_findings` | what to mind of each finding that still holds, for Findings |

It is asked for beside Now and not by it, for findings may take a second where they are not kept. A
thank-you is told on one day and never again, unless the habit comes back first. While a block is
under way what it varies is not to be minded: its settings are made as planned.
"""

import contextlib
import json
from collections.abc import Iterable
from typing import TYPE_CHECKING

from platebook.advice.blocks import FACTOR_BEHIND, runs_left
from platebook.advice.exercise import FactorName
from platebook.advice.minding import Minded, minded, strongest, thanks
from platebook.logbook import Logbook, defaults
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.services.findings import habits_of
from platebook.services.now.own_choice import choice_in
from platebook.services.session import LogbookUnusable, Session, opened, today_at
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.analysis.findings.telling.habits import Habit

THANKED = "thanked"


class Minding(Value):
    """The lines of today; None where there is nothing to say."""

    mind: Minded | None = None
    thanks: Minded | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """Both as text, thanks first."""
        return tuple(said.line for said in (self.thanks, self.mind) if said is not None)


def mind_today(session: Session) -> Minding:
    """What the setter in use is told today from their findings; Refused where nobody is in use."""
    known, today = habits_of(session), today_at(session)
    setter_id = session.setter_id or ""
    with opened(session, make=False) as book:
        told, planned = _told(book, setter_id), _planned(book, setter_id)
    gone = [line for habit in known if (line := thanks(habit, today)) is not None]
    day = today.isoformat()
    due = next((line for line in gone if told.get(line.name, day) == day), None)
    # A habit that is not gone any more may be thanked for once more when it goes again.
    after = {name: on for name, on in told.items() if name in {line.name for line in gone}}
    if due is not None:
        after[due.name] = day
    if after != told:
        # A logbook that cannot be written is read all the same; it will be told again.
        with contextlib.suppress(LogbookUnusable), opened(session, make=False) as book:
            name = defaults.own_name(THANKED, setter_id)
            book.tell(defaults.set_default, name, json.dumps(after) if after else None)
    return Minding(mind=strongest(_free(known, planned)), thanks=due)


def minded_findings(session: Session) -> tuple[Minded, ...]:
    """What to mind of each finding lately that still holds; Refused where nobody is in use."""
    known = habits_of(session)
    with opened(session, make=False) as book:
        planned = _planned(book, session.setter_id or "")
    return minded(_free(known, planned))


def _free(known: "Iterable[Habit]", planned: set[FactorName]) -> "list[Habit]":
    """The habits that no block under way varies."""
    return [habit for habit in known if FACTOR_BEHIND.get(habit.variable) not in planned]


def _planned(book: Logbook, setter_id: str) -> set[FactorName]:
    """What the block under way varies; nothing where none is, or all of it is recorded."""
    choice = choice_in(book, setter_id)
    if choice is None or choice.block is None:
        return set()
    log = book.ask(select_attempts, Wanted(setter_id=setter_id))
    varied = choice.block.plan.factors if runs_left(choice.block, log) else ()
    return {factor.name for factor in varied}


def _told(book: Logbook, setter_id: str) -> dict[str, str]:
    """The thanks told so far, by the name of the habit, with their ISO day."""
    text = book.ask(defaults.default, defaults.own_name(THANKED, setter_id))
    with contextlib.suppress(ValueError):
        kept = json.loads(text) if text else {}
        return {str(name): str(day) for name, day in kept.items()}
    return {}
