"""Setters and their names: who a name may stand for."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from platebook.practice.setter import Setter, name_key, named

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
