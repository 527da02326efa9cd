"""What Now says from the findings: what to mind today, and thanks for a habit that has gone.

It is asked for beside Now and not by it, for findings may take a second where they are not kept. A
thank-you is told on one day and never again, unless the habit comes back first; what was minded
is remembered so that it can be thanked for after it has left the findings.
"""

import contextlib

from pydantic import BaseModel, ConfigDict, ValidationError

from platebook.advice.minding import Minded, strongest, thanks
from platebook.analysis.findings.results import Finding
from platebook.analysis.findings.still_holds import Habit, habits
from platebook.logbook import Logbook, defaults
from platebook.services.answers import basis_of, findings
from platebook.services.session import LogbookUnusable, Session, opened, today_at

TOLD = "minded"
MOST_REMEMBERED = 4


class Told(BaseModel):
    """What was told to one setter: findings that were minded, and thanks by name with their day."""

    model_config = ConfigDict(frozen=True)

    minded: tuple[Finding, ...] = ()
    thanked: dict[str, str] = {}


class Minding(BaseModel):
    """The lines of today; None where there is nothing to say."""

    model_config = ConfigDict(frozen=True)

    mind: Minded | None = None
    thanks: Minded | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """Both as text, thanks first."""
        return tuple(said.line for said in (self.thanks, self.mind) if said is not None)


def mind_today(session: Session) -> Minding:
    """What the setter in use is told today from their findings; Refused where nobody is in use."""
    found, basis, today = findings(session), basis_of(session), today_at(session)
    setter_id = basis.setter.setter_id or ""
    with opened(session, make=False) as book:
        told = _told(book, setter_id)
    here = {_name(finding): finding for finding in found.findings}
    left = [finding for finding in told.minded if _name(finding) not in here]
    known = habits(basis.attempts, [*here.values(), *left], basis.course)
    mind = strongest(habit for habit in known if _name(habit) in here)
    minded = {_name(finding) for finding in told.minded}
    gone = [
        thanks(habit, today)
        for habit in known
        if habit.state == "gone" and (habit.status == "claim" or _name(habit) in minded)
    ]
    day = today.isoformat()
    due = next((line for line in gone if told.thanked.get(line.name, day) == day), None)
    still_gone = {line.name for line in gone}
    thanked = {name: on for name, on in told.thanked.items() if name in still_gone}
    after = Told(
        minded=(here[mind.name], *told.minded)[:MOST_REMEMBERED]
        if mind is not None and mind.name not in minded
        else told.minded,
        thanked=thanked if due is None else {**thanked, due.name: day},
    )
    if after != told:
        # A logbook that cannot be written is read all the same; it will be told again.
        with contextlib.suppress(LogbookUnusable), opened(session, make=False) as book:
            name = defaults.own_name(TOLD, setter_id)
            book.tell(defaults.set_default, name, after.model_dump_json())
    return Minding(mind=mind, thanks=due)


def _name(about: Finding | Habit) -> str:
    return f"{about.variable} {about.direction} {about.defect}"


def _told(book: Logbook, setter_id: str) -> Told:
    text = book.ask(defaults.default, defaults.own_name(TOLD, setter_id))
    try:
        return Told.model_validate_json(text) if text else Told()
    except ValidationError:
        return Told()
