"""What the next attempt starts from."""

from itertools import pairwise

import pytest
from tests.builders import a_grade, an_attempt

from platebook.practice.attempt import Attempt
from platebook.practice.fields import choices, parts
from platebook.practice.reading.questions import Question
from platebook.services.answers import sizes_for_grade
from platebook.services.attempts.form import (
    BY_LOT,
    READINGS,
    of_whole,
    proposed_for,
    readings_for,
    set_up_differs,
    set_up_for,
)
from platebook.trade import Drawer, Tool

COPPER = a_grade()
STERLING = a_grade(
    "sterling-2.5",
    stones_mm=(2.5,),
    metal="sterling silver",
    metal_state="annealed today",
    sheet="18 ga",
    sheet_mm=1.024,
    method="push in",
)
LAST = an_attempt(
    grade="copper-2.0",
    lubricant="wax",
    support="pitch",
    speed_step="slow",
    seat_bur="my 1.9",
    fit="drops in",
    fit_checks="6+",
    note="ticks",
    position="4",
)


def test_at_the_same_grade_the_set_up_is_carried_over() -> None:
    """Stone, sheet and tools as they were, but no reading, look or note."""
    found = set_up_for(COPPER, sizes_for_grade(COPPER, (LAST,)), (LAST,))
    kept = {
        "stone_diameter_mm": "1.98",
        "pilot_mm": "0.66",
        "seat_bur": "my 1.9",
        "lubricant": "wax",
    }
    assert kept.items() <= found.items()
    assert not {"fit", "fit_checks", "result", "severity", "note", "position"} & found.keys()


def test_a_new_grade_brings_its_stone_and_sheet() -> None:
    """What belongs to person and bench is carried over, what belongs to the grade is not."""
    found = set_up_for(STERLING, None, (LAST,))
    assert found == {
        "stone_material": "cubic zirconia",
        "stone_diameter_mm": "2.5",
        "metal": "sterling silver",
        "metal_state": "annealed today",
        "sheet_mm": "1.024",
        "layers": "1",
        "backing": "none",
        "seat_method": "push in",
        "lubricant": "wax",
        "support": "pitch",
        "speed_step": "slow",
    }


def test_what_the_course_and_the_sizes_propose_is_told_from_what_is_carried_over() -> None:
    """All of a first evening, stone, sheet and tools of a new grade, nothing of a known one."""
    sizes = sizes_for_grade(STERLING, ())
    first = set_up_for(STERLING, sizes, ())
    assert proposed_for(STERLING, sizes, ()) == first.keys()
    later = set_up_for(STERLING, sizes, (LAST,))
    carried = later.keys() - proposed_for(STERLING, sizes, (LAST,))
    assert carried == {"lubricant", "support", "speed_step"}
    known = sizes_for_grade(COPPER, (LAST,))
    assert proposed_for(COPPER, known, (LAST,)) == frozenset()


def test_a_new_grade_brings_the_sizes_from_the_drawer() -> None:
    """A bur that the drawer has is named; sizes to buy have no name."""
    bur = Tool(kind="bur", name="my 2.4", shape="hart", size_mm=2.4)
    sizes = sizes_for_grade(STERLING, (), Drawer(tools=(bur,)))
    assert sizes is not None
    found = set_up_for(STERLING, sizes, ())
    assert (found["seat_bur"], found["seat_bur_mm"], found["seat_bur_shape"]) == (
        "my 2.4",
        "2.4",
        "hart",
    )
    assert "seat_bur" not in set_up_for(STERLING, sizes_for_grade(STERLING, ()), ())


def test_a_part_exercise_is_no_set_up_of_its_grade() -> None:
    """A prepared seat that was burnished says nothing about the tools of a whole setting."""
    part = an_attempt(
        grade=COPPER.id, kind="part", part="burnishing", lubricant="oil", pilot_mm=9.0
    )
    found = set_up_for(COPPER, None, (LAST, part))
    assert (found["lubricant"], found["pilot_mm"]) == ("wax", "0.66")


def test_a_part_in_a_prepared_seat_has_no_drill_and_no_bur() -> None:
    """What lies ready was cut by somebody else; where no stone is in it, none is named."""
    given = set_up_for(COPPER, None, (LAST,), part="burnishing")
    assert {"pilot_mm", "opening_bur_mm", "seat_bur", "seat_bur_mm"}.isdisjoint(given)
    assert given["stone_material"] == "cubic zirconia"
    empty = set_up_for(COPPER, None, (LAST,), part="burnishing no stone")
    assert (empty["seat_bur"], empty["stone_diameter_mm"]) == ("my 1.9", "1.98")
    assert "stone_material" not in empty


def test_an_odd_stone_does_not_change_the_next_set_up() -> None:
    """A stone of another size that was kept at the grade says nothing of the next one there."""
    odd = an_attempt(grade=COPPER.id, stone_diameter_mm=1.48, seat_bur_mm=1.4)
    found = set_up_for(COPPER, None, (LAST, odd))
    assert (found["stone_diameter_mm"], found["seat_bur_mm"]) == ("1.98", "1.9")
    sizes = sizes_for_grade(COPPER, (LAST, odd))
    assert sizes is not None
    assert sizes.stone.diameter_mm == 1.98


def test_a_sparse_attempt_hides_nothing_that_was_noted_before() -> None:
    """What it notes counts, the rest is carried over from the attempts before it."""
    sparse = Attempt(
        grade=COPPER.id, stone_diameter_mm=2.02, metal="copper", sheet_mm=0.8, seat_bur_mm=1.85
    )
    found = set_up_for(COPPER, None, (LAST, sparse))
    assert (found["lubricant"], found["support"], found["pilot_mm"]) == ("wax", "pitch", "0.66")
    assert (found["stone_diameter_mm"], found["seat_bur_mm"]) == ("2.02", "1.85")
    assert "seat_bur" not in found


def test_a_sparse_attempt_alone_at_its_grade_is_completed() -> None:
    """Bench and hand as at the grade before, what it leaves out of stone, sheet and tools anew."""
    sparse = Attempt(grade=STERLING.id, stone_diameter_mm=2.52, seat_bur_mm=2.35, result=("good",))
    sizes = sizes_for_grade(STERLING, (sparse,))
    assert sizes is not None
    found = set_up_for(STERLING, sizes, (LAST, sparse))
    assert (found["stone_diameter_mm"], found["seat_bur_mm"]) == ("2.52", "2.35")
    assert "seat_bur_shape" not in found
    assert (found["metal"], found["sheet_mm"]) == ("sterling silver", "1.024")
    assert (found["lubricant"], found["pilot_mm"]) == ("wax", str(sizes.pilot_drill.choose_mm))


def test_each_stone_of_a_mixed_row_comes_in_its_turn() -> None:
    """With the sizes that it had last, or the grade's own."""
    mixed = a_grade("mixed", stones_mm=(1.5, 2.0))
    first = set_up_for(mixed, None, ())
    small = an_attempt(grade="mixed", stone_diameter_mm=1.52, seat_bur_mm=1.4)
    second = set_up_for(mixed, None, (small,))
    large = an_attempt(grade="mixed", stone_diameter_mm=2.0)
    third = set_up_for(mixed, None, (small, large))
    assert [s["stone_diameter_mm"] for s in (first, second, third)] == ["1.5", "2", "1.52"]


def _of(field: str, method: str = "snap in") -> Question:
    asked = (readings_for("whole", None, a_grade(method=method), attempts=n) for n in range(20))
    return next(r for readings in asked for r in readings if r.field == field)


def test_a_whole_setting_asks_for_three_and_one_by_lot() -> None:
    """The three first, always alike; each of the lesser ones comes up about as often."""
    found = [of_whole(n) for n in range(300)]
    assert {names[:3] for names in found} == {("fit", "trial_height", "ledge")}
    assert {len(names) for names in found} == {4}
    counts = [sum(name in names for names in found) for name in BY_LOT]
    assert min(counts) > 70


def test_the_lot_is_the_same_however_often_it_is_asked() -> None:
    """What is asked is decided before the attempt, and not by how it goes."""
    assert of_whole(7) == of_whole(7)


@pytest.mark.parametrize("part", list(parts()))
def test_a_part_asks_only_for_what_it_can_have(part: str) -> None:
    """A part that leaves nothing to read asks nothing."""
    asked = [r.field for r in readings_for("part", part, a_grade())]
    assert asked == list(parts()[part].readings)


@pytest.mark.parametrize("field", READINGS)
def test_every_value_has_a_digit_and_they_stand_in_order(field: str) -> None:
    """One key a value, rising, in the order of the contract, so the numeric pad is enough."""
    keys, values = zip(*_of(field).keys, strict=True)
    assert list(values) == [c.value for c in choices()[field]]
    digits = [int(k) for k in keys]
    assert digits == sorted(set(digits))
    assert {len(k) for k in keys} == {1}


def test_the_fit_is_answered_by_the_digits_of_the_record() -> None:
    """The contract numbers its five answers, and the keys are those numbers."""
    by_alias = {c.aliases[0]: c.value for c in choices()["fit"]}
    assert dict(_of("fit").keys) == by_alias


@pytest.mark.parametrize(
    ("method", "target"),
    [
        ("snap in", "enters tilted and snaps"),
        ("push in", "enters with a firm push or enters tilted and snaps"),
        ("drop in", "drops in"),
    ],
)
def test_the_wanted_fit_goes_with_the_seat_method(method: str, target: str) -> None:
    """A stone that is meant to drop in may drop in (common practice)."""
    assert _of("fit", method).target == target


@pytest.mark.parametrize("method", ["snap in", "push in", "drop in"])
@pytest.mark.parametrize("field", ["fit", "trial_height", "ledge"])
def test_answers_run_from_too_little_by_way_of_what_is_wanted_to_too_much(
    field: str, method: str
) -> None:
    """Or from what is wanted to the worst: what is wanted is one stretch of the digits."""
    asked = _of(field, method)
    wanted = [value in asked.wanted for _, value in asked.keys]
    assert any(wanted)
    assert sum(before != after for before, after in pairwise(wanted)) <= 2
    assert [key for key, _ in asked.keys] == sorted(key for key, _ in asked.keys)


def test_what_has_no_right_answer_wants_nothing() -> None:
    """How often a fit was checked is noted, not judged."""
    assert (_of("fit_checks").wanted, _of("fit_checks").target) == ((), "")
    assert _of("ledge").wanted == ("even",)
    assert _of("trial_height").wanted == ("flush", "just under")


def test_every_reading_says_what_is_meant() -> None:
    """In the words of the contract."""
    assert all(r.meaning for r in readings_for("whole", None, None) if r.field != "burnish_passes")


def test_a_bur_carried_over_that_the_sheet_would_not_take_is_told() -> None:
    """Both sizes, and what would stand in its place; the pilot within a tenth serves as well."""
    sizes = sizes_for_grade(COPPER, (LAST,))
    assert sizes is not None
    says = sizes.seat_bur.choose_mm
    set_up = {"seat_bur_mm": "1.95", "seat_bur": "my 1.95", "pilot_mm": "0.7"}
    (found,) = set_up_differs(set_up, sizes)
    assert found.sentence == f"The set-up has seat bur 1.95; worked out is {says:.2f}."
    assert (found.takes["seat_bur_mm"], found.takes["seat_bur"]) == (f"{says:g}", "")
    assert [d.field for d in set_up_differs({"pilot_mm": "0.9"}, sizes)] == ["pilot_mm"]


def test_what_a_block_planned_and_what_is_alike_is_not_told() -> None:
    """A planned level is another size on purpose."""
    sizes = sizes_for_grade(COPPER, (LAST,))
    assert sizes is not None
    same = {"seat_bur_mm": f"{sizes.seat_bur.choose_mm:g}"}
    assert set_up_differs(same, sizes) == ()
    assert set_up_differs({"seat_bur_mm": "1.7"}, sizes, planned=["seat_bur_mm"]) == ()
    assert set_up_differs({"seat_bur_mm": "1.7"}, None) == ()
