"""The lines and sentences of the screen of people."""

from collections.abc import Sequence
from typing import Literal

from textual.content import Content

from platebook.reports.text.class_text import grade_and_state, lately_words
from platebook.reports.text.figures import GRADES
from platebook.services.people.at_the_bench import AtTheBench
from platebook.services.people.person_page import PersonPage
from platebook.services.people.setters import ListedSetter
from platebook.services.people.teachers import ListedTeacher
from platebook.services.sharing.who_is_mine import Waiting
from platebook.trade.phrases import count_of
from platebook.tui.classroom.class_list import last_seen
from platebook.tui.parts.headline import Head
from platebook.tui.parts.signs import signs_before, with_slight
from platebook.tui.parts.text import line, stack, txt

Naming = Literal["person", "teacher", "erased", "renamed"]
"""Whose name is typed: a new person's, a new teacher's, of whom is to go, another one of somebody.
"""
Person = ListedSetter | ListedTeacher | Waiting

HOW_SETTER = "e corrects their name, s says who prepares their seats, x erases them."
HOW_TEACHER = "e corrects their name, x erases them; h adds somebody who teaches."
"""Said of the one marked, for keys that do not fit the key line of a narrow window."""
HOW_BESIDE = "a adds a person, h somebody who teaches, / finds one."
"""Where what the keys do about the one marked stands beside the list, or nobody is marked."""
HOW = {HOW_SETTER, HOW_TEACHER, HOW_BESIDE}
NO_SEATS_OF_THEIRS = "Mark somebody who sets: s says who prepares their seats."
EMPTY = "Nobody is in this logbook yet: a adds a person, h somebody who teaches."
NOBODY = "Nobody is at the bench: mark a name, then Enter"
FINDING = "Type a part of a name; Enter: this person is at the bench; Esc shows all again."
NO_DOUBLE = "Nobody else here has a name like theirs."
NOT_WAITING = "They are let in already: i is for those who wait."
NOBODY_TO_NAME = "Mark somebody who is in the logbook: e corrects their name."
NOBODY_TO_ERASE = "Mark somebody who is in the logbook: x erases them for good."
AT_THE_BENCH = "They are at the bench: let somebody else sit down first, then erase them."
TYPE_THE_NAME = "Type the name and Enter; Esc leaves everybody here."
NOT_ASKED = "Nobody asks to erase the one marked."
WAITS = "waits to be let in"
TEACHES = "teaches"
SEATS = {"given": "Somebody prepares seats for them.", "own": "They cut every seat themselves."}
PLACEHOLDERS = {
    "person": "name of the person",
    "teacher": "name of whoever teaches",
    "erased": "name of whoever is to be erased",
    "renamed": "their name",
}
TO_ANSWER = "to answer"
ANSWER = "mark the name to answer"
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


def id_of(person: Person | None) -> str:
    """The id of somebody who is in the logbook; "" for whoever is not."""
    match person:
        case ListedTeacher():
            return person.teacher.teacher_id or ""
        case ListedSetter():
            return person.setter.setter_id or ""
    return ""


def how_of(person: Person | None, *, beside: bool) -> str:
    """What the keys do that the key line does not show; `beside` where the one marked is told."""
    if beside or person is None or isinstance(person, Waiting):
        return HOW_BESIDE
    return HOW_TEACHER if isinstance(person, ListedTeacher) else HOW_SETTER


def row_of(person: Person, *, to_answer: bool = False) -> tuple[str, str]:
    """The person's line: who and where, what there is of them, and whether something waits."""
    left, right = _row_of(person)
    return left, f"{right}, {TO_ANSWER}" if to_answer else right


def _row_of(person: Person) -> tuple[str, str]:
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


def people_head(
    bench: AtTheBench, here: str, asked: Sequence[str], unsigned: Sequence[str]
) -> Head:
    """Who is at the bench, how many there are, and who waits for an answer.

    `asked` are the names that others ask to erase, `unsigned` those in whose name something waits.
    """
    if not bench.everyone and not bench.teachers:
        return Head(txt(EMPTY))
    title = f"{line(here)} is at the bench" if here else NOBODY
    people = count_of(len(bench.people), "person", "people")
    teach = len(bench.teachers)
    far = [f"{line(bench.in_view.called)}: {people}" if bench.in_view.called else people]
    far += [f"{teach} {TEACHES if teach == 1 else 'teach'}"] if teach else []
    waiting = [each.name for each in bench.waiting]
    mind = []
    if waiting:
        mind.append(f"{_named(waiting)} {WAITS if len(waiting) == 1 else 'wait to be let in'}.")
    if asked:
        mind.append(f"Others ask to erase {_named(asked)}: {ANSWER}.")
    if unsigned:
        mind.append(f"Not signed, and waiting for an answer: {_named(unsigned)}.")
    pairs = [(pair.gone.name, pair.keep.name) for pair in bench.pairs]
    pairs += [(pair.gone.name, pair.keep.name) for pair in bench.teacher_pairs]
    if len(pairs) == 1:
        mind.append("{} and {} may be one person: mark one, u unites.".format(*map(line, pairs[0])))
    elif pairs:
        mind.append(f"{len(pairs)} pairs of names may be one person each: mark one, u unites.")
    number = len(waiting) + len(asked) + len(unsigned)
    return Head(
        txt(title),
        txt("; ".join(far), "$muted"),
        txt(" ".join(mind), "$text-warning"),
        str(number or ""),
        "to answer" if number else "",
    )


def _named(names: Sequence[str]) -> str:
    """The names, and of many how many more."""
    shown = ", ".join(map(line, names[:MOST_NAMED]))
    more = len(names) - MOST_NAMED
    return f"{shown} and {more} more" if more > 0 else shown


def person_part(
    person: Person, page: PersonPage | None = None, *, may_be_one: bool = False
) -> Content:
    """The one marked, with what the keys do about them; `page` once it is read of a setter.

    `may_be_one` with somebody else: `u` unites the two.
    """
    rows = [txt(name_of(person), "bold $accent")]
    match person:
        case ListedTeacher():
            classes = ", ".join(person.classes)
            rows.append(txt(f"teaches {classes}" if classes else TEACHES))
            rows += [txt(f"sets as {person.sets_as}")] if person.sets_as else []
            keys = {
                "Enter": "at the bench",
                "e": "corrects their name",
                "x": "erases them, after asking",
            }
        case ListedSetter():
            where = person.where or person.setter.group
            rows += [txt(where)] if where else []
            rows.append(txt(count_of(person.attempts, "attempt")))
            rows += [txt(SEATS[person.setter.seats])] if person.setter.seats else []
            rows += _page_rows(page) if page is not None else []
            keys = {
                "Enter": "at the bench",
                "e": "corrects their name",
                "s": "who prepares their seats",
                **({"u": "unites two names of one person"} if may_be_one else {}),
                "x": "erases them, after asking",
            }
        case _:
            rows.append(txt(f"{WAITS}, with {count_of(person.attempts, 'attempt')}"))
            keys = {"i": "lets them in"}
    told = (Content.assemble((f"{key:<6}", "bold"), (says, "$muted")) for key, says in keys.items())
    return stack(*rows, txt(""), *told)


def _page_rows(page: PersonPage) -> list[Content]:
    """Grade and last eight, the last day, what there is to look at, and which keys are theirs."""
    standing = page.standing
    rows: list[Content] = []
    if standing.attempts:
        stair = "".join(GRADES[grade.state].drawn for grade in standing.grades)
        grade = grade_and_state(standing) or "no grade yet"
        rows += [txt(""), txt(f"{stair}  {grade}" if stair else grade)]
        if standing.last:
            signs = signs_before(standing.last, "how the last ones came out")
            rows.append(with_slight(signs, standing.last))
        rows += [txt(said) for said in lately_words(standing)]
        rows.append(txt(f"last at the bench: {last_seen(standing)}"))
        rows.append(txt(f"eye: {standing.eye}"))
    if page.to_look_at:
        rows += [txt(""), txt("To look at:", "bold"), *map(txt, page.to_look_at)]
    if page.keys:
        rows += [txt(""), txt("Signs with:", "bold")]
        rows += [Content.assemble(key.fingerprint, (f"  {key.how}", "$muted")) for key in page.keys]
    return rows
