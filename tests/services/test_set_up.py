"""What the next attempt starts from."""

from tests.builders import a_grade, an_attempt

from platebook.services.bench_sizes import sizes_for_grade
from platebook.services.set_up import set_up_for
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
