"""The lines and sentences of the screen of people."""

from platebook.services.people.setters import ListedSetter
from platebook.services.people.teachers import ListedTeacher
from platebook.services.sharing.who_is_mine import Waiting
from platebook.trade.phrases import count_of

Person = ListedSetter | ListedTeacher | Waiting

HOW = (
    "Enter: this person is at the bench. a adds a person, / finds one, g shows another class. s: "
    "whether somebody prepares seats for the one marked to practise in, or nobody."
)
FINDING = "Type a part of a name; Enter: this person is at the bench; Esc shows all again."
NO_DOUBLE = "Nobody else here has a name like theirs."
NOT_WAITING = "They are let in already: i is for those who wait."
NOBODY_TO_ERASE = "Mark somebody who is in the logbook: x erases them for good."
AT_THE_BENCH = "They are at the bench: let somebody else sit down first, then erase them."
TYPE_THE_NAME = "Type the name and Enter; Esc leaves everybody here."
NOT_ASKED = "Nobody asks to erase the one marked."
WAITS = "waits to be let in"
TEACHES = "teaches"
PLACEHOLDERS = {
    "person": "name of the person",
    "teacher": "name of whoever teaches",
    "erased": "name of whoever is to be erased",
}
MOST_NAMED = 3
"""More classes than this of one teacher are counted and not named."""


def name_of(person: Person) -> str:
    """The person's name."""
    match person:
        case ListedTeacher():
            return person.teacher.name
        case ListedSetter():
            return person.setter.name
    return person.name


def row_of(person: Person) -> tuple[str, str]:
    """The person's line: who and where, and what there is of them."""
    match person:
        case ListedTeacher():
            several = len(person.classes) > MOST_NAMED
            named = f"{len(person.classes)} classes" if several else ", ".join(person.classes)
            return ", ".join(filter(None, (person.teacher.name, named))), TEACHES
        case ListedSetter():
            where = person.where or person.setter.group
            group = f", {where}" if where else ""
            return f"{person.setter.name}{group}", count_of(person.attempts, "attempt")
    return person.name, f"{WAITS}, {count_of(person.attempts, 'attempt')}"
