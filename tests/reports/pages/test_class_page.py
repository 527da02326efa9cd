"""A class's page: a line a setter, one topic, what is shared; every name as text."""

import dataclasses
from datetime import date

from tests.builders import a_setter_line
from tests.reports.pages.test_setter_page import Outline

from platebook.advice.class_standing import SetterLine
from platebook.analysis.findings.results import ClassFindings
from platebook.reports.pages.class_page import ClassAnswers, class_html

ADA = a_setter_line(
    name="Ada Quill",
    attempts=12,
    signs="+x+++x+x",
    lately_low=0.3,
    lately_high=0.9,
    eye="as the inspector's",
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


def page(*standings: SetterLine) -> Outline:
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
            )
        )
    )


def test_each_setter_has_a_line_with_room_for_initials() -> None:
    """Grade and points, signs, the curve with its band, the main defect, eye and next."""
    bram = dataclasses.replace(ADA, setter_id="s2", name="Bram <i>Osk</i>", clock=None)
    found = page(ADA, bram)
    for told in (
        "2.0 mm in copper, practised, 4 to go",
        "+x+++x+x",
        "62 % (30-90 %)",
        "high at 4 o'clock",
        "as the inspector's",
        "Set a stone, 2.0 mm in copper",
        "For all: high is what 2 of 2 have most often.",
        "Bram <i>Osk</i>",
    ):
        assert told in found.text
    assert [tag for tag, _ in found.elements if tag in {"i", "b", "script"}] == []
    assert sum(cell.get("class") == "initials" for cell in found.all("td")) == 2


def test_someone_new_has_dashes_and_no_made_up_numbers() -> None:
    """Nothing logged is shown as nothing."""
    new = dataclasses.replace(
        ADA, attempts=0, grade="", state="", signs="", lately=None, defect="", clock=None
    )
    (row,) = (text for text in page(new).text.splitlines() if "Ada Quill" in text)
    assert "(" not in row
    assert "0 to go" not in row
