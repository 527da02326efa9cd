"""Cleaning what people typed."""

import shutil
import subprocess
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.practice.text import as_text, clean, folded, in_a_command, json_in, number_text


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  a note ", "a note"),
        ("a\x1b[31mb", "a[31mb"),
        ("\x1b]0;title\x07x", "]0;titlex"),
        ("a\x9bb\x00c", "abc"),
        ("a\u202eb\u2066c\u200fd", "abcd"),
        ("a\ufeff\u200bb", "ab"),
        ("a\ud800b", "ab"),
        ("a\ue000b\U0010fffdc\uffffd", "abcd"),
        ("e\u0301", "\u00e9"),
        ("a\tb\nc\r\nd", "a b c d"),
        ("[red]x[/] =1+1", "[red]x[/] =1+1"),
        ("\U0001f469\u200d\U0001f3a8 \u2764\ufe0f", "\U0001f469\u200d\U0001f3a8 \u2764\ufe0f"),
    ],
)
def test_unsafe_characters_go_and_words_stay(typed: str, kept: str) -> None:
    """Escapes, overrides and halves of pairs are dropped; emoji, accents and markup are kept."""
    assert clean(typed) == kept


def test_a_note_keeps_its_lines() -> None:
    """Line breaks of every kind become one newline."""
    assert clean("a\r\nb\rc\u2028d\n\ne", multiline=True) == "a\nb\nc\nd\n\ne"


@given(st.text(), st.booleans())
def test_cleaning_twice_changes_nothing_more(typed: str, multiline: bool) -> None:  # noqa: FBT001 - Hypothesis hands it over by position
    """The result is safe, normal and its own clean form."""
    once = clean(typed, multiline=multiline)
    assert clean(once, multiline=multiline) == once
    assert unicodedata.is_normalized("NFC", once)
    assert all(unicodedata.category(c) not in {"Cc", "Cs", "Co"} or c == "\n" for c in once)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_written_exactly_and_without_exponent(value: float) -> None:
    """The text of any finite number reads back as that number."""
    text = number_text(value)
    assert float(text) == value
    assert "e" not in text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (3, "3"),
        (3.0, "3"),
        (1.98, "1.98"),
        (1e-7, "0.0000001"),
        ("as it is", "as it is"),
        (["loose", "tilted"], "loose;tilted"),
        ([["loose"], "tilted"], None),
        ((2, 1), "2;1"),
        ({}, None),
        ([{}], None),
    ],
)
def test_plain_values_have_a_text(value: object, text: str | None) -> None:
    """Values as JSON gives them stand for a text; a mapping does not."""
    assert as_text(value) == text


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Bore Gauge", "bore  gauge"),
        ("bore gauge", "boregauge"),
        ("GRÜNE Lehre", "gru\u0308ne lehre"),
        ("micrómetro", "MICROMETRO"),
        ("ﬁne rule", "fine rule"),
    ],
)
def test_spellings_of_one_tool_fold_to_the_same(one: str, other: str) -> None:
    """Case, accents, form and blanks aside."""
    assert folded(one) == folded(other)


@given(st.text())
def test_folding_is_settled_and_keeps_what_is_nothing_but_marks(text: str) -> None:
    """Folding twice changes nothing more, and no word folds to nothing."""
    assert folded(folded(text)) == folded(text)
    assert bool(folded(text)) == bool(text.strip())


@pytest.mark.parametrize("text", ["", "{", "[" * 10**5, "9" * 5000, b"\xff", '{"a": NaN}'])
def test_a_text_that_is_no_json_is_one_kind_of_fault(text: str | bytes) -> None:
    """Cut off, too deep to follow, of endless digits, no UTF-8, no number: all the same kind."""
    with pytest.raises(ValueError, match=r"[a-z]{3}"):
        json_in(text, finite=True)


def test_a_text_that_is_json_is_read_from_bytes_too() -> None:
    """With or without the mark of UTF-8."""
    assert json_in(b'\xef\xbb\xbf[1, "a"]') == json_in('[1, "a"]') == [1, "a"]


@pytest.mark.skipif(shutil.which("sh") is None, reason="needs a shell")
@pytest.mark.parametrize(
    "name",
    ["Ada Quill", "O'Neil", 'Bo "Six"', "Bo; touch made", "Bo $(touch made) `id` $HOME", "a\\b!"],
)
def test_a_name_in_a_command_is_one_word_to_a_shell(name: str, tmp_path: Path) -> None:
    """Whoever made it up: a line that the program shows is copied and run."""
    command = f"printf %s {in_a_command(name)}"
    said = subprocess.run(["sh", "-c", command], cwd=tmp_path, capture_output=True, check=True)
    assert (said.stdout.decode(), list(tmp_path.iterdir())) == (name, [])


def test_a_plain_name_in_a_command_is_easy_to_read() -> None:
    """In the quotes that every system's shell knows."""
    assert in_a_command("Zoë O'Neil-Vane") == '"Zoë O\'Neil-Vane"'
