"""How a key moves an entry: answer, go on, go back, rub out.

Going on keeps what stands at a stop and going back takes nothing away, so a person can look around
in an attempt as in a notebook. Every function returns a new entry, or the same one where the key
says nothing there.
"""

from platebook.practice.defects import GOOD, MISSED
from platebook.practice.results import SEVERITIES
from platebook.tui.entry.doubts import DOUBT, RAISED_BY, answer_for, field_of, mark
from platebook.tui.entry.entry import (
    ANOTHER,
    FINISH,
    FINISH_KEYS,
    FIRST_SEEN,
    READINGS,
    RESULT,
    ROWS_A_PAGE,
    SEAT,
    SEAT_TOOL,
    SEVERITY,
    Entry,
)
from platebook.values import replace

LONGEST_TYPED = 400


def first_stop(entry: Entry) -> str:
    """Where a new attempt begins: its first reading, or the result where none is asked."""
    return entry.readings[0].field if entry.asked and entry.readings else RESULT


def types(entry: Entry) -> bool:
    """Whether signs are typed into a line at this stop."""
    question = entry.question()
    return question is not None and not question.keys


def press(entry: Entry, sign: str) -> Entry:
    """The entry after one printable sign."""
    if entry.stop == DOUBT:
        return _settle(entry, sign)
    if entry.stop in {RESULT, ANOTHER, FINISH, *entry.lists}:
        take = {RESULT: _judge, ANOTHER: _judge, FINISH: _open}.get(entry.stop, _open_row)
        return take(entry, sign)
    question = entry.question()
    if question is None:
        return _weigh(entry, sign)
    if not question.keys:
        return replace(entry, typed=((entry.typed or "") + sign)[:LONGEST_TYPED])
    value = question.value_for(sign)
    return entry if value is None else go_on(_answer(entry, question.field, value))


def go_on(entry: Entry) -> Entry:
    """Take the answer marked, or what was typed, and go to the next stop."""
    if entry.marked:
        return press(replace(entry, marked=""), entry.marked)
    entry = _take_in(entry)
    if entry.stop == DOUBT:
        return _settle(entry, "")
    if entry.stop in RAISED_BY and entry.doubt() is not None:
        return visit(entry, DOUBT)
    following = _following(entry)
    return entry if following == entry.stop else visit(entry, following)


def ask_doubt(entry: Entry) -> Entry:
    """The entry at the question about what is doubtful in it; the same where nothing is."""
    return entry if entry.doubt() is None else visit(entry, DOUBT)


def _settle(entry: Entry, sign: str) -> Entry:
    """The entry after an answer to what is doubtful; Enter, an empty sign, keeps it as typed."""
    doubt = entry.doubt()
    answer = "as it is" if doubt is None or not sign else answer_for(doubt, sign)
    if answer is None:
        return entry
    origin = entry.trail[-1] if entry.trail else FINISH
    earlier = replace(entry, stop=origin, trail=entry.trail[:-1], typed=None)
    field = field_of(doubt, answer) if doubt is not None else None
    if field is not None:
        return earlier if origin == field else visit(earlier, field)
    if doubt is not None and answer == "there":
        earlier = _moved(earlier, doubt.grade)
    elif doubt is not None:
        earlier = replace(earlier, settled=(*earlier.settled, mark(doubt)))
    return earlier if origin == FINISH else go_on(earlier)


def _moved(entry: Entry, grade_id: str) -> Entry:
    """The entry logged at another grade, or at none."""
    titles = {grade.id: grade.title for grade in entry.grades}
    here, there = titles.get(entry.value("grade"), ""), titles.get(grade_id, "work of your own")
    where = entry.where.replace(here, there) if here else entry.where
    moved = _answer(entry, "grade", grade_id)
    if grade_id:
        from platebook.practice.reading.doubts import BY_STONE

        moved = _answer(moved, "proposed", BY_STONE)
    return replace(moved, where=where)


def back(entry: Entry) -> Entry | None:
    """The entry one stop back, with everything kept; None at the first stop."""
    entry = _take_in(entry)
    if not entry.trail:
        return None
    earlier = replace(entry, stop=entry.trail[-1], trail=entry.trail[:-1])
    return replace(earlier, marked="", page=0)


def visit(entry: Entry, stop: str) -> Entry:
    """Go to a stop; a stop that was passed before is returned to, so the way back stays short."""
    trail = (*entry.trail, entry.stop)
    if stop in trail:
        trail = trail[: trail.index(stop)]
    return replace(entry, stop=stop, trail=trail, typed=None, marked="", page=0)


def rub_out(entry: Entry) -> Entry:
    """Take out the last sign typed, the value that stands, or the last defect."""
    if entry.stop in {RESULT, ANOTHER}:
        return replace(entry, verdict="", defects=entry.defects[:-1])
    question = entry.question()
    if question is None:
        return entry
    if question.keys:
        return _answer(entry, question.field, "")
    typed = entry.value(question.field) if entry.typed is None else entry.typed
    return replace(entry, typed=typed[:-1])


def another_defect(entry: Entry) -> Entry:
    """To the results, to add a defect to those that stand."""
    if entry.part or not entry.defects:
        return entry
    return visit(_take_in(entry), ANOTHER)


def as_worked_out(entry: Entry) -> Entry:
    """The tools worked out for the stone, in place of those carried over."""
    for differs in entry.other_tools():
        for name, value in differs.takes.items():
            entry = _answer(entry, name, value)
    return entry


def _take_in(entry: Entry) -> Entry:
    question = entry.question()
    if question is None or entry.typed is None:
        return entry
    return _answer(entry, question.field, entry.typed.strip())


def _answer(entry: Entry, name: str, value: str) -> Entry:
    if value == entry.value(name) and name in {**entry.known, **entry.answers}:
        return replace(entry, typed=None, marked="")
    answers = {**entry.answers, name: value}
    return replace(entry, answers=answers, typed=None, marked="")


def _judge(entry: Entry, sign: str) -> Entry:
    result = entry.result_keys().get(sign)
    if result is None:
        return entry
    if result in {GOOD, MISSED}:
        return visit(replace(entry, verdict=result, defects=()), FINISH)
    stands = entry.defects
    if entry.stop != ANOTHER:
        # A verdict is corrected by giving it anew; only `+` adds to the one that stands.
        stands = tuple(pair for pair in stands if pair[0] == result)
    defects = stands if result in dict(stands) else (*stands, (result, ""))
    return visit(replace(entry, verdict="", defects=defects), f"{SEVERITY}:{result}")


def _weigh(entry: Entry, sign: str) -> Entry:
    defect = entry.severity_of()
    if defect is None or sign not in {str(severity) for severity in SEVERITIES}:
        return entry
    weighed = tuple((d, sign if d == defect else s) for d, s in entry.defects)
    return go_on(replace(entry, defects=weighed, marked=""))


def _open(entry: Entry, sign: str) -> Entry:
    stop = FINISH_KEYS.get(sign)
    if stop == READINGS:
        stop = entry.readings[0].field if entry.readings else None
    if stop is None or not (stop == RESULT or stop in entry.lists or _asked(entry, stop)):
        return entry
    return visit(entry, stop)


def _open_row(entry: Entry, sign: str) -> Entry:
    if sign == "0":
        pages = -(-len(entry.lists[entry.stop]) // ROWS_A_PAGE)
        return replace(entry, page=(entry.page + 1) % max(pages, 1))
    rows = entry.rows()
    place = "123456789".find(sign)
    return visit(entry, rows[place]) if 0 <= place < len(rows) else entry


def _asked(entry: Entry, name: str) -> bool:
    return name in entry.others or any(q.field == name for q in entry.readings)


def _following(entry: Entry) -> str:
    asked = [q.field for q in entry.readings]
    if entry.stop in asked[:-1]:
        return asked[asked.index(entry.stop) + 1]
    if entry.stop in asked:
        return FINISH if entry.results() else RESULT
    if entry.stop == FINISH:
        return FINISH if entry.complete() else RESULT
    if entry.severity_of() is not None:
        unseen = FIRST_SEEN in entry.others and not entry.value(FIRST_SEEN)
        return FIRST_SEEN if unseen and entry.failure() else FINISH
    if entry.stop in entry.lists:
        return entry.trail[-1] if entry.trail else first_stop(entry)
    return _after_one_of_a_list(entry)


def _after_one_of_a_list(entry: Entry) -> str:
    """The list it was opened from; a seat's diameter asks first what read it."""
    behind = entry.trail[-1] if entry.trail else ""
    if entry.stop == SEAT and entry.value(SEAT) and SEAT_TOOL in entry.others:
        return SEAT_TOOL
    if entry.stop == SEAT_TOOL and behind == SEAT:
        behind = "".join(entry.trail[-2:-1])
    return behind if behind in entry.lists else FINISH
