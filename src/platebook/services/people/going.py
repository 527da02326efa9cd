"""Who would be erased: what goes with them, what stays without their name, and whom it reaches.

It is said before anything is done, in the same words by the command and on the screen of people.
Where much would go, the name has to be typed.
"""

from typing import Literal

from platebook.logbook import Logbook, class_records, setter_records
from platebook.logbook.attempts.attempt_queries import attempt_counts
from platebook.practice.records import name_key
from platebook.services.people.setters import erase_setter
from platebook.services.people.teachers import erase_teacher, find_teacher
from platebook.services.session import Session, find_setter, opened
from platebook.services.sharing.erasings import reach_of
from platebook.trade.phrases import count_of, several
from platebook.values import Value

FOR_GOOD = "It cannot be taken back"


class Going(Value):
    """Somebody who may be erased: `sentence` says what goes, stays and travels.

    `much` says that attempts or signatures are concerned: the name is asked for then.
    """

    kind: Literal["setter", "teacher"]
    person_id: str
    name: str
    sentence: str
    much: bool

    def is_named(self, typed: str) -> bool:
        """Whether what was typed is their name, whatever its case."""
        return name_key(typed) == name_key(self.name)


def setter_going(session: Session, wanted: str) -> Going:
    """What erasing this setter (name or id) would take and leave."""
    with opened(session, make=False) as book:
        person = find_setter(book.ask(setter_records.setters), wanted)
        person_id = person.setter_id or ""
        attempts = book.ask(attempt_counts).get(person_id, 0)
        looks = len(book.ask(setter_records.inspections, person_id))
        own = _counted(
            (attempts, "attempt", "attempts"),
            (looks, "look at their work", "looks at their work"),
            (len(book.ask(setter_records.tools, person_id)), "tool", "tools"),
            (len(book.ask(setter_records.plates, person_id)), "plate", "plates"),
        )
        signed, count = _signed(book, person_id)
    along = f" with {own}" if own else ""
    stays = f" Their {signed} for others stay, without their name." if signed else ""
    sentence = (
        f"{person.name} goes{along}, and the drafts and copies that the program keeps of them go "
        f"along.{stays} {FOR_GOOD}; platebook setter edit --away puts somebody aside instead, "
        f"which undo takes back. {reach_of(session)}"
    )
    return Going("setter", person_id, person.name, sentence, much=bool(attempts or looks or count))


def teacher_going(session: Session, wanted: str) -> Going:
    """What erasing somebody who teaches (name or id) would take and leave."""
    with opened(session, make=False) as book:
        person = find_teacher(book.ask(class_records.teachers), wanted)
        person_id = person.teacher_id or ""
        terms = book.ask(class_records.class_terms)
        signed, count = _signed(book, person_id)
    classes = list(dict.fromkeys(term.name for term in terms if person_id in term.teachers))
    stays = f" Their {signed} stay, without their name." if signed else ""
    stays += f" {several(classes)} stays, and who is in it." if len(classes) == 1 else ""
    stays += f" {several(classes)} stay, and who is in them." if len(classes) > 1 else ""
    stays += " What they set themselves is their entry as a setter, and stays." * bool(
        person.setter_id
    )
    sentence = (
        f"{person.name} goes as somebody who teaches.{stays} {FOR_GOOD}; platebook teacher edit "
        f"--away puts somebody aside instead, which undo takes back. {reach_of(session)}"
    )
    return Going("teacher", person_id, person.name, sentence, much=bool(count or classes))


def _signed(book: Logbook, person_id: str) -> tuple[str, int]:
    """What somebody signed in words, and how many records these are."""
    counts = book.ask(class_records.signatures, person_id)
    words = _counted(
        (counts["inspection"], "look", "looks"),
        (counts["sign_off"], "sign-off", "sign-offs"),
        (counts["message"], "message", "messages"),
    )
    return words, sum(counts.values())


def _counted(*counts: tuple[int, str, str]) -> str:
    """Those there are, in words: "57 attempts and 3 tools"; empty for none."""
    return several([count_of(number, one, many) for number, one, many in counts if number])


def erase(session: Session, going: Going) -> str:
    """Erase them, and say what went and what may be left; it cannot be taken back."""
    if going.kind == "teacher":
        return erase_teacher(session, going.person_id)
    return erase_setter(session, going.person_id).sentence
