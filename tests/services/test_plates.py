"""Plates from what was typed: laid out, recorded, listed, drawn, and shown as the one in hand."""

import math
from pathlib import Path

import pytest
from tests.builders import an_attempt
from tests.services.bench import a_row, ada_at, logged

from platebook.practice.attempt import Attempt
from platebook.practice.defects import verdicts
from platebook.practice.records import Plate
from platebook.practice.results import DEFECTS
from platebook.practice.set_up.plate_stock import PlateStock
from platebook.services.now.now_view import now
from platebook.services.pages.plate_prints import larger_than_paper, plate_cards, plate_print
from platebook.services.plates import (
    MOST_POSITIONS,
    new_plate,
    plate_from,
    plate_named,
    plate_of_attempt,
    plate_view,
    plates_of,
)
from platebook.services.session import Refused


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
    session = ada_at(tmp_path)
    new_plate(session, made())
    rows = [a_row(plate="copper 1", position=p) for p in ("1", "2", "2")]
    logged(session, *rows, a_row(plate="other", position="3"))
    (listed,) = plates_of(session)
    assert (listed.plate.name, len(listed.plate.positions), listed.taken) == ("copper 1", 28, 2)
    assert listed.plate.model_copy(update={"plate_id": None, "setter_id": None}) == made()


def test_two_plates_of_one_name_are_refused(tmp_path: Path) -> None:
    """The name stands in each attempt, so it has to be one plate's."""
    session = ada_at(tmp_path)
    new_plate(session, made())
    with pytest.raises(Refused, match="already"):
        new_plate(session, made(name="Copper  1"))
    assert len(plates_of(session)) == 1


def test_a_plate_is_drawn_by_name_or_id_and_never_guessed(tmp_path: Path) -> None:
    """A name that is not there brings those that are."""
    session = ada_at(tmp_path)
    plate = new_plate(session, made())
    assert plate_print(session, "COPPER 1") == plate_print(session, plate.plate_id or "")
    with pytest.raises(Refused, match="expected one of: copper 1"):
        plate_print(session, "copper")


def test_more_copies_than_a_page_takes_are_refused(tmp_path: Path) -> None:
    """With how many it takes."""
    session = ada_at(tmp_path)
    new_plate(session, made())
    assert plate_print(session, "copper 1", 12).svg.count('id="plate-') == 12
    with pytest.raises(Refused, match="a page takes 15 of 50 by 30 mm"):
        plate_print(session, "copper 1", 16)


def test_the_plate_in_hand_has_the_positions_it_was_laid_out_with(tmp_path: Path) -> None:
    """The first screen shows the setter's plate from its first position on."""
    session = ada_at(tmp_path)
    new_plate(session, made())
    view = now(session).plate
    assert view is not None
    assert (view.name, view.next_position, len(view.cells)) == ("copper 1", "1", 28)
    logged(session, a_row(plate="copper 1", position="1"))
    after = now(session).plate
    assert after is not None
    assert (after.name, after.next_position) == ("copper 1", "2")


def test_an_attempt_shows_the_plate_it_lies_on(tmp_path: Path) -> None:
    """With what came of each position in its setter's course; nothing of other plates."""
    session = ada_at(tmp_path)
    new_plate(session, made())
    rows = [a_row(plate="copper 1", position="2"), a_row(plate="other", position="3"), a_row()]
    here, elsewhere, nowhere = logged(session, *rows)
    view = plate_of_attempt(session, here)
    assert view is not None
    assert (view.name, view.across, len(view.cells)) == ("copper 1", 7, 28)
    assert [(c.position, c.outcome) for c in view.cells if c.attempt_id] == [("2", "good")]
    other = plate_of_attempt(session, elsewhere)
    assert other is not None
    assert (other.name, len(other.cells)) == ("other", 10)
    assert plate_of_attempt(session, nowhere) is None


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


def test_another_sheet_is_another_plate_until_the_first_is_wanted_again() -> None:
    """A plate of the sheet wanted comes back with what it has left; a full one is followed."""
    thin = PlateStock(metal="copper", sheet_mm=0.8, layers=1)
    thick = PlateStock(metal="copper", sheet_mm=1.024, layers=1)
    made = [_at(1, plate="1", metal="copper", sheet_mm=0.812, layers=1)]
    views = [plate_view(made, wanted=thin), plate_view(made, wanted=thick)]
    assert [(v.name, v.next_position, v.differs) for v in views] == [
        ("1", "2", ""),
        ("2", "1", "1.02 mm sheet"),
    ]
    made += [_at(1, plate="2", metal="copper", sheet_mm=1.0, layers=1)]
    back = plate_view(made, wanted=thin)
    assert (back.name, back.next_position, back.differs) == ("1", "2", "0.80 mm sheet")
    made += [_at(n, plate="1", metal="copper", sheet_mm=0.812, layers=1) for n in range(2, 11)]
    assert plate_view(made, wanted=thick).name == "2"
    assert plate_view(made, wanted=thin).name == "3"


def test_a_plate_laid_out_of_another_metal_is_not_the_next() -> None:
    """Of those that wait the first that fits; one of which nothing was said fits anything."""
    silver = Plate(name="S", positions=("1", "2"), across=2, metal="sterling silver")
    plain = Plate(name="P", positions=("1", "2"), across=2)
    copper = PlateStock(metal="copper", sheet_mm=0.8)
    assert plate_view((), (silver, plain), wanted=copper).name == "P"
    assert plate_view((), (silver,), wanted=copper).name == "1"
    assert plate_view(on("S", "1"), (silver,), wanted=copper).differs == "copper"


@pytest.mark.parametrize("name", ["\N{SUPERSCRIPT TWO}", "99999999", "1e3", "0401"])
def test_a_number_that_no_plate_reaches_is_a_name(name: str) -> None:
    """It stands behind the ten, and no plate of millions is laid out for it."""
    view = plate_view(on("C", name), [])
    assert view is not None
    assert [cell.position for cell in view.cells] == [*map(str, range(1, 11)), name]


def test_a_place_that_was_never_laid_out_is_not_lost() -> None:
    """An attempt off the grid stands after the others."""
    plate = Plate(name="copper 1", positions=("1", "2"), across=2)
    view = plate_view(on("copper 1", "1", "rim"), (plate,))
    assert [cell.position for cell in view.cells] == ["1", "2", "rim"]
    assert view.next_position == "2"


def _at(position: int | str, plate: str = "C", **values: object) -> Attempt:
    return an_attempt(plate=plate, position=str(position), **values)


def test_the_first_plate_is_empty_and_begins_at_one() -> None:
    """Nothing was set yet, or nothing on a plate."""
    for attempts in ((), (an_attempt(),)):
        view = plate_view(attempts)
        assert (view.name, view.next_position, len(view.cells)) == ("1", "1", 10)
        assert {(cell.sign, cell.result) for cell in view.cells} == {("", "")}


def test_each_place_shows_what_came_of_it() -> None:
    """By a sign of its own and in words; the next free place is the first that is empty."""
    view = plate_view(
        (
            _at(1),
            _at(2, result=("loose", "high"), severity=(2, 1)),
            _at(4, result=None, ended="tool broke"),
            _at(5, result=None),
        )
    )
    assert [(c.position, c.sign, c.result) for c in view.cells[:5]] == [
        ("1", "+", "good"),
        ("2", "L", "loose + high"),
        ("3", "", ""),
        ("4", "?", "tool broke"),
        ("5", "?", "not judged"),
    ]
    assert (view.name, view.next_position) == ("C", "3")


def test_every_result_has_a_sign_of_its_own() -> None:
    """No defect is without a sign, and a word that the table does not know has the one of doubt."""
    words = (*DEFECTS, "bent")
    view = plate_named([_at(n, result=(word,)) for n, word in enumerate(words, 1)], (), "C")
    assert view is not None
    signs = [verdicts()[defect].sign for defect in DEFECTS]
    assert [cell.sign for cell in view.cells] == [*signs, "?"]


def test_the_last_word_about_a_place_counts() -> None:
    """A place that was set again shows the later result."""
    view = plate_view((_at(1, result=("low",)), _at(1)))
    assert view.cells[0].result == "good"


def test_a_full_plate_is_followed_by_the_next() -> None:
    """Whose name counts on: its last number plus one, or a 2 behind a name without one."""
    for name, following in (("1", "2"), ("C9", "C10"), ("P9b", "P10b"), ("scrap", "scrap 2")):
        view = plate_view([_at(n, plate=name) for n in range(1, 11)])
        assert (view.name, view.next_position) == (following, "1")


def test_a_plate_is_as_large_as_its_highest_number() -> None:
    """Places beyond ten and places with names are places too."""
    view = plate_view((_at(12), _at("rim")))
    assert [c.position for c in view.cells] == [*(str(n) for n in range(1, 13)), "rim"]
    assert view.next_position == "1"


def test_a_plate_is_shown_by_its_own_rows_with_its_attempts() -> None:
    """As many across as it was laid out with; each position names the attempt made there."""
    plate = Plate(name="C", positions=("a", "b", "c", "d", "e", "f"), across=3)
    made = an_attempt(attempt_id="one", plate="C", position="b", result=("good",))
    view = plate_named((made,), (plate,), "C")
    assert view is not None
    assert (view.across, view.next_position) == (3, "a")
    assert [(c.position, c.sign, c.attempt_id) for c in view.cells[:2]] == [
        ("a", "", ""),
        ("b", "+", "one"),
    ]
    assert plate_named((made,), (), "D") is None


def test_a_plate_is_found_however_its_name_is_spelt() -> None:
    """Without case and number of blanks, unless another has just that name."""
    plates = (Plate(name="Copper 1", positions=("1", "2")), Plate(name="copper 1"))
    found = plate_named((_at(1, "Copper 1"),), plates, "COPPER  1")
    assert found is not None
    assert (found.name, found.cells[0].result) == ("Copper 1", "good")
    exact = plate_named((), plates, "copper 1")
    assert exact is not None
    assert exact.name == "copper 1"
    assert plate_named((_at(1, "C7"),), (), "c7") is not None
    assert plate_named((), plates, "copper 2") is None


def test_a_plate_larger_than_the_paper_is_said(tmp_path: Path) -> None:
    """At 1:1 it needs larger paper or tiles; nothing is shrunk."""
    session = ada_at(tmp_path)
    new_plate(session, made())
    assert plate_print(session, "copper 1").larger == ""
    new_plate(session, made(name="large", width="300", height="250", pitch="30"))
    large = plate_print(session, "large")
    assert "larger than A4 and Letter" in large.larger
    assert 'width="320mm"' in large.svg or "320 mm" in large.larger
    assert larger_than_paper('<svg width="290mm" height="205mm">') == ""


def test_a_plate_has_a_card_for_each_size_of_stone(tmp_path: Path) -> None:
    """With its positions, the drill, the burs, the depth and the cautions of each."""
    session = ada_at(tmp_path)
    new_plate(session, made(stones="1.5,2.0", metal="copper", sheet="20 ga"))
    svg = plate_cards(session, "copper 1", "snap in").svg
    for words in ("1.5 mm, positions", "2 mm, positions", "pilot drill", "sink bur", "trial 1."):
        assert words in svg
    assert svg.count("! Your workshop's own rules") == 2
    with pytest.raises(Refused, match="method"):
        plate_cards(session, "copper 1", "hammer in")
