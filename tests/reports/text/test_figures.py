"""Numbers, columns, and the words and signs of findings and grades, as people read them."""

from collections.abc import Mapping
from typing import Any, get_args

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from platebook.analysis.findings.telling.results import Status
from platebook.analysis.grades.states import TO_BE_PASSED, State
from platebook.reports.text.figures import (
    FINDINGS,
    GRADES,
    OUTCOMES,
    RETIRED,
    Sign,
    good_of_line,
    in_columns,
    millimetres,
)
from platebook.trade.phrases import count_of, several
from platebook.tui.log.table import LOOK_SIGNS
from platebook.tui.parts.signs import VERDICT_SIGNS

MOST = (11, 26, 8, 29)
WORDS = st.text(st.characters(exclude_categories=("C", "M", "Z"))).filter(str.strip)

LONE_TONE = "\N{EMOJI MODIFIER FITZPATRICK TYPE-3}"
"""A skin tone with nothing before it to colour: a terminal gives it no cell of its own."""


def test_columns_are_as_wide_as_they_need() -> None:
    """Two blanks between, nothing behind the last word."""
    rows = [("bur", "1.9 mm hart bur", "1.9 mm", "7 seats"), ("pin", "my pin", "", "")]
    assert in_columns(rows, MOST) == (
        "bur  1.9 mm hart bur  1.9 mm  7 seats",
        "pin  my pin",
    )


def test_a_long_cell_is_folded_in_its_own_column() -> None:
    """At its blanks; a word that is wider than the column is cut, and nothing is lost."""
    name = "the caliper from the left drawer of the long bench"
    rows = [("measuring", name, "", "caliper, never checked"), ("bur", "x" * 30, "1.9 mm", "")]
    assert in_columns(rows, MOST) == (
        "measuring  the caliper from the left           caliper, never checked",
        "           drawer of the long bench",
        f"bur        {'x' * 26}  1.9 mm",
        f"           {'x' * 4}",
    )


def test_wide_letters_count_as_the_two_cells_they_take() -> None:
    """So columns stay straight under each other in a terminal."""
    first, second = in_columns([("寸", "a"), ("mm", "b")], (4, 4))
    assert (first, second) == ("寸  a", "mm  b")


@pytest.mark.parametrize("rows", [[], [("", "", "", "")]])
def test_nothing_is_nothing(rows: list[tuple[str, ...]]) -> None:
    """No row gives no line, an empty one an empty line."""
    assert in_columns(rows, MOST) == ("",) * len(rows)


@example([(LONE_TONE, "", "", "")])
@example([("", f"{LONE_TONE} {LONE_TONE}", "a", "")])
@example([(LONE_TONE + "寸" * 30, "b", "", "")])
@given(st.lists(st.tuples(*[st.lists(WORDS, max_size=4).map(" ".join)] * 4), max_size=4))
def test_no_line_is_wider_than_its_columns_and_no_letter_is_lost(
    rows: list[tuple[str, ...]],
) -> None:
    """80 cells, whatever was typed."""
    lines = in_columns(rows, MOST)
    assert max((cell_len(line) for line in lines), default=0) <= sum(MOST) + 6
    letters = sorted("".join("".join(lines).split()))
    assert letters == sorted("".join("".join(cell for row in rows for cell in row).split()))


@pytest.mark.parametrize(
    ("length_mm", "text"),
    [(1.98, "1.98"), (2.0, "2.00"), (0.812, "0.812"), (0.81249, "0.812"), (None, "-")],
)
def test_a_length_has_two_decimals_at_least_and_three_at_most(
    length_mm: float | None, text: str
) -> None:
    """To the micrometre, as the record keeps it."""
    assert millimetres(length_mm) == text


def test_counts_have_their_share_with_its_band() -> None:
    """15 of 148 with its Wilson interval, 0.0624 to 0.1605: Newcombe, Stat Med 1998;17:857."""
    assert good_of_line(15, 148) == "15 of 148 good, 10 in 100 (may be 6 to 16)"
    assert good_of_line(0, 0) == "0 of 0 good"


def test_a_noun_goes_with_its_number() -> None:
    """One is one; a noun may have a plural of its own."""
    assert [count_of(n, "attempt") for n in (0, 1, 2)] == ["0 attempts", "1 attempt", "2 attempts"]
    assert count_of(2, "try", "tries") == "2 tries"


def test_words_are_joined_as_a_sentence_has_them() -> None:
    """None, one, two and three of them."""
    assert several(()) == ""
    assert several(("high",)) == "high"
    assert several(["high", "low"]) == "high and low"
    assert several(("loose", "high", "low")) == "loose, high and low"


@pytest.mark.parametrize(("kinds", "signs"), [(Status, FINDINGS), (State, GRADES)])
def test_each_has_words_and_signs_of_its_own(kinds: Any, signs: Mapping[str, Sign]) -> None:
    """Colour is never the only sign, in plain text as on a screen."""
    assert signs.keys() == set(get_args(kinds))
    for told in ("words", "plain", "drawn"):
        assert len({getattr(sign, told) for sign in signs.values()}) == len(signs)


def test_no_sign_of_a_screen_means_two_things() -> None:
    """Only what nothing is known of shares one: not judged, and still ahead."""
    known = [*FINDINGS.values(), RETIRED, *OUTCOMES.values(), *GRADES.values()]
    signs = [*(sign.drawn for sign in known), *VERDICT_SIGNS.values(), *LOOK_SIGNS.values()]
    assert {sign for sign in signs if signs.count(sign) > 1 and sign.strip()} == {"·"}


def test_what_is_to_be_passed_are_states_of_a_grade() -> None:
    """None is misspelt, and a state is told by its name; the one worked at is "now"."""
    assert GRADES.keys() >= TO_BE_PASSED
    told = {state: sign.words for state, sign in GRADES.items()}
    assert told == {state: state for state in GRADES} | {"practised": "now"}
