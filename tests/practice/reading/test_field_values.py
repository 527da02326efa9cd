"""Single values by the type of their field."""

import pytest

from platebook.practice.fields import choices, fields
from platebook.practice.reading.field_values import bounds, read_choice, read_field


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("fit", "3", "enters tilted and snaps"),
        ("fit", "Drops In", "drops in"),
        ("fit", "snaps", "enters tilted and snaps"),
        ("fit", "tight", "enters with a firm push"),
        ("fit_checks", "0", "0"),
        ("fit_checks", "none", "0"),
        ("fit_checks", "1", "1-2"),
        ("fit_checks", "4", "3-5"),
        ("fit_checks", "3\N{EN DASH}5", "3-5"),
        ("fit_checks", "12", "6+"),
        ("fit_checks", "6+", "6+"),
        ("burnish_passes", "2", "2"),
        ("burnish_passes", "9", "3+"),
        ("stone_material", "CZ", "cubic zirconia"),
        ("stone_material", "ruby", "sapphire"),
        ("metal", "925", "sterling silver"),
        ("metal", " Sterling  Silver ", "sterling silver"),
        ("metal_state", "annealed", "annealed today"),
        ("lubricant", "dry", "none"),
        ("first_seen", "fit  check", "fit check"),
        ("part", "cleanup", "clean-up"),
    ],
)
def test_a_choice_by_its_own_or_another_spelling(field: str, typed: str, value: str) -> None:
    """Case, blanks, other names and counts all lead to the one listed value."""
    assert read_field(field, typed) == (value, "")


def test_every_listed_value_and_spelling_is_read() -> None:
    """No spelling of the contract leads to two values of one field."""
    for field, listed in choices().items():
        for choice in listed:
            for typed in (choice.value, *choice.aliases):
                assert read_choice(typed.upper(), listed) == (choice.value, ""), (field, typed)


def test_a_value_outside_the_list_is_kept_and_told() -> None:
    """The text stays as typed and the list stands beside it."""
    value, expected = read_field("lubricant", "Bienenwachs")
    assert value == "Bienenwachs"
    assert expected == "one of: none, wax, oil"


@pytest.mark.parametrize("typed", ["yes", "Y", "TRUE", "1", "true"])
def test_yes(typed: str) -> None:
    """Words and digits for yes."""
    assert read_field("hand_cut", typed) == (True, "")


@pytest.mark.parametrize("typed", ["no", "N", "False", "0"])
def test_no(typed: str) -> None:
    """Words and digits for no: zero is an answer, not a blank."""
    assert read_field("hand_cut", typed) == (False, "")


@pytest.mark.parametrize("typed", ["", "  ", "-", "\N{EM DASH}", "N/A"])
@pytest.mark.parametrize("field", ["stone_diameter_mm", "layers", "fit", "hand_cut", "minutes"])
def test_a_blank_is_none(field: str, typed: str) -> None:
    """Nothing written, or a dash, is an empty field."""
    assert read_field(field, typed) == (None, "")


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("minutes", "12", 12.0),
        ("minutes", "12,5 min", 12.5),
        ("minutes", "0", 0.0),
        ("layers", "2", 2),
        ("layers", "2.0", 2),
        ("hammer_g", "50 g", 50.0),
        ("magnification", "x10", 10.0),
        ("magnification", "10x", 10.0),
        ("spindle_tilt_deg", "3\N{DEGREE SIGN}", 3.0),
        ("spindle_rpm", "4000 rpm", 4000.0),
        ("table_height_mm", "-0,03", -0.03),
        ("table_height_mm", "0", 0.0),
        ("clock", "4 o'clock", 4),
        ("clock", "12", 12),
        ("sheet_mm", "20 ga", 0.812),
        ("pilot_mm", "#70", 0.711),
    ],
)
def test_numbers_with_their_units(field: str, typed: str, value: float) -> None:
    """Decimal commas and the unit that belongs to the field are read."""
    assert read_field(field, typed) == (value, "")


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("stone_diameter_mm", "40", "0.5 to 12 mm"),
        ("stone_diameter_mm", "0.078", "did you mean inches? 0.078 in is 1.981 mm"),
        ("sheet_mm", ".032", "did you mean inches? 0.032 in is 0.813 mm"),
        ("seat_bur_mm", "two", "a length above zero"),
        ("clock", "13", "1 to 12"),
        ("clock", "0", "1 to 12"),
        ("layers", "1.5", "a whole number"),
        ("minutes", "-3", "0 to 1440"),
        ("minutes", "1e3", "a number such as"),
        ("minutes", "inf", "a number such as"),
        ("minutes", "nan", "a number such as"),
        ("table_height_mm", "high", "a height such as"),
        ("block_run", "9", "1 to 8"),
        ("hand_cut", "maybe", "yes or no"),
        ("attempt_id", "7", "UUID version 7"),
        ("attempt_id", "3f333df6-90a4-4fda-8dd3-9485d27cee36", "UUID version 7"),
        ("setter", "x" * 201, "at most 200 characters"),
        ("note", "x" * 10_001, "at most 10000 characters"),
    ],
)
def test_what_cannot_be_read_says_what_was_expected(field: str, typed: str, says: str) -> None:
    """A refusal has no value and a sentence."""
    value, expected = read_field(field, typed)
    assert value is None
    assert says in expected


def test_an_id_is_written_one_way() -> None:
    """RFC 9562, appendix A.6 gives this example of a version 7 UUID."""
    typed = "{017F22E2-79B0-7CC3-98C4-DC0C0C07398F}"
    assert read_field("attempt_id", typed) == ("017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "")


def test_every_number_has_limits() -> None:
    """Each length, number and whole number of the record can be seen to be mistyped."""
    numbers = {f.name for f in fields().values() if f.type in {"length", "number", "integer"}}
    assert set(bounds()) == numbers


def test_a_dash_in_a_text_is_a_text() -> None:
    """A position called "-" is kept; only typed fields take a dash for a blank."""
    assert read_field("position", "-") == ("-", "")
