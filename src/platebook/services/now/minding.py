"""What Now says from the findings: what to mind today, and thanks for a habit that has gone.

It is asked for beside Now and not by it, for findings may take a second where they are not kept. A
thank-you is told on one day and never again, unless the habit comes back first.
"""

import contextlib
import json

from pydantic import BaseModel, ConfigDict

from platebook.advice.minding import Minded, strongest, thanks
from platebook.logbook import Logbook, defaults
from platebook.services.findings import habits_of
from platebook.services.session import LogbookUnusable, Session, opened, today_at

THANKED = "thanked"


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
    known, today = habits_of(session), today_at(session)
    setter_id = session.setter_id or ""
    with opened(session, make=False) as book:
        told = _told(book, setter_id)
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
    return Minding(mind=strongest(known), thanks=due)


def _told(book: Logbook, setter_id: str) -> dict[str, str]:
    """The thanks told so far, by the name of the habit, with their ISO day."""
    text = book.ask(defaults.default, defaults.own_name(THANKED, setter_id))
    with contextlib.suppress(ValueError):
        kept = json.loads(text) if text else {}
        return {str(name): str(day) for name, day in kept.items()}
    return {}
