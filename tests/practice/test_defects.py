"""The table of defects: complete, each with a key and sign of its own, and room for more."""

import itertools

import pytest

from platebook.practice.defects import (
    GOOD,
    MISSED,
    MOST_COMMENTS,
    Defect,
    comment_of,
    comments_on,
    defects,
    looks_of,
    stock_comments,
    verdicts,
)
from platebook.practice.reading.field_values import spelling
from platebook.practice.results import COMPUTED, DEFECTS, RESULT_KEYS, fails
from platebook.practice.text import clean


def test_every_word_has_a_sign_and_a_key_of_its_own() -> None:
    """One character each; only missed and what is computed have no key."""
    signs = [verdict.sign for verdict in verdicts().values()]
    keys = [verdict.key for verdict in verdicts().values() if verdict.key]
    assert sorted(signs) == sorted(set(signs))
    assert sorted(keys) == sorted(set(keys))
    assert {len(sign) for sign in (*signs, *keys)} == {1}
    keyless = {name for name, verdict in verdicts().items() if not verdict.key}
    assert keyless == {"missed", *COMPUTED}


def test_letters_come_after_the_digits() -> None:
    """The first nine defects have the number pad; a letter is a small one."""
    assert list(RESULT_KEYS)[:10] == list("0123456789")
    assert all(key.isdigit() or key.islower() for key in RESULT_KEYS)


def test_no_two_words_are_typed_alike() -> None:
    """Neither a name nor another spelling of it stands for two results."""
    typed = [
        spelling(word)
        for verdict in verdicts().values()
        for word in (verdict.name, verdict.key, *verdict.aliases)
        if word
    ]
    assert sorted(typed) == sorted(set(typed))


@pytest.mark.parametrize("defect", defects().values(), ids=lambda defect: defect.name)
def test_every_defect_says_what_is_asked_of_it(defect: Defect) -> None:
    """A remedy and whether it can be saved, a comment, its skills, and the test to make."""
    assert defect.name == clean(defect.name)
    assert ";" not in defect.name
    assert defect.saved in {"yes", "sometimes", "no"}
    assert defect.fails in {"slight", "clear", "enclosed"}
    assert all((defect.do, defect.why, defect.comments, defect.speaks_against))
    if not defect.computed:
        assert defect.check
        assert list(defect.looks) == ["1", "2", "3"]


def test_a_low_stone_cannot_be_saved() -> None:
    """Metal that is cut away does not come back (common practice)."""
    assert defects()["low"].saved == "no"


def test_what_a_severity_looks_like_is_told_by_its_digit() -> None:
    """The table's words; nothing for good and for a word it does not know."""
    assert looks_of("tilted")["2"] == "3-6 degrees, seen unaided"
    assert (looks_of("good"), looks_of("bent")) == ({}, {})


def test_from_where_on_a_defect_fails_stands_in_the_table() -> None:
    """Loose at any severity, a point out only where the grade wants it enclosed."""
    table = {
        (defect, severity, enclosed): fails(defect, severity, enclosed=enclosed)
        for defect, severity, enclosed in itertools.product(
            ("loose", "high", "culet out", "bent"), (1, 2), (False, True)
        )
    }
    assert {key for key, failed in table.items() if failed} == {
        *itertools.product(("loose",), (1, 2), (False, True)),
        *itertools.product(("high", "bent"), (2,), (False, True)),
        ("culet out", 2, True),
    }
    assert not fails("loose", None)


def test_what_is_seen_and_what_is_computed_are_all_defects() -> None:
    """No defect is both, and none is neither."""
    assert sorted((*DEFECTS, *COMPUTED)) == sorted(defects())


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
    assert len(comments_on(DEFECTS)) == MOST_COMMENTS
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
    assert comment_of(("tilted",), "9" * 5000)[0] is None
