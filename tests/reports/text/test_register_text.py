"""The register in signs and words: months above, counts behind, never wider than its width."""

from datetime import date, timedelta

from rich.cells import cell_len

from platebook.analysis.classes.register import Enrolled, Register, register_of
from platebook.reports.text.register_text import (
    APART,
    LEGEND,
    NO_EVENINGS,
    missing_names,
    months_above,
    newest_words,
    register_lines,
    signs_in_words,
)

FIRST = date(2026, 1, 8)
WEEKS = tuple(FIRST + timedelta(weeks=number) for number in range(12))


def _lines(called: str, register: Register, width: int) -> tuple[str, ...]:
    return tuple(line.text for line in register_lines(called, register, width))


def somebody(name: str, *missed: int, joined: int = 0, left: int | None = None) -> Enrolled:
    """Who came to all of the twelve evenings but these."""
    days = frozenset(day for number, day in enumerate(WEEKS) if number not in missed)
    stay = (WEEKS[joined], None if left is None else WEEKS[left])
    return Enrolled(name, name, (stay,), days)


def test_a_line_a_person_with_a_sign_an_evening() -> None:
    """Joined later: blanks; missing: for how many weeks; gone: apart."""
    people = (
        somebody("Ada Quill", 3),
        somebody("Bram Osk", 9, 10, 11),
        somebody("Cleo Vane", joined=6),
        somebody("Dora Lin", left=1),
    )
    assert _lines("Thursday", register_of(people), 80) == (
        "Thursday: 12 evenings, 8 January to 26 March 2026.",
        "           Jan     Feb     Mar",
        "Ada Quill  o o o . o o o o o o o o  11 of 12 evenings",
        "Bram Osk   o o o o o o o o o . . .  9 of 12 evenings   not seen for 3 weeks",
        "Cleo Vane              o o o o o o  6 of 6 evenings",
        "",
        APART,
        "Dora Lin   o o                      2 of 2 evenings    left",
        "",
        LEGEND,
    )


def test_the_newest_evening_and_who_is_missing_are_said_first() -> None:
    """Of those in the class that evening; a week missed is no word yet; nothing logged says so."""
    people = (
        somebody("Ada Quill", 11),
        somebody("Bram Osk", 9, 10, 11),
        somebody("Cleo Vane", joined=6),
        somebody("Dora Lin", left=1),
    )
    register = register_of(people)
    assert newest_words("Thursday", register) == "Thursday: 1 of 3 came on 26 March 2026"
    assert missing_names(register) == "Bram Osk not seen for 3 weeks"
    assert newest_words("Thursday", register_of(())) == "Thursday: nobody is in it yet"
    idle = register_of([Enrolled("a", "Ada Quill", ((None, None),), frozenset())])
    assert newest_words("Thursday", idle) == "Thursday: nobody has logged anything yet"


def test_one_evening_missed_is_no_word_yet() -> None:
    """The sign shows it; who never came is told at once."""
    people = (somebody("Ada"), somebody("Bram", 11), somebody("Cleo", *range(12)))
    _, _, _, bram, cleo, *_ = _lines("Thursday", register_of(people), 80)
    assert bram == "Bram  o o o o o o o o o o o .  11 of 12 evenings"
    assert cleo == "Cleo  . . . . . . . . . . . .  0 of 12 evenings   never seen"


def test_of_many_evenings_the_newest_stand_and_all_are_counted() -> None:
    """No line is wider than asked for, and no name is cut."""
    days = frozenset(FIRST + timedelta(days=number) for number in range(200))
    long = "Wilhelmina Featherstonehaugh-Cholmondeley"
    people = (Enrolled("a", long, ((None, None),), days), Enrolled("b", "諏訪 花子", (), days))
    lines = _lines("Everyone", register_of(people), 80)
    assert max(cell_len(line) for line in lines) <= 80
    assert lines[0].startswith("Everyone: 200 evenings, the last ")
    assert long in lines
    assert any(line.endswith("200 of 200 evenings") for line in lines)


def test_a_class_that_has_logged_nothing_says_so() -> None:
    """Instead of an empty table."""
    lines = _lines("Thursday", register_of([Enrolled("a", "Ada", (), frozenset())]), 80)
    assert lines == ("Thursday: 1 person.", NO_EVENINGS)
    assert _lines("Thursday", register_of([]), 80) == ("Thursday: nobody is in it yet.",)
    once = register_of([Enrolled("a", "Ada", ((None, None),), frozenset({FIRST}))])
    assert _lines("Thursday", once, 80)[0] == "Thursday: 1 evening, 8 January 2026."


def test_a_month_without_room_is_left_out() -> None:
    """One evening in January, then February: the names would run into each other."""
    assert months_above((date(2026, 1, 29), date(2026, 2, 5), date(2026, 3, 5))) == "Jan"
    weeks = tuple(date(2026, 1, 1) + timedelta(weeks=number) for number in range(10))
    assert months_above(weeks) == "Jan  Feb Mar"
    assert months_above(weeks, each=2) == "Jan       Feb     Mar"


def test_signs_stand_close_where_they_would_not_fit_apart() -> None:
    """Twelve evenings in 60 cells stand apart, in 50 close to each other."""
    register = register_of([somebody("Ada Quill")])
    assert " o o o o " in _lines("Thursday", register, 60)[2]
    assert "Ada Quill  oooooooooooo  12" in _lines("Thursday", register, 50)[2]


def test_the_signs_in_words_are_for_who_hears_them() -> None:
    """Which evenings were missed, and how many were before joining or after leaving."""
    days = WEEKS[:4]
    assert signs_in_words(days, ("came", "missed", "missed", None)) == (
        "missed 15 January, 22 January; not in the class on 1 evening"
    )
    assert signs_in_words(days, (None, None, "came", "came")) == (
        "came each time; not in the class on 2 evenings"
    )
    assert signs_in_words(days, (None,) * 4) == "not in the class on 4 evenings"
