"""Whether this computer's clock can be right: told by what the logbook knows of time.

Nothing is ordered by a clock but attempts, and those carry the day on which they were done; one
that is a year off puts an evening in the wrong year, where findings and progress read it.
"""

from datetime import datetime, timedelta

from platebook.logbook import Logbook
from platebook.logbook.attempts.attempt_queries import attempts_after
from platebook.logbook.history.changes import last_changed_here
from platebook.services.session import Session
from platebook.trade.phrases import count_of, full_day, moment_words

TOLERATED = timedelta(days=1)
"""How far a clock may be off unsaid (judgement): less than that mistakes no evening for another."""


def clock_doubt(session: Session, book: Logbook) -> str | None:
    """A sentence where the clock is behind what was saved or done, and what to do; None elsewhere.

    A clock that is ahead cannot be told from a long pause; it is told afterwards, by attempts of
    days that are still to come.
    """
    now = session.clock()
    last = book.ask(last_changed_here)
    if last is not None and last - now > TOLERATED:
        return (
            f"This computer's clock says {_moment(session, now)}, but the last change here was"
            f" saved on {_moment(session, last)}. If the clock is wrong, set it: until then what"
            " you log gets the wrong day. If it was wrong then, correct what was logged: platebook"
            " amend ID began=DAY."
        )
    count, first = book.ask(attempts_after, session.setter_id, now + TOLERATED)
    if first is None:
        return None
    days = f"{full_day(first.astimezone(session.zone))}{'' if count == 1 else ' and later'}"
    are = "is" if count == 1 else "are"
    today = full_day(now.astimezone(session.zone))
    return (
        f"By this computer's clock it is {today}, and {count_of(count, 'attempt')} {are} of a day"
        f" still to come ({days}). If the clock is wrong, set it. If it was wrong then, correct"
        " what was logged: platebook amend ID began=DAY."
    )


def _moment(session: Session, moment: datetime) -> str:
    return moment_words(moment.astimezone(session.zone))
