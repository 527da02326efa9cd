"""The ways into an attempt: which digits begin it, and which keys stand for the others."""

import pytest
from tests.tui.bench import FIT, PIN, a_view, an_empty_view

from platebook.services.now.now_view import NowView
from platebook.tui.now.start_keys import (
    digit_hint,
    foot_with_digits,
    means_something,
    reading_by_digit,
)


@pytest.mark.parametrize(
    "view",
    [
        a_view(readings_asked=False),
        a_view(readings=()),
        a_view(readings=(PIN,)),
        an_empty_view(),
        None,
    ],
)
def test_no_digit_begins_where_it_would_not_answer(view: NowView | None) -> None:
    """Nothing asked, a size asked first, no set-up yet, or no view."""
    assert reading_by_digit(view) is None
    assert not means_something(view, "3")
    assert foot_with_digits("now", view)[1].keys == ("g",)


def test_a_digit_is_an_answer_to_the_first_reading() -> None:
    """As far as the reading has a value for it."""
    view = a_view()
    assert reading_by_digit(view) == FIT
    assert [key for key in "0123456789" if means_something(view, key)] == list("12345")
    hint = digit_hint(view)
    assert hint is not None
    assert hint.plain == "1-5 starts it with the fit:  1  will not enter …  5  drops in and moves"


def test_the_key_line_shows_the_digits_in_place_of_a_good_one() -> None:
    """The rest of the line stays as it is."""
    commands = foot_with_digits("now", a_view())
    assert (commands[1].keys, commands[1].label) == (("1-5",), "fit")
    assert "good" not in [command.action for command in commands[2:]]
