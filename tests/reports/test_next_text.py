"""The next exercise in words."""

import re
from collections import Counter
from datetime import date

from tests.builders import an_attempt, some_course

from platebook.advice import NextExercise, next_exercise
from platebook.advice.blocks import Factor
from platebook.reports.next_text import next_lines
from platebook.reports.sizes_card import sizes_card
from platebook.trade import Sheet, Stone, size

TODAY = date(2026, 2, 4)
COURSE = some_course()


def _advice(*factors: Factor) -> NextExercise:
    log = [an_attempt(grade="copper-1.5", attempt_id=str(n)) for n in range(4)]
    return next_exercise(COURSE, log, today=TODAY, lead_to_settle=factors)


def test_what_to_do_why_and_what_would_change_it() -> None:
    """One thought a line, each with its reasons."""
    advice = _advice()
    lines = next_lines(advice)
    assert lines[0] == f"Next: {advice.title}, {advice.grade_title} ({advice.grade})."
    assert lines[1] == f"{advice.task} Good when: {advice.criterion}"
    why = lines.index("Why:")
    assert lines[why + 1 : why + 1 + len(advice.why)] == tuple(f"- {s}" for s in advice.why)
    assert all(f"- {s}" in lines for s in advice.changes)
    assert advice.why
    assert not re.search(r"\bcaus", " ".join(lines), re.IGNORECASE)


def test_the_number_of_tries_and_the_readings_are_said() -> None:
    """In one line, with the right plural."""
    advice = _advice()
    one = advice.model_copy(update={"repeat": 1, "readings_asked": False})
    assert "Up to 1 try, then ask again. No readings are asked." in next_lines(one)
    five = advice.model_copy(update={"repeat": 5, "readings_asked": True})
    assert "Up to 5 tries, then ask again. Readings are asked." in next_lines(five)


def test_a_block_lists_its_eight_runs() -> None:
    """In the order to be done, each with what to take, in words."""
    advice = _advice(
        Factor(name="seat_bur_mm", low=1.8, high=1.9),
        Factor(name="burnish_passes", low="1", high="3+"),
    )
    lines = next_lines(advice)
    runs = lines[lines.index("The block, in this order:") + 1 :]
    assert [run.partition(": ")[0] for run in runs] == [f"- {n}" for n in range(1, 9)]
    assert Counter(run.partition(": ")[2] for run in runs) == {
        f"seat bur {bur} mm, burnish passes {passes}": 2
        for bur in ("1.80", "1.90")
        for passes in ("1", "3+")
    }


def test_the_sizes_stand_below_where_there_are_any() -> None:
    """The whole card."""
    sizes = size(Stone(diameter_mm=1.5), Sheet(sheet_mm=0.812))
    card = sizes_card(sizes)
    assert next_lines(_advice(), sizes)[-len(card) :] == card
    assert next_lines(_advice()) == next_lines(_advice(), None)
