"""What to mind: advice by variable and direction, thanks, and silence."""

from datetime import date

from platebook.advice.minding import strongest, thanks, words_by_variable
from platebook.analysis.findings.asking.cutoffs import FORMS
from platebook.analysis.findings.telling.habits import Habit
from platebook.analysis.findings.telling.results import Count, Retired
from platebook.analysis.variables.columns import known_variables
from platebook.practice.fields import fields

TODAY = date(2026, 3, 20)


def a_count(label: str, failed: int, of: int) -> Count:
    """So many of so many."""
    return Count(label=label, failed=failed, of=of)


def a_habit(**values: object) -> Habit:
    """Loose with worked metal, well supported, with these values changed."""
    known: dict[str, object] = {
        "variable": "metal_state",
        "spoken": "state of the metal",
        "direction": "higher",
        "defect": "loose",
        "status": "claim",
        "phrase": "worked metal",
        "rest": "with annealed metal",
        "counts": (a_count("worked", 8, 10), a_count("annealed", 6, 48)),
        "counted": "Loose 8 of 10 with worked metal, 6 of 48 with annealed metal.",
    }
    return Habit.model_validate(known | values)


def gone(here: int, of: int, day: date | None = date(2026, 3, 4)) -> Retired:
    """Retired, with so many on the habit's side since."""
    counts = (a_count("worked", 0, here), a_count("annealed", 2, of - here))
    return Retired(attempt=60, day=day, counts=counts, sentence="No longer.")


def test_the_line_says_what_to_do_and_counts_both_sides() -> None:
    """The issue's own sentence."""
    line = strongest([a_habit()])
    assert line is not None
    assert line.line == (
        "Mind today: anneal the sheet. Loose 8 of 10 with worked metal, "
        "6 of 48 with annealed metal."
    )


def test_the_first_that_still_holds_has_the_line() -> None:
    """One that is retired is passed over; a lead is told as worth watching."""
    lead = a_habit(variable="light", direction="daylight", spoken="light", status="lead")
    line = strongest([a_habit(retired=gone(0, 30)), lead])
    assert line is not None
    assert line.line.startswith("Mind today: the light (worth watching). Loose 8 of 10")
    assert strongest([a_habit(retired=gone(0, 30))]) is None
    assert strongest([]) is None


def test_a_habit_that_is_not_done_any_more_is_thanked_for() -> None:
    """With the day since when, where it is known."""
    line = thanks(a_habit(retired=gone(0, 30)), TODAY)
    assert line is not None
    assert line.line == (
        "Thank you for annealing the sheet: since 4 March none of 30 with worked metal."
    )
    undated = thanks(a_habit(retired=gone(0, 30, day=None)), TODAY)
    assert undated is not None
    assert "sheet: none of 30" in undated.line


def test_nobody_is_thanked_for_luck() -> None:
    """Not for a lead, for what holds, nor for a habit that goes on and does no harm."""
    assert thanks(a_habit(), TODAY) is None
    assert thanks(a_habit(status="lead", retired=gone(0, 30)), TODAY) is None
    assert thanks(a_habit(retired=gone(9, 30)), TODAY) is None


def test_every_row_of_the_table_is_about_a_variable_that_findings_can_name() -> None:
    """Its direction too: a form's, yes or no."""
    known = {*known_variables(), *fields()}
    table = words_by_variable()
    assert {variable for variable, _ in table} <= known
    assert {toward for _, toward in table} <= {*FORMS, "yes", "no"}
