"""A setter's page: what stands on it, that it stands alone, and that everyone can read it."""

import re
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from typing import Any

import pytest
from tests.builders import a_grade, an_attempt, an_exercise, some_course
from tests.contrast import contrast
from tests.simulated.planted import Cause, Plan, planted

from platebook.advice import next_exercise
from platebook.advice.blocks import FACTOR_BEHIND
from platebook.advice.class_standing import standing_of
from platebook.analysis import find
from platebook.analysis.classes.agreement import agreement
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.telling.pictures import finding_pictures
from platebook.analysis.findings.telling.results import Retired
from platebook.analysis.findings.trials import Side, Trial
from platebook.analysis.grades.exercise_rows import exercise_rows
from platebook.analysis.grades.progress import progress
from platebook.practice.attempt import Attempt
from platebook.practice.records import Setter
from platebook.reports.pages.setter_page import SetterAnswers, setter_html
from platebook.trade import Sheet, Stone, size
from platebook.values import replace

TODAY = date(2026, 3, 4)
COURSE = some_course()
HOSTILE = '<script>alert(1)</script> & "quotes" {{ 1 + 1 }} \u202ereversed \x1b[2J'


def answers(attempts: tuple[Attempt, ...], **values: Any) -> SetterAnswers:
    """What a page is made from, with sizes for a stone of 1.98."""
    made = SetterAnswers(
        setter="Ada Quill",
        day=TODAY,
        course=COURSE,
        progress=progress(COURSE, attempts, today=TODAY),
        findings=find(attempts, course=COURSE),
        advice=next_exercise(COURSE, attempts, today=TODAY),
        sizes=size(Stone(diameter_mm=1.98), Sheet(sheet_mm=0.812)),
        attempts=attempts,
        caution="Eye protection on.",
    )
    return replace(made, **values)


def a_log() -> tuple[Attempt, ...]:
    """Sixty attempts with a habit in them, at a grade of the course."""
    plan = Plan(attempts=60, causes=(Cause("clearance_mm", "loose", size=1.6),))
    grade = COURSE.grades[0].id
    return tuple(
        a.with_values(grade=grade, kind="whole", setter="Ada Quill", sheet_mm=0.812)
        for a in planted(plan, 3).attempts
    )


class Outline(HTMLParser):
    """The elements of a page in order, with their attributes, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the element."""
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        """Note the text."""
        self.text += data

    def all(self, tag: str) -> list[dict[str, str | None]]:
        """The attributes of every element of this kind."""
        return [attrs for name, attrs in self.elements if name == tag]


def test_the_four_answers_stand_on_the_page() -> None:
    """Next with its sizes, grades with intervals, findings with counts, the last seats drawn."""
    attempts = a_log()
    made = answers(attempts)
    text = Outline(setter_html(made)).text
    assert "Practice report of 4 March 2026" in text
    assert made.advice.why[0] in text
    assert "1.98" in text
    assert "now" in text.split("Where the grades stand")[1].split()[:40]
    assert "%)" in text
    assert made.findings.findings[0].sentence in text
    assert "The last 12 attempts, newest first" in text


def test_an_empty_log_makes_a_page_too() -> None:
    """Nothing is drawn of what is not there, and the next exercise is on it."""
    page = Outline(setter_html(answers((), sizes=None)))
    assert page.all("svg") == []
    assert "The last" not in page.text
    assert "Next:" in page.text


def test_the_page_stands_alone() -> None:
    """No script, no link, nothing to be fetched, and a policy that forbids it."""
    page = Outline(setter_html(answers(a_log())))
    named = {tag for tag, _ in page.elements}
    assert named.isdisjoint({"script", "link", "img", "iframe", "a", "form", "object"})
    policy = next(m for m in page.all("meta") if m.get("http-equiv"))
    assert policy["content"] == "default-src 'none'; style-src 'unsafe-inline'"
    attributes = " ".join(f"{v}" for _, attrs in page.elements for v in attrs.values())
    assert "http" not in attributes.replace("http://www.w3.org/2000/svg", "")
    assert "url(" not in setter_html(answers(a_log()))


def test_what_people_typed_is_text() -> None:
    """Names, courses and sentences with markup are shown as typed, without what terminals obey."""
    attempts = (an_attempt(result=("good", "<b>odd</b>")),)
    made = answers(attempts, setter=HOSTILE, course=some_course(title=HOSTILE), caution=HOSTILE)
    page = setter_html(made)
    assert "<script" not in page
    assert "<b>" not in page
    assert "{{ 1 + 1 }}" in Outline(page).text
    assert '<script>alert(1)</script> & "quotes"' in Outline(page).text
    assert not set("\u202e\x1b") & set(page)


def test_the_page_can_be_read_by_everyone() -> None:
    """A language, titles in order, named pictures, heads of tables (WCAG 2.2)."""
    page = Outline(setter_html(answers(a_log())))
    assert page.all("html") == [{"lang": "en"}]
    ranks = [tag for tag, _ in page.elements if re.fullmatch(r"h[1-6]", tag)]
    assert ranks == ["h1", "h2", "h2", "h2", "h2"]
    curve, seats, legend = 1, 12, 4
    assert len(page.all("svg")) == curve + seats + legend
    assert all(svg["role"] == "img" and svg["aria-label"] for svg in page.all("svg"))
    assert all(head.get("scope") in {"col", "row"} for head in page.all("th"))
    ids = [attrs["id"] for _, attrs in page.elements if attrs.get("id")]
    assert len(ids) == len(set(ids))


def test_every_text_stands_out_from_the_paper() -> None:
    """At least 4.5 to 1 on white (WCAG 2.2, 1.4.3)."""
    colours = set(re.findall(r"[^-]color: (#[0-9a-f]{6})", setter_html(answers(a_log()))))
    assert colours != set()
    assert all(contrast(colour, "#ffffff") >= 4.5 for colour in colours)


def test_the_first_finding_is_drawn_level_by_level() -> None:
    """Levels under their names with their counts, the parting line, and what is laid along."""
    attempts = a_log()
    found = find(attempts, course=COURSE)
    pictures = finding_pictures(FindingsLog.of(attempts, COURSE), found.findings)
    page = Outline(setter_html(answers(attempts, findings=found, pictures=pictures)))
    for level in pictures[0].levels:
        assert f"{level.name}: {level.failed} of {level.of}" in page.text
    assert "and where it may be, by clearance" in page.text
    dashed = [drawn for drawn in page.all("line") if drawn.get("stroke-dasharray")]
    assert len(dashed) == len(pictures[0].parted) == 1


def test_a_finding_says_how_far_its_block_is() -> None:
    """Behind the finding that it settles and behind no other."""
    attempts = a_log()
    found = find(attempts, course=COURSE)
    first = found.findings[0]
    trial = Trial(
        variable=FACTOR_BEHIND[first.variable],
        defect=first.defect,
        blocks=1,
        under_way=3,
        statement="counts so far",
        counts=(Side(label="1.95", failed=3, of=4), Side(label="1.85", failed=1, of=4)),
        stated_at=None,
        chance=None,
        difference=None,
        low=None,
        high=None,
        sentence="One block of eight is done, and 3 settings of the next.",
    )
    page = Outline(setter_html(answers(attempts, findings=found, trials=(trial,))))
    assert page.text.count(trial.sentence) == 1
    other = trial.model_copy(update={"defect": "scratched"})
    assert (
        trial.sentence
        not in Outline(setter_html(answers(attempts, findings=found, trials=(other,)))).text
    )


def test_what_holds_no_longer_is_said_with_its_date() -> None:
    """Below what holds, by its sentence of today."""
    attempts = a_log()
    found = find(attempts, course=COURSE)
    gone = Retired(attempt=9, day=TODAY, counts=(), sentence="No longer so since March.")
    first = found.findings[0].model_copy(update={"retired": gone})
    found = found.model_copy(update={"findings": (), "retired": (first,)})
    assert (
        "No longer so since March." in Outline(setter_html(answers(attempts, findings=found))).text
    )


@pytest.mark.parametrize(
    ("strict", "culet", "result", "severity", "sign"),
    [
        (2, "free", "high", 1, "+"),
        (1, "free", "high", 1, "x"),
        (2, "free", "culet out", 2, "+"),
        (2, "enclosed", "culet out", 2, "x"),
    ],
)
def test_page_row_and_class_judge_as_the_course_does(
    strict: int, culet: str, result: str, severity: int, sign: str
) -> None:
    """A remark and a point that stands out fail where course and grade say so, everywhere alike."""
    course = some_course(
        failure_from=strict,
        grades=(a_grade("copper-2.0", culet=culet),),
        exercises=(an_exercise("line", row=1, pass_at=1),),
    )
    tried = an_attempt(grade="copper-2.0", exercise="line", result=(result,), severity=(severity,))
    row = exercise_rows(course, (tried,))[0]
    reached = progress(course, (tried,), today=TODAY)
    line = standing_of(Setter(name="Ada Quill"), course, (tried,), reached, agreement((), ()))
    page = setter_html(answers((tried,), course=course, progress=reached))
    assert ("+" if row.passed else "x", line.signs) == (sign, sign)
    assert f'<span class="result">{sign} ' in page


def test_the_last_attempts_stand_with_day_and_grade_as_people_say_them() -> None:
    """No id of the course and no ISO day; nothing where no day is known."""
    grade = COURSE.grades[0]
    began = datetime(2026, 3, 3, 18, 30, tzinfo=UTC)
    tried = an_attempt(grade=grade.id, kind="whole", began=began, result=("good",))
    page = Outline(setter_html(answers((tried, tried.with_values(began=None)))))
    assert f"3 March · {grade.title}" in page.text
    assert grade.id not in page.text
