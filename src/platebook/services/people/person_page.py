"""What is known of one setter at a glance: where they stand, what waits about them, their keys."""

from platebook.advice.class_standing import SetterLine
from platebook.services.classes.class_answers import lines_of
from platebook.services.classes.class_roll import enrol
from platebook.services.classes.inspections import due_in
from platebook.services.classes.worker_pool import WorkerPool
from platebook.services.people.keys import ListedKey, keys_here
from platebook.services.people.setters import ListedSetter
from platebook.services.session import Session, opened, today_at
from platebook.values import Value


class PersonPage(Value):
    """Where a setter stands as their class sees it, why to look at their work, and their keys.

    `to_look_at` are sentences, the weightiest first; what was only drawn at random is none.
    """

    setter_id: str
    standing: SetterLine
    to_look_at: tuple[str, ...] = ()
    keys: tuple[ListedKey, ...] = ()


def person_page(session: Session, listed: ListedSetter) -> PersonPage:
    """The page of one setter; their log is read, and the answer kept as the class keeps it."""
    with opened(session, make=False) as book:
        (pupil,) = enrol(book, [(listed.setter, listed.attempts)])
    with WorkerPool() as pool:
        (line,) = lines_of(session, (pupil,), pool)
    due = due_in(session, [(pupil, line)], None)
    keys = keys_here(session) if not session.invented else ()
    return PersonPage(
        setter_id=pupil.setter_id,
        standing=line.standing_on(today_at(session), left=bool(listed.left)),
        to_look_at=tuple(reason.sentence for row in due for reason in row.reasons),
        keys=tuple(key for key in keys if key.person_id == pupil.setter_id),
    )
