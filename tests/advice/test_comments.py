"""Stock comments: some for every result, short, and picked by a digit."""

import pytest

from platebook.advice.inspection_queue import MOST, comment_of, comments_on, stock_comments
from platebook.practice.defects import GOOD, MISSED
from platebook.practice.results import COMPUTED, DEFECTS

LONGEST = 60
"""Characters that stay in one line of 80 beside a key and a name."""


def test_every_result_has_its_comments_and_nothing_else_has() -> None:
    """All that a look can say, each with at least one."""
    assert set(stock_comments()) == {GOOD, *DEFECTS, *COMPUTED, MISSED}


@pytest.mark.parametrize("result", list(stock_comments()))
def test_comments_are_short_and_each_is_said_of_one_result(result: str) -> None:
    """A sentence that ends with a full stop; none stands twice."""
    mine = stock_comments()[result]
    everything = [c for comments in stock_comments().values() for c in comments]
    assert all(len(c) <= LONGEST and c.endswith(".") and c == c.strip() for c in mine)
    assert all(everything.count(c) == 1 for c in mine)


def test_of_several_defects_the_first_ones_comments_come_first() -> None:
    """As many as there are keys."""
    both = comments_on(("tilted", "gap"))
    assert both == (*comments_on(("tilted",)), *comments_on(("gap",)))
    assert len(comments_on(DEFECTS)) == MOST
    assert comments_on(("unheard of",)) == ()


def test_a_digit_is_a_comment_and_words_are_themselves() -> None:
    """A digit without a comment is told what there is."""
    assert comment_of(("tilted",), "1") == (comments_on(("tilted",))[0], "")
    assert comment_of(("tilted",), " Nail first, 2 times ") == ("Nail first, 2 times", "")
    assert comment_of(("good",), "") == ("", "")
    meant, expected = comment_of(("tilted",), "7")
    assert meant is None
    assert expected.startswith("a comment in words, or one of: 1 Level it before the first stroke.")
    assert comment_of((), "1") == (None, "a comment in words")
