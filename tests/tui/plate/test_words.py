"""A plate's sheet as words: the grid around the row of the moment, and the cell's question."""

import pytest
from tests.tui.plate.test_sheet import a_sheet

from platebook.practice.reading.questions import Question
from platebook.practice.results import RESULT_KEYS
from platebook.tui.parts.text import MARK
from platebook.tui.plate.sheet import PlateSheet, measure
from platebook.tui.plate.words import (
    asked,
    cell_answers,
    cell_at,
    grid,
    narrowest,
    refusal,
    result_in_words,
    saved_words,
    seen_in_cell,
    size_question,
    wanted,
)
from platebook.values import replace


def at(sheet: PlateSheet, name: str, row: int = 0) -> PlateSheet:
    """The sheet at the cell of this field."""
    column = [question.field for question in sheet.columns].index(name)
    return replace(sheet, row=row, column=column)


def test_the_grid_shows_the_row_of_the_moment() -> None:
    """As many rows as fit under the head, and the one marked among them."""
    sheet = replace(a_sheet(), row=9)
    lines = grid(sheet, 76, 5).plain.splitlines()
    assert len(lines) == 5
    assert lines[-1].startswith(f"{MARK}10")
    assert [text[:1] for text in lines].count(MARK) == 1


def test_a_cell_shows_how_it_came_out_and_never_the_digit_pressed() -> None:
    """3 is the fit wanted, 4 is not; an empty cell that is asked shows a dot."""
    first, second, third = grid(a_sheet(f1="3", f2="4"), 52, 12).plain.splitlines()[-10:-7]
    assert first.split()[:3] == [f"{MARK}1", "✓", "·"]
    assert second.split()[:3] == ["2", "!", "·"]
    assert third.split()[:3] == ["3", "·", "·"]


def test_a_cell_has_its_words_where_they_fit() -> None:
    """How bad a defect is in its word; what nothing is wanted of has no sign."""
    high = next(key for key, result in RESULT_KEYS.items() if result == "high")
    severity = ("1", "severity")
    sheet = a_sheet(r1=high)
    weighed = replace(sheet, cells={**sheet.cells, severity: "2"})
    row = grid(weighed, 76, 12).plain.splitlines()[-10]
    assert row.split()[-2:] == ["high!", "clear"]
    checks = Question("fit_checks", "fit checks", (("0", "0"), ("1", "1-2"), ("3", "3-5")))
    assert seen_in_cell(checks, "3-5", 9) == "3-5 times"
    fit = Question("fit", "fit", (("3", "snaps"), ("4", "drops in")), wanted=("snaps",))
    assert [seen_in_cell(fit, "drops in", width) for width in (10, 9)] == ["! drops in", "!"]


def test_a_severity_is_asked_of_a_defect_only() -> None:
    """A good one has nothing to weigh, so its cell is empty."""
    tilted = next(key for key, result in RESULT_KEYS.items() if result == "tilted")
    good, bad = grid(a_sheet(r1="0", r2=tilted), 76, 12).plain.splitlines()[-10:-8]
    assert good.split()[-1] == "good"
    assert bad.split()[-2:] == ["tilted!", "·"]


def test_the_question_names_its_position_and_its_answers() -> None:
    """No answer is torn from its digit by the end of a line."""
    sheet = at(a_sheet(), "fit")
    assert (asked(sheet), wanted(sheet)) == (
        "fit, position 1",
        "wanted: enters tilted and snaps",
    )
    assert cell_answers(sheet, 40).plain.splitlines() == [
        " 1  will not enter",
        " 2  enters with a firm push",
        " 3  enters tilted and snaps",
        " 4  drops in   5  drops in and moves",
    ]


def test_how_bad_a_defect_is_is_asked_by_its_looks() -> None:
    """Each severity says what is seen of this defect."""
    tilted = next(key for key, result in RESULT_KEYS.items() if result == "tilted")
    sheet = at(a_sheet(r1=tilted), "severity")
    assert (asked(sheet), wanted(sheet)) == ("How bad is tilted, position 1?", "")
    assert cell_answers(sheet, 76).plain.startswith(" 1  slight: ")


def test_a_size_is_typed_in_its_unit() -> None:
    """A cable may type it; which size is chosen by digit first."""
    sheet = a_sheet()
    answers = cell_answers(measure(sheet, sheet.sizes[0]), 76).plain
    assert answers == "Type it in mm, then Enter; a cable may do both."
    assert size_question(sheet, 76).plain.splitlines()[0] == "Which size, down the plate?"
    assert size_question(sheet, 76).plain.splitlines()[1].startswith(" 1  seat")


@pytest.mark.parametrize("width", [51, 58, 76, 120])
def test_no_word_of_the_grid_breaks(width: int) -> None:
    """The head's words stand whole as far as the narrowest grid goes, and nothing is wider."""
    scratched = next(key for key, result in RESULT_KEYS.items() if result == "scratched")
    sheet = a_sheet(r1=scratched)
    assert narrowest(sheet) <= 51
    lines = grid(sheet, width, 12).plain.splitlines()
    assert max(map(len, lines)) <= width
    words = " ".join(lines).split()
    assert {"fit", "trial", "height", "ledge", "result", "severity", "scratched!"} <= set(words)


def test_a_cell_is_found_by_its_place() -> None:
    """What lies under a letter of the grid; nothing above it, beside it or where none is asked."""
    tilted = next(key for key, result in RESULT_KEYS.items() if result == "tilted")
    sheet = a_sheet(f2="4", r1="0", r2=tilted)
    lines = grid(sheet, 76, 12).plain.splitlines()
    row = next(n for n, text in enumerate(lines) if text.split()[:2] == ["2", "!"])
    assert cell_at(sheet, (76, 12), (lines[row].index("!"), row)) == (1, 0)
    severity = next(text.index("severity") for text in lines if "severity" in text)
    good = row - 1
    assert cell_at(sheet, (76, 12), (severity, good)) is None
    assert cell_at(sheet, (76, 12), (severity, row)) == (1, 4)
    assert cell_at(sheet, (76, 12), (severity, 0)) is None
    assert cell_at(sheet, (76, 12), (0, row)) is None


def test_a_slight_fault_is_told_as_slight_after_saving() -> None:
    """A slight one counts as good, so it is not told as if it had failed."""
    high = next(key for key, result in RESULT_KEYS.items() if result == "high")
    sheet = a_sheet(r1="0", r2=high, r3=high)
    severities = {("2", "severity"): "1", ("3", "severity"): "2"}
    judged = replace(sheet, cells={**sheet.cells, **severities})
    told = saved_words([result_in_words(judged, row) for row in judged.judged()])
    assert told == "Saved 3: 1 good, 1 high (slight), 1 high."


def test_a_digit_that_answers_nothing_is_told() -> None:
    """The keys that do answer are named with it."""
    tilted = next(key for key, result in RESULT_KEYS.items() if result == "tilted")
    sheet = at(a_sheet(r1=tilted), "severity")
    assert refusal(sheet, "7") == "severity: 7 is no answer; 1 to 3 are."
