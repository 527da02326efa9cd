"""Text on its way to a widget: in its width, and as text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.tui.test_hostile_text import FORBIDDEN, HOSTILE
from textual.content import Content

from platebook.tui.parts.text import fit, held_together, in_initials, line, stack, txt


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.parametrize("width", [0, 1, 2, 5, 60])
def test_fitted_text_has_exactly_its_width(text: str, width: int) -> None:
    """A cut text fills its cells and holds nothing a terminal obeys."""
    assert txt(fit(text, width)).cell_length <= width
    assert FORBIDDEN.isdisjoint(fit(text, width))


def test_a_text_too_long_is_cut_with_an_ellipsis() -> None:
    """A letter of two cells is never cut in half: a blank stands where it does not fit."""
    assert [fit("burnish", width) for width in (9, 7, 5, 1, 0)] == [
        "burnish  ",
        "burnish",
        "burn…",
        "b",
        "",
    ]
    assert fit("銅銅銅", 4) == "銅… "


def test_markup_and_lines_are_plain_text() -> None:
    """What looks like markup is shown as it was typed, on one line."""
    assert line("[b]a[/b]\nb\x1b[2J") == txt("[b]a[/b]\nb\x1b[2J").plain
    assert "\n" not in line("a\nb")
    assert txt("[red]a[/red]", "bold").plain == "[red]a[/red]"


def test_contents_stand_under_each_other() -> None:
    """One line each, with their styles."""
    assert stack(txt("a"), txt("b", "bold")).plain == "a\nb"
    assert stack().plain == ""


@pytest.mark.parametrize(
    ("said", "lines"),
    [
        ("how it goes (38 to 94)", ["how it goes", "(38 to 94)"]),
        ("came out 11 of 17 good", ["came out", "11 of 17 good"]),
        ("all of it 72 in 100", ["all of it", "72 in 100"]),
        ("so many ◐ counts as good", ["so many", "◐ counts as good"]),
        ("a digit:  6  marred", ["a digit:", " 6  marred"]),
        ("a digit:  9  off mark", ["a digit:", " 9  off mark"]),
        ("the last on 26 March", ["the last on", "26 March"]),
        ("support pitch  / changes it", ["support pitch", "/ changes it"]),
        ("plate B, position 12", ["plate B,", "position 12"]),
        ("stones 1.5 mm × 37", ["stones", "1.5 mm × 37"]),
        ("so 1.5 mm in copper", ["so", "1.5 mm in copper"]),
        ("0.06 mm in the sheet", ["0.06 mm in the", "sheet"]),
        ("1.40 mm setting × 51", ["1.40 mm", "setting × 51"]),
        ("short", ["short"]),
        ("aaaaaaaaaaaaaaaaaaaaaa b", ["aaaaaaaaaaaaaaaaaaaaaa", "b"]),
    ],
)
def test_no_line_breaks_within_a_number(said: str, lines: list[str]) -> None:
    """What a number counts and its interval stay beside it; longer words are left as they are."""
    assert held_together(txt(said), 16).plain.splitlines() == lines


@given(st.text(alphabet="ab 1(.)\n"), st.integers(1, 30))
def test_nothing_but_breaks_is_put_in(text: str, width: int) -> None:
    """The same words in the same order, whatever the width."""
    content = Content(text)
    assert held_together(content, width).plain.split() == text.split()


@pytest.mark.parametrize(
    ("name", "width", "shown"),
    [
        ("Maximiliana Abernathy-Thistlewood", 20, "Maximiliana A."),
        ("Ana Maria Lopez Garcia", 18, "Ana Maria Lopez G."),
        ("Ana Maria Lopez Garcia", 15, "Ana Maria L. G."),
        ("Bartholomew Featherstone", 20, "Bartholomew Featherstone"),
        ("Ada Quill", 20, "Ada Quill"),
        ("Wolfeschlegelsteinhausen", 12, "Wolfeschlegelsteinhausen"),
    ],
)
def test_a_long_name_ends_in_initials(name: str, width: int, shown: str) -> None:
    """As many as make it fit; whole where two would read the same, or nothing helps."""
    others = ["Bartholomew Featherstone", "Bartholomew Fitz", "Ada Quill"]
    assert in_initials(name, width, [*others, name]) == shown
