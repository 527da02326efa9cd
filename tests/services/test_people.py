"""The one setter meant, or a clear no."""

import pytest

from platebook.practice.records import Setter
from platebook.services.session import Refused, find_setter, same_name

ADA = Setter(setter_id="a", name="Ada Quill")
BRAM = Setter(setter_id="b", name="Bram Osk")
OTHER_BRAM = Setter(setter_id="c", name="bram  osk", group="Tuesdays")


@pytest.mark.parametrize("wanted", ["a", "Ada Quill", " ada  QUILL "])
def test_an_id_or_a_name_in_any_spelling_finds_the_setter(wanted: str) -> None:
    """Case and blanks do not matter in a name."""
    assert find_setter((BRAM, ADA), wanted) == ADA


def test_an_id_goes_before_a_name() -> None:
    """Somebody whose name is another's id hides nobody."""
    assert find_setter((Setter(setter_id="z", name="a"), ADA), "a") == ADA


def test_with_nobody_there_the_sentence_says_so() -> None:
    """An empty logbook has no names to list."""
    with pytest.raises(Refused, match="read 'Ada', expected one of: nobody yet"):
        find_setter((), "Ada")


def test_a_shared_name_is_refused_with_all_who_bear_it() -> None:
    """None is chosen."""
    with pytest.raises(Refused) as refused:
        find_setter((ADA, BRAM, OTHER_BRAM), "Bram Osk")
    assert refused.value.sentence == (
        "setter: read 'Bram Osk', which is Bram Osk (b); bram  osk of Tuesdays (c). "
        "Say which by id."
    )
    assert same_name((ADA,)) == "Ada Quill (a)"
