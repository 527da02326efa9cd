"""One setter on one side of paper: what next, where the grades stand, what goes with failure.

The page stands alone: no script, nothing fetched, prints on A4 and Letter.
"""

from collections.abc import Sequence
from datetime import date

from markupsafe import Markup

from platebook.advice.blocks import settles
from platebook.advice.exercise import NextExercise
from platebook.analysis.findings.telling.pictures import Picture
from platebook.analysis.findings.telling.results import Finding, Findings
from platebook.analysis.findings.trials import Trial
from platebook.analysis.grades.own_work import OwnWork
from platebook.analysis.grades.progress import GradeProgress, Progress
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.periods.calendar import calendar
from platebook.analysis.success.change import change_words
from platebook.analysis.success.share_good import share_words
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import MISSED
from platebook.practice.people.received import Received, SeenLook
from platebook.practice.reading.attempt_rows import write_row
from platebook.practice.results import failed_in, result_or_reason, verdict
from platebook.reports.pages.html import (
    MOST_STROKES,
    attempt_section,
    curve_svg,
    fill_template,
    levels_svg,
    seat_svg,
)
from platebook.reports.pages.legend import defects_drawn
from platebook.reports.text.analysis_text import support_line
from platebook.reports.text.figures import FINDINGS, GRADES, millimetres
from platebook.reports.text.received_text import look_head, theirs, word_head
from platebook.trade.phrases import count_of, day_words, full_day, several, share_in_column
from platebook.trade.setup_sheet import SetUpSheet
from platebook.values import Value

SHOWN, BESIDE_A_PICTURE = 12, 6
"""Attempts that fit below the rest on one side; fewer where a finding is drawn above them,
and half as many where others said something of the work."""

MOST_LOOKS, MOST_WORDS = 4, 2
MONTHS = 6
MOST_OWN = 4
MOST_FINDINGS = 4
MOST_REASONS = 4
DASH = "–"


NONE = Received()


class SetterAnswers(Value, kw_only=True):
    """What a setter's page is made from; `attempts` in order, all of them.

    `pictures` are those of the findings, in their order; the first one is drawn. `trials` are what
    balanced blocks say of leads, each told with the finding that it settles.
    """

    setter: str
    day: date
    course: Course
    progress: Progress
    findings: Findings
    advice: NextExercise
    sizes: SetUpSheet | None
    attempts: Sequence[Attempt]
    caution: str
    invented: bool = False
    pictures: Sequence[Picture] = ()
    trials: Sequence[Trial] = ()
    received: Received = NONE


class _GradeRow(Value):
    title: str
    sign: str
    state: str
    good: str
    rate: str
    lately: str
    to_go: str


class _AttemptCard(Value):
    sign: str
    result: str
    about: str
    picture: str


def _beside(finding: Finding, trials: Sequence[Trial]) -> str:
    """How much stands behind a finding, that it is not steady, and what its blocks say so far.

    Without the last full stop.
    """
    own = (t.sentence for t in trials if settles(t.variable, t.defect, finding))
    said = (support_line(finding), finding.not_steady or "", *own)
    return ". ".join(filter(None, (sentence.removesuffix(".") for sentence in said)))


def setter_html(answers: SetterAnswers) -> str:
    """The page as the text of an HTML file."""
    progress, advice, said = answers.progress, answers.advice, answers.received
    working = _curve_grade(progress, advice.grade)
    levels = _levels(answers)
    shown = BESIDE_A_PICTURE if levels else SHOWN
    shown = shown // 2 if said.ids else shown
    newest = tuple(reversed(answers.attempts))[:shown]
    report = {
        "setter": answers.setter,
        "day": full_day(answers.day),
        "course": answers.course.title,
        "counted": count_of(len(answers.attempts), "attempt"),
        "invented": answers.invented,
        "next_title": f"{advice.title}, {advice.grade_title}",
        "why": advice.why[:MOST_REASONS],
        "sizes": _sizes(answers.sizes),
        "grades": [
            *(_grade(grade) for grade in progress.grades if grade.state != "ahead"),
            *(_own_work(line) for line in progress.own_work[:MOST_OWN]),
        ],
        "months": _months(progress),
        "ahead": several([grade.title for grade in progress.grades if grade.state == "ahead"]),
        "curve": curve_svg(working.curve, _curve_line(working)) if working else "",
        "curve_line": _curve_line(working) if working else "",
        "change": change_words(working.change) if working else "",
        "answer": answers.findings.answer,
        "findings": [
            {
                "status": FINDINGS[f.status].title,
                "sentence": f.sentence,
                "support": _beside(f, answers.trials),
            }
            for f in answers.findings.findings[:MOST_FINDINGS]
        ],
        "more_findings": _more_findings(len(answers.findings.findings) - MOST_FINDINGS),
        "levels": levels,
        "retired": [
            {"sentence": f.sentence, "since": f.retired.sentence}
            for f in answers.findings.retired
            if f.retired is not None
        ],
        "words": [f"{word_head(word)}: {word.text}" for word in said.words[:MOST_WORDS]],
        "looks": [_look_row(look) for look in said.looks[:MOST_LOOKS]],
        "looks_in_all": count_of(len(said.looks), "look"),
        "attempts": [_card(answers.course, attempt, answers.day) for attempt in newest],
        # Where a picture and others' words leave room for a few attempts alone, the legend goes.
        "legend": defects_drawn(newest) if shown >= BESIDE_A_PICTURE else [],
        "caution": answers.caution,
    }
    return fill_template("setter.html.j2", report=report)


def _more_findings(left: int) -> str:
    """That the page has no room for some of them; empty for none."""
    if left <= 0:
        return ""
    return f"{count_of(left, 'more finding')}: platebook findings tells all of them."


def _curve_grade(progress: Progress, next_grade: str) -> GradeProgress | None:
    """The grade whose curve is drawn: that of the next exercise, or else the hardest one begun."""
    begun = [grade for grade in progress.grades if len(grade.curve) > 1]
    here = [grade for grade in begun if grade.grade == next_grade]
    return next(iter(here or begun[::-1]), None)


def _curve_line(grade: GradeProgress) -> str:
    share = share_words(grade.now, grade.now_low, grade.now_high)
    settings = count_of(len(grade.curve), "setting")
    marks = "strokes above are good" if len(grade.curve) <= MOST_STROKES else "dashes are shares"
    return f"{grade.title}: {share}, {settings}; {marks}."


def _levels(answers: SetterAnswers) -> Markup | str:
    """The picture of the finding that stands first; empty where there is none."""
    found = answers.findings.findings
    if not found or not answers.pictures:
        return ""
    return levels_svg(answers.pictures[0], found[0].sentence)


def _sizes(sizes: SetUpSheet | None) -> list[tuple[str, str]]:
    if sizes is None:
        return []
    seat = sizes.seat
    return [
        ("stone", millimetres(sizes.stone.diameter_mm)),
        ("pilot drill", millimetres(sizes.pilot_drill.choose_mm)),
        ("opening bur", millimetres(sizes.opening_bur.choose_mm)),
        ("seat bur", millimetres(sizes.seat_bur.choose_mm)),
        (
            "seat wide",
            f"{millimetres(seat.diameter_low_mm)} to {millimetres(seat.diameter_high_mm)}",
        ),
        ("girdle deep", millimetres(seat.depth_mm)),
        *([("bur sunk", millimetres(seat.bur_sunk_mm))] if seat.bur_sunk_mm is not None else []),
        ("sheet", millimetres(sizes.sheet.thickness_mm)),
    ]


def _grade(grade: GradeProgress) -> _GradeRow:
    rate = share_in_column(grade.rate, grade.low, grade.high) or DASH
    lately = share_in_column(grade.now, grade.now_low, grade.now_high) or DASH
    good = f"{grade.good} of {grade.attempts}" if grade.attempts else DASH
    to_go = str(grade.good_to_go) if grade.state in TO_BE_PASSED else DASH
    if grade.state == "to be signed off":
        to_go = "a sign-off"
    state = GRADES[grade.state]
    return _GradeRow(grade.title, state.plain, state.words, good, rate, lately, to_go)


def _own_work(line: OwnWork) -> _GradeRow:
    rate, share = (
        share_in_column(line.rate, line.low, line.high),
        share_in_column(line.now, line.now_low, line.now_high),
    )
    good = f"{line.good} of {line.attempts}"
    return _GradeRow(line.title, "", "outside the course", good, rate, share, DASH)


def _months(progress: Progress) -> list[tuple[str, ...]]:
    """The last months with practice, oldest first; none where there is only one to tell of."""
    months = [m for m in calendar(progress.together, "month").periods if m.settings][-MONTHS:]
    if len(months) < 2:
        return []
    return [
        (
            month.name,
            str(month.evenings),
            f"{month.good} of {month.settings}",
            share_in_column(month.rate, month.low, month.high),
            share_in_column(month.then, month.then_low, month.then_high),
        )
        for month in months
    ]


def _look_row(look: SeenLook) -> tuple[str, ...]:
    own = verdict(look.own_result, look.own_severity)
    return look_head(look), own, theirs(look), look.comment or DASH


def _card(course: Course, attempt: Attempt, today: date) -> _AttemptCard:
    text = write_row(attempt)
    result = verdict(result_or_reason(attempt), attempt.severity or ())
    grade = course.grade(attempt.grade or "")
    title = grade.title if grade is not None else attempt.grade
    what = attempt.part if attempt.kind == "part" and attempt.part else title
    day = day_words(attempt.began.date(), today) if attempt.began is not None else ""
    about = " · ".join(filter(None, (day, what, text["fit"], text["trial_height"])))
    section = attempt_section(attempt)
    drawn = seat_svg(section, f"{result}: {section.line}") if section else ""
    return _AttemptCard(_sign(course, attempt), result, about, drawn)


def _sign(course: Course, attempt: Attempt) -> str:
    outcome = failed_in(course, attempt)
    if outcome is None:
        return "·"
    return "x" if outcome or MISSED in (attempt.result or ()) else "+"
