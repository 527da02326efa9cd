"""A class on a wall: the class page in letters for the back of the room, a part at a time.

What the wall leaves out is what would point at somebody: the defect met most, whose eye is kind,
who has been missing for how long, why somebody is looked at, and any order by need. Without names
each setter has a number; then no place of a plate is told either, because plates bear names.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TypeVar

from markupsafe import Markup

from platebook.advice.class_standing import QueueRow, SetterLine, topic
from platebook.analysis.classes.register import Register, RegisterRow
from platebook.analysis.findings.telling.results import ClassFindings
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.reports.pages.html import fill_template
from platebook.reports.text.figures import FINDINGS, place_on_plate
from platebook.reports.text.register_text import LEGEND, months_above, signs_in_words, signs_of
from platebook.trade.phrases import count_of, full_day, several
from platebook.values import Value

STYLE = "projector.css"
ROWS = 12
"""Setters at a time: as many as there is room for in letters of a thirtieth of the wall's height,
which are read from the back of a room (common practice)."""

MOST_EVENINGS = 16
NOBODY = "Nobody is in this class yet."
MOST_TO_LOOK_AT = 6
DASH = "–"

Row = TypeVar("Row")


class WallAnswers(Value, kw_only=True):
    """What is shown of a class. `numbers` by setter's id stand for names; None shows the names.

    `called` are the names by id, `next_titles` what each practises next. `register` is None for
    several classes.
    """

    group: str
    day: date
    standings: Sequence[SetterLine]
    called: Mapping[str, str]
    next_titles: Mapping[str, str]
    findings: ClassFindings
    queue: Sequence[QueueRow]
    caution: str
    numbers: Mapping[str, int] | None = None
    register: Register | None = None
    invented: bool = False


class _Line(Value):
    who: str
    grade: str
    to_go: str
    signs: str
    next: str


def wall_html(answers: WallAnswers) -> str:
    """The page as the text of an HTML file; every part is in it, and a script shows one at a time.

    Of a class in which nobody is there is a sentence, and the page goes on looking.
    """
    setters = _in_turn([s.setter_id for s in answers.standings], answers.numbers)
    by_id = {setter.setter_id: setter for setter in answers.standings}
    attempts = sum(setter.attempts for setter in answers.standings)
    report = {
        "group": answers.group,
        "day": full_day(answers.day),
        "counted": f"{count_of(len(setters), 'setter')}, {count_of(attempts, 'attempt')}",
        "invented": answers.invented,
        "sentence": "" if setters else NOBODY,
        "topic": topic(answers.standings),
        "column": "name" if answers.numbers is None else "no.",
        "line_parts": _in_parts([_line(by_id[setter_id], answers) for setter_id in setters]),
        "months": months_above(_evenings(answers.register)),
        "register_parts": _in_parts(_register(answers)),
        "legend": LEGEND,
        "common": [
            {
                "sentence": f"{FINDINGS[shared.status].title}: {shared.sentence}",
                "notes": " ".join(shared.notes),
            }
            for shared in answers.findings.common
        ],
        "looked_at": _looked_at(answers),
        "ready": _ready(answers),
        "caution": answers.caution,
    }
    return fill_template("projector.html.j2", style=STYLE, report=report)


def _in_turn(setter_ids: Sequence[str], numbers: Mapping[str, int] | None) -> list[str]:
    """The setters in the order they are shown: the roster's, or by number."""
    return list(setter_ids) if numbers is None else sorted(setter_ids, key=numbers.__getitem__)


def _in_parts(rows: Sequence[Row]) -> list[Sequence[Row]]:
    """The rows in parts of one size nearly, none of them over what there is room for."""
    parts = -(-len(rows) // ROWS)
    size = -(-len(rows) // parts) if parts else ROWS
    return [rows[first : first + size] for first in range(0, len(rows), size)]


def _who(setter_id: str, answers: WallAnswers) -> str:
    if answers.numbers is None:
        return answers.called[setter_id]
    return str(answers.numbers[setter_id])


def _line(setter: SetterLine, answers: WallAnswers) -> _Line:
    to_go: str = setter.state
    if setter.state in TO_BE_PASSED:
        to_go = f"{setter.good_to_go} to go"
    return _Line(
        who=_who(setter.setter_id, answers),
        grade=setter.grade or DASH,
        to_go=to_go or DASH,
        signs=setter.signs or DASH,
        next=answers.next_titles.get(setter.setter_id) or DASH,
    )


def _evenings(register: Register | None) -> Sequence[date]:
    return () if register is None else register.evenings[-MOST_EVENINGS:]


def _register(answers: WallAnswers) -> list[dict[str, object]]:
    """Who is still coming, with a sign an evening; nothing where there is none."""
    register = answers.register
    if register is None or not register.evenings:
        return []
    rows = {r.setter_id: r for r in register.coming if r.setter_id in answers.called}
    return [
        _attendance(rows[setter_id], register, answers)
        for setter_id in _in_turn(list(rows), answers.numbers)
    ]


def _attendance(row: RegisterRow, register: Register, answers: WallAnswers) -> dict[str, object]:
    signs = row.signs[-MOST_EVENINGS:]
    return {
        "who": _who(row.setter_id, answers),
        # As markup, so that the blanks before somebody joined are not taken off.
        "signs": Markup(signs_of(signs)),  # noqa: S704 - three signs of our own
        "in_words": signs_in_words(_evenings(register), signs),
        "came": f"{row.came} of {row.of}" if row.of else DASH,
    }


def _looked_at(answers: WallAnswers) -> list[str]:
    """Whom the instructor comes to first, in the roster's order or by number, and never why."""
    weightiest: dict[str, QueueRow] = {}
    for row in answers.queue:
        if row.reasons and row.setter_id in answers.called:
            weightiest.setdefault(row.setter_id, row)
    chosen = frozenset(list(weightiest)[:MOST_TO_LOOK_AT])
    turn = _in_turn([i for i in answers.called if i in chosen], answers.numbers)
    return [_look(weightiest[setter_id], answers) for setter_id in turn]


def _look(row: QueueRow, answers: WallAnswers) -> str:
    who = _who(row.setter_id, answers)
    if answers.numbers is not None:
        return f"number {who}"
    return f"{who}: {place_on_plate(row.plate, row.position)}" if row.plate else who


def _ready(answers: WallAnswers) -> str:
    """Who may be signed off, which is good news; empty for nobody."""
    waiting = [setter.setter_id for setter in answers.standings if setter.sign_off]
    turn = _in_turn(waiting, answers.numbers)
    if not turn:
        return ""
    numbers = "" if answers.numbers is None else "number "
    who = several([f"{numbers}{_who(setter_id, answers)}" for setter_id in turn])
    return f"Ready to be signed off: {who}."
