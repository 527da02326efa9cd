"""The plate in hand and the next free place on it."""

from tests.builders import an_attempt

from platebook.practice.attempt import Attempt
from platebook.practice.defects import verdicts
from platebook.practice.look import DEFECTS
from platebook.practice.plate import Plate
from platebook.services.plates import plate_named, plate_view


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
