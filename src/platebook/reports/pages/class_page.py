"""A class on one side of paper: a line a setter, one topic for all, what they share."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from platebook.advice.class_standing import SetterLine, topic
from platebook.analysis.findings.results import ClassFindings
from platebook.reports.pages.template import filled
from platebook.reports.text.figures import counted, interval, percent

MOST_SHARED = 3
DASH = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassAnswers:
    """What a class's page is made from; `next_titles` say what each setter practises next, by id.

    `used` are sentences about stones and burs.
    """

    group: str
    day: date
    standings: Sequence[SetterLine]
    findings: ClassFindings
    next_titles: Mapping[str, str]
    used: Sequence[str]
    caution: str
    invented: bool = False


@dataclass(frozen=True, slots=True)
class _Row:
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
    attempts = sum(one.attempts for one in answers.standings)
    shared = answers.findings.common[:MOST_SHARED]
    report = {
        "group": answers.group,
        "day": f"{answers.day:%-d %B %Y}",
        "counted": f"{counted(len(answers.standings), 'setter')}, {counted(attempts, 'attempt')}",
        "invented": answers.invented,
        "topic": topic(answers.standings),
        "rows": [
            _row(one, answers.next_titles.get(one.setter_id, "")) for one in answers.standings
        ],
        "common": [
            f"{one.sentence} It holds for {one.holds_for} of {one.of_setters}." for one in shared
        ],
        "used": answers.used,
        "caution": answers.caution,
    }
    return filled("class.html.j2", report=report)


def _row(one: SetterLine, next_title: str) -> _Row:
    grade = one.grade or DASH
    if one.state == "working":
        grade += f", {one.good_to_go} to go"
    elif one.state:
        grade += f", {one.state}"
    if one.sign_off:
        grade += f"; {one.sign_off_title} waits for a sign-off"
    lately = DASH
    if one.lately is not None and one.lately_low is not None and one.lately_high is not None:
        lately = f"{percent(one.lately)} ({interval(one.lately_low, one.lately_high)})"
    defect = one.defect or DASH
    if one.defect and one.clock is not None:
        defect += f" at {one.clock} o'clock"
    mean = one.practice.a_week if one.practice is not None else None
    return _Row(
        one.name,
        grade,
        one.signs or DASH,
        lately,
        defect,
        one.eye,
        DASH if mean is None else f"{mean:.1f}",
        next_title or DASH,
    )
