"""A plate: named positions in rows."""

import unicodedata
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from platebook.practice.records import Inspection, Plate, Setter, name_key, named


def test_an_inspection_may_say_as_little_as_who_looked_at_what() -> None:
    """Not judged is not good."""
    look = Inspection(attempt_id="a", inspector="Ansel Reed")
    assert (look.result, look.severity, look.drawn_at_random) == (None, None, False)


@pytest.mark.parametrize("clock", [1, 12])
def test_the_clock_goes_from_1_to_12(clock: int) -> None:
    """The plate's notch is 12."""
    assert Inspection(attempt_id="a", inspector="b", clock=clock).clock == clock


@pytest.mark.parametrize(
    "wrong",
    [{"clock": 0}, {"clock": 13}, {"looked": datetime(2026, 2, 3)}],  # noqa: DTZ001 - the point
)
def test_what_no_clock_shows_is_refused(wrong: dict[str, object]) -> None:
    """Neither on the rim, nor a time of which nobody can say when it was."""
    with pytest.raises(ValidationError):
        Inspection.model_validate({"attempt_id": "a", "inspector": "b", **wrong})


def test_a_look_keeps_its_time_and_offset() -> None:
    """An aware time is taken as it is."""
    looked = datetime(2026, 2, 3, 19, 0, tzinfo=UTC)
    assert Inspection(attempt_id="a", inspector="b", looked=looked).looked == looked


PLATE = Plate(name="plate 1", positions=tuple("123456789"), across=4)


@pytest.mark.parametrize(
    ("position", "expected"), [("1", (0, 0)), ("4", (0, 3)), ("5", (1, 0)), ("9", (2, 0))]
)
def test_positions_fill_row_after_row(position: str, expected: tuple[int, int]) -> None:
    """In the order worked, so many in a row."""
    assert PLATE.place_of(position) == expected


def test_a_position_that_is_not_on_the_plate_has_no_place() -> None:
    """A name that was typed wrong is nowhere."""
    assert PLATE.place_of("10") is None
    assert Plate(name="bare").place_of("1") is None


@pytest.mark.parametrize("wrong", [{"across": 0}, {"sheet_mm": 0}, {"pitch_mm": -1}, {"name": ""}])
def test_a_plate_has_sizes_above_zero(wrong: dict[str, object]) -> None:
    """Nothing is laid out in rows of none or at no distance."""
    with pytest.raises(ValidationError):
        Plate.model_validate({"name": "plate 1", **wrong})


LAID_OUT = PLATE.model_copy(
    update={"pitch_mm": 6.0, "width_mm": 50.0, "height_mm": 30.0, "stones_mm": (1.5, 2.0)}
)


@pytest.mark.parametrize(
    ("position", "centre", "stone"),
    [
        ("1", (16.0, 9.0), 1.5),
        ("4", (34.0, 9.0), 1.5),
        ("5", (16.0, 15.0), 2.0),
        ("9", (16.0, 21.0), 1.5),
    ],
)
def test_a_plate_that_was_laid_out_knows_each_centre(
    position: str, centre: tuple[float, float], stone: float
) -> None:
    """The grid lies in the middle (arithmetic), its rows for one stone size each in turn."""
    assert LAID_OUT.centre_of(position) == centre
    assert LAID_OUT.stone_at(position) == stone


def test_a_plate_that_nobody_laid_out_has_no_centres() -> None:
    """Nor has a position that is not on it."""
    assert (PLATE.centre_of("1"), PLATE.stone_at("1")) == (None, None)
    assert (LAID_OUT.centre_of("10"), LAID_OUT.stone_at("10")) == (None, None)


CLASS = (
    Setter(setter_id="1", name="Ottoline Marsh"),
    Setter(setter_id="2", name="ottoline  marsh ", group="Tuesday"),
    Setter(setter_id="3", name="Zoë Quill"),
)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Ottoline Marsh", ["1", "2"]),
        (" OTTOLINE\tMARSH", ["1", "2"]),
        ("Zoe\u0308 Quill", ["3"]),
        ("Zoe Quill", []),
        ("", []),
        (" ", []),
    ],
)
def test_a_name_stands_for_all_who_bear_it(name: str, expected: list[str]) -> None:
    """Case, blanks and the way an accent is typed make no difference; an accent does."""
    assert [setter.setter_id for setter in named(CLASS, name)] == expected


@given(st.text())
def test_a_name_in_another_form_is_the_same_name(name: str) -> None:
    """Folded, composed or taken apart: The Unicode Standard, section 3.13, and annex 15."""
    key = name_key(name)
    assert name_key(key) == key
    for form in ("NFC", "NFD", "NFKC", "NFKD"):
        assert name_key(unicodedata.normalize(form, name)) == key
        assert name_key(unicodedata.normalize(form, name.casefold())) == key


def test_a_setter_has_a_name_and_no_field_that_nobody_reads() -> None:
    """An empty name and a misspelt field are faults of the program."""
    for wrong in ({"name": ""}, {"name": "Ottoline", "grupo": "Tuesday"}):
        with pytest.raises(ValidationError):
            Setter(**wrong)
