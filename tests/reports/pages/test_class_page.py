"""A class's page: a line a setter, one topic, what is shared; every name as text."""

from datetime import date, timedelta

from tests.builders import a_setter_line, outcomes
from tests.reports.pages.test_setter_page import Outline

from platebook.advice.class_standing import SetterLine
from platebook.analysis.classes.register import Enrolled, Register, register_of
from platebook.analysis.findings.telling.results import ClassFindings
from platebook.reports.pages.class_page import ClassAnswers, class_html
from platebook.values import replace

ADA = a_setter_line(
    name="Ada Quill",
    attempts=12,
    last=outcomes("+x+++x+x"),
    lately_low=0.3,
    lately_high=0.9,
    eye="as the teacher's",
)
NOTHING_YET = ClassFindings(
    setters=2,
    attempts=24,
    failures=6,
    common=(),
    personal=(),
    not_judged=(),
    checked="",
    answer=(),
)


def page(*standings: SetterLine, register: Register | None = None) -> Outline:
    """The page of these setters."""
    return Outline(
        class_html(
            ClassAnswers(
                group="Thursday <b>",
                day=date(2026, 3, 4),
                standings=standings,
                findings=NOTHING_YET,
                next_titles={"s1": "Set a stone, 2.0 mm in copper"},
                used=("Stones set, by size in mm: 2.0: 24.",),
                caution="Eye protection on.",
                register=register,
            )
        )
    )


def test_each_setter_has_a_line_with_room_for_initials() -> None:
    """Grade and points, signs, the curve with its band, the main defect, eye and next."""
    bram = replace(ADA, setter_id="s2", name="Bram <i>Osk</i>", clock=None)
    found = page(ADA, bram)
    for told in (
        "2.0 mm in copper, 4 to go",
        "+x+++x+x",
        "62 (30 to 90)",
        "high at 4 o'clock",
        "as the teacher's",
        "Set a stone, 2.0 mm in copper",
        "For all: high is what 2 of 2 have most often.",
        "Bram <i>Osk</i>",
    ):
        assert told in found.text
    assert [tag for tag, _ in found.elements if tag in {"i", "b", "script"}] == []
    assert sum(cell.get("class") == "initials" for cell in found.all("td")) == 2


def test_someone_new_has_dashes_and_no_made_up_numbers() -> None:
    """Nothing logged is shown as nothing."""
    new = replace(ADA, attempts=0, grade="", state="", last=(), lately=None, defect="", clock=None)
    (row,) = (text for text in page(new).text.splitlines() if "Ada Quill" in text)
    assert "(" not in row
    assert "0 to go" not in row


def test_who_came_stands_in_signs_and_in_words() -> None:
    """The signs are hidden from who hears the page, and the words from who sees it."""
    weeks = [date(2026, 1, 8) + timedelta(weeks=n) for n in range(4)]
    people = (
        Enrolled("s1", "Ada Quill", ((None, None),), frozenset(weeks)),
        Enrolled("s2", "Bram <i>Osk</i>", ((None, None),), frozenset(weeks[:1])),
        Enrolled("s3", "Cleo Vane", ((None, weeks[1]),), frozenset(weeks[:2])),
    )
    found = page(ADA, register=register_of(people))
    for told in ("Jan", "oooo", "4 of 4", "o...", "1 of 4", "not seen for 3 weeks", "oo", "left"):
        assert told in found.text
    assert "missed 15 January, 22 January, 29 January" in found.text
    assert sum(span.get("aria-hidden") == "true" for span in found.all("span")) == 4
    assert sum(span.get("class") == "heard" for span in found.all("span")) == 4
    assert [tag for tag, _ in found.elements if tag == "i"] == []


def test_who_joined_late_has_blanks_first() -> None:
    """The signs of one evening stand under each other."""
    weeks = [date(2026, 1, 8) + timedelta(weeks=n) for n in range(4)]
    people = (
        Enrolled("s1", "Ada Quill", ((None, None),), frozenset(weeks)),
        Enrolled("s2", "Bram Osk", ((weeks[2], None),), frozenset(weeks[3:])),
    )
    assert "  .o" in page(ADA, register=register_of(people)).text


def test_a_long_register_shows_its_newest_evenings_and_counts_all() -> None:
    """Forty evenings: ten are counted and not shown."""
    days = frozenset(date(2026, 1, 1) + timedelta(days=n) for n in range(40))
    found = page(ADA, register=register_of([Enrolled("s1", "Ada", ((None, None),), days)]))
    assert "10 earlier evenings counted too." in found.text
    assert "40 of 40" in found.text
    assert "o" * 31 not in found.text


def test_without_an_evening_there_is_no_register() -> None:
    """Nor on a page about several classes."""
    for register in (None, register_of(())):
        assert "Who came" not in page(ADA, register=register).text
