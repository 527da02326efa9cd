"""Plates from what was typed: laid out, recorded, listed, drawn, and shown as the one in hand."""

import math
from pathlib import Path

import pytest
from tests.builders import an_attempt
from tests.services.bench import a_row, ada_at, logged

from platebook.practice.attempt import Attempt
from platebook.practice.plate import Plate
from platebook.services.faults import Refused
from platebook.services.now import now
from platebook.services.plate_making import (
    MOST_POSITIONS,
    new_plate,
    plate_drawing,
    plate_from,
    plates_of,
)
from platebook.services.plates import plate_view


def typed(**values: str) -> dict[str, str | None]:
    """What is typed for a plate of 50 by 30 mm, with these changed."""
    return {"name": "copper 1", "width": "50", "height": "30", "stones": "2.0", **values}


def made(**values: str) -> Plate:
    """The plate that is typed, which has to be possible."""
    plate, problems = plate_from(typed(**values))
    assert plate is not None, problems
    return plate


def test_as_many_positions_as_fit() -> None:
    """Arithmetic: the rule's edge is 5 mm and its pitch 6 mm for a 2 mm stone, so 7 by 4."""
    plate = made(metal="copper", sheet="20 ga")
    assert (plate.across, len(plate.positions), plate.pitch_mm) == (7, 28, 6.0)
    assert (plate.metal, plate.sheet_mm) == ("copper", 0.812)
    assert plate.positions[0] == "1"
    assert plate.positions[-1] == "28"


def test_lengths_are_read_as_people_type_them() -> None:
    """Two inches by 1 1/4 in decimals; an inch is 25.4 mm (international yard, 1959)."""
    plate = made(width="2 in", height="1.25 in", stones="1,5; 2,0")
    assert (plate.width_mm, plate.height_mm, plate.stones_mm) == (50.8, 31.75, (1.5, 2.0))


def test_the_recorded_centres_are_those_that_were_laid_out() -> None:
    """Every neighbour is a pitch away and the outermost as far from both edges."""
    plate = made(stones="1.5,2.0", edge="4", pitch="5.5")
    centres = [plate.centre_of(p) or (0.0, 0.0) for p in plate.positions]
    assert math.dist(centres[0], centres[1]) == pytest.approx(5.5)
    assert centres[0][0] == pytest.approx(50 - centres[-1][0])
    assert centres[0][1] == pytest.approx(30 - centres[-1][1])
    assert min(centres[0]) >= 4


@pytest.mark.parametrize(
    ("values", "field", "read"),
    [
        ({"name": " "}, "name", "nothing"),
        ({"name": "n" * 201}, "name", "n" * 201),
        ({"width": ""}, "width", "nothing"),
        ({"width": "wide"}, "width", "wide"),
        ({"height": "-3"}, "height", "-3"),
        ({"width": "9"}, "width and height", "9 by 30 mm"),
        ({"stones": "2,3"}, "stones", "2,3"),
        ({"stones": ""}, "stones", "nothing"),
        ({"stones": "40"}, "stones", "40 mm"),
        ({"stones": "2.0,x"}, "stones", "x"),
        ({"pitch": "1.5"}, "pitch", "1.5 mm"),
        ({"edge": "0.5"}, "edge", "0.5 mm"),
        ({"sheet": "99 ga"}, "sheet", "99 ga"),
        ({"sheet": "9"}, "sheet", "9 mm"),
        ({"width": "900", "height": "900"}, "pitch", "6 mm, 22201 positions on 900 by 900 mm"),
    ],
)
def test_what_cannot_be_is_said(values: dict[str, str], field: str, read: str) -> None:
    """The field, what was read and what is possible; never a plate that was quietly changed."""
    plate, problems = plate_from(typed(**values))
    assert plate is None
    assert (problems[0].field, problems[0].read) == (field, read)
    assert problems[0].expected


def test_all_that_is_wrong_is_said_at_once() -> None:
    """Nobody mends one fault to meet the next."""
    _, problems = plate_from(typed(width="x", sheet="y", stones="0"))
    assert [p.field for p in problems] == ["width", "sheet", "stones"]
    assert MOST_POSITIONS > 28


def test_a_plate_is_kept_and_listed_with_what_is_taken(tmp_path: Path) -> None:
    """A position counts once however often it was set."""
    desk = ada_at(tmp_path)
    new_plate(desk, made())
    rows = [a_row(plate="copper 1", position=p) for p in ("1", "2", "2")]
    logged(desk, *rows, a_row(plate="other", position="3"))
    (listed,) = plates_of(desk)
    assert (listed.plate.name, len(listed.plate.positions), listed.taken) == ("copper 1", 28, 2)
    assert listed.plate.model_copy(update={"plate_id": None, "setter_id": None}) == made()


def test_two_plates_of_one_name_are_refused(tmp_path: Path) -> None:
    """The name stands in each attempt, so it has to be one plate's."""
    desk = ada_at(tmp_path)
    new_plate(desk, made())
    with pytest.raises(Refused, match="already"):
        new_plate(desk, made(name="Copper  1"))
    assert len(plates_of(desk)) == 1


def test_a_plate_is_drawn_by_name_or_id_and_never_guessed(tmp_path: Path) -> None:
    """A name that is not there brings those that are."""
    desk = ada_at(tmp_path)
    plate = new_plate(desk, made())
    assert plate_drawing(desk, "COPPER 1") == plate_drawing(desk, plate.plate_id or "")
    with pytest.raises(Refused, match="expected one of: copper 1"):
        plate_drawing(desk, "copper")


def test_the_plate_in_hand_has_the_positions_it_was_laid_out_with(tmp_path: Path) -> None:
    """The first screen shows the setter's plate from its first position on."""
    desk = ada_at(tmp_path)
    new_plate(desk, made())
    view = now(desk).plate
    assert view is not None
    assert (view.name, view.next_position, len(view.cells)) == ("copper 1", "1", 28)
    logged(desk, a_row(plate="copper 1", position="1"))
    after = now(desk).plate
    assert after is not None
    assert (after.name, after.next_position) == ("copper 1", "2")


def on(plate: str, *positions: str) -> list[Attempt]:
    """An attempt at each of these positions."""
    return [an_attempt(plate=plate, position=position) for position in positions]


def test_a_full_plate_gives_way_to_the_next_that_is_empty() -> None:
    """Of the setter's own first, by number where they have none."""
    first, second = (
        Plate(name=name, positions=("1", "2"), across=2) for name in ("copper 1", "silver")
    )
    full = on("copper 1", "1", "2")
    assert plate_view(full, (first, second)).name == "silver"
    assert len(plate_view(full, (first, second)).cells) == 2
    assert plate_view(full, (first,)).name == "copper 2"


def test_a_place_that_was_never_laid_out_is_not_lost() -> None:
    """An attempt off the grid stands after the others."""
    plate = Plate(name="copper 1", positions=("1", "2"), across=2)
    view = plate_view(on("copper 1", "1", "rim"), (plate,))
    assert [cell.position for cell in view.cells] == ["1", "2", "rim"]
    assert view.next_position == "2"
