"""A class on one side of paper: a line a setter, one topic for all, what they share."""

from collections.abc import Mapping, Sequence
from datetime import date

from markupsafe import Markup

from platebook.advice.class_standing import QueueRow, SetterLine, topic
from platebook.analysis.classes.register import Register, RegisterRow
from platebook.analysis.findings.telling.results import ClassFindings
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.reports.pages.html import fill_template
from platebook.reports.text.class_text import grade_and_state, main_defect, sign_off_due
from platebook.reports.text.figures import FINDINGS, place_on_plate
from platebook.reports.text.register_text import (
    LEGEND,
    missing_words,
    months_above,
    signs_in_words,
    signs_of,
)
from platebook.trade.phrases import count_of, full_day, share_in_column
from platebook.values import Value

MOST_TO_LOOK_AT = 6
MOST_EVENINGS = 30
"""Evenings that the register shows, the newest ones: a term has fewer."""

DASH = "–"


class ClassAnswers(Value, kw_only=True):
    """What a class's page is made from; `next_titles` say what each setter practises next, by id.

    `used` are sentences about stones and burs. `queue` is what to look at first; what was drawn at
    random and nothing else is not told where everybody reads it. `register` is None on a page about
    several classes.
    """

    group: str
    day: date
    standings: Sequence[SetterLine]
    findings: ClassFindings
    next_titles: Mapping[str, str]
    used: Sequence[str]
    caution: str
    invented: bool = False
    queue: Sequence[QueueRow] = ()
    register: Register | None = None


class _Row(Value):
    name: str
    grade: str
    signs: str
    lately: str
    defect: str
    eye: str
    a_week: str
    next: str


def class_html(answers: ClassAnswers) -> str:
    """The page as the text of an HTML file."""
    attempts = sum(setter.attempts for setter in answers.standings)
    report = {
        "group": answers.group,
        "day": full_day(answers.day),
        "counted": f"{count_of(len(answers.standings), 'setter')}, {count_of(attempts, 'attempt')}",
        "invented": answers.invented,
        "topic": topic(answers.standings),
        "rows": [
            _row(setter, answers.next_titles.get(setter.setter_id, ""))
            for setter in answers.standings
        ],
        "common": [
            f"{FINDINGS[one.status].title}: {one.sentence} {' '.join(one.notes)}"
            for one in answers.findings.common
        ],
        "look_at": _to_look_at(answers.queue),
        "register": _register(answers.register),
        "used": answers.used,
        "caution": answers.caution,
    }
    return fill_template("class.html.j2", report=report)


def _to_look_at(queue: Sequence[QueueRow]) -> list[str]:
    """The first rows of the queue in words, and how many more there are."""
    rows = [row for row in queue if row.reasons]
    told = [
        f"{row.setter}, {place_on_plate(row.plate, row.position)}: "
        f"{'; '.join(reason.sentence for reason in row.reasons)}."
        for row in rows[:MOST_TO_LOOK_AT]
    ]
    more = len(rows) - len(told)
    return [*told, f"{count_of(more, 'other')} after these."] if more else told


def _register(register: Register | None) -> dict[str, object] | None:
    """The register as the template has it; None where there is no evening."""
    if register is None or not register.evenings:
        return None
    shown = register.evenings[-MOST_EVENINGS:]
    more = len(register.evenings) - len(shown)
    return {
        "months": months_above(shown),
        "legend": f"{LEGEND} {count_of(more, 'earlier evening')} counted too." if more else LEGEND,
        "rows": [_attendance(row, register) for row in (*register.coming, *register.apart)],
    }


def _attendance(row: RegisterRow, register: Register) -> dict[str, str]:
    evenings, signs = register.evenings[-MOST_EVENINGS:], row.signs[-MOST_EVENINGS:]
    return {
        "name": row.name,
        # As markup, so that the blanks before somebody joined are not taken off.
        "signs": Markup(signs_of(signs)),  # noqa: S704 - three signs of our own
        "in_words": signs_in_words(evenings, signs),
        "came": f"{row.came} of {row.of}" if row.of else DASH,
        "missing": missing_words(row),
    }


def _row(setter: SetterLine, next_title: str) -> _Row:
    grade = grade_and_state(setter) or DASH
    if setter.state in TO_BE_PASSED:
        grade += f", {setter.good_to_go} to go"
    mean = setter.practice.a_week if setter.practice is not None else None
    return _Row(
        setter.name,
        grade + sign_off_due(setter),
        setter.signs or DASH,
        share_in_column(setter.lately, setter.lately_low, setter.lately_high) or DASH,
        main_defect(setter) or DASH,
        setter.eye,
        DASH if mean is None else f"{mean:.1f}",
        next_title or DASH,
    )
