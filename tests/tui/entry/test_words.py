"""An entry as words on the screen: what stands, what is asked, what can be answered."""

import re

import pytest
from tests.tui.bench import PIN, some_advice
from tests.tui.entries import started, typed
from textual.content import Content

from platebook.practice.reading.questions import label_of
from platebook.practice.results import slight_words
from platebook.services.attempts.form import SetUpDiffers
from platebook.tui.entry.answers import focus_of
from platebook.tui.entry.entry import FINISH, MORE, RESULT, SET_UP
from platebook.tui.entry.moves import as_worked_out, go_on, visit
from platebook.tui.entry.words import enter_again, page, rail, set_up_line
from platebook.values import replace


def test_the_rail_shows_what_stands_and_where_the_next_key_goes() -> None:
    """Each reading in its words with its sign, the stop marked, the result not given yet."""
    entry = typed(started(), "31")
    assert lines_of(rail(entry)) == [
        "  fit          enters     ✓",
        "               tilted and",
        "               snaps",
        "  trial height proud      !",
        "▸ ledge        —",
        "  result       —",
    ]
    assert "  fit          enters tilted and snaps   ✓" in lines_of(rail(entry, 42))


def test_of_a_long_note_the_rail_has_the_beginning() -> None:
    """Three lines of it in whole words; what is left is cut at its end alone."""
    begun = typed(started(), "321")
    note = {"note": "one two three four five six seven eight nine"}
    noted = replace(begun, known={**begun.known, **note})
    assert lines_of(rail(noted))[-3:] == [
        "  note         one two",
        "               three four",
        "               five six…",
    ]


def test_a_long_label_goes_on_in_the_next_line() -> None:
    """Nothing of it is cut off, and its value stands beside its first line."""
    begun = started()
    passes = replace(begun.readings[0], field="burnish_passes", label="burnish passes")
    entry = replace(begun, readings=(passes,))
    assert lines_of(rail(entry))[:2] == ["  burnish      —", "  passes"]


def lines_of(content: Content) -> list[str]:
    """Its lines without the blanks behind them."""
    return [line.rstrip() for line in content.plain.splitlines()]


def test_the_rail_is_short_where_no_readings_are_asked() -> None:
    """Only the result, until one is opened from the finish."""
    entry = started(readings_asked=False)
    assert lines_of(rail(entry)) == ["▸ result       —"]
    assert "fit" in rail(typed(entry, "0" + "7")).plain


def test_a_part_shows_when_it_is_good() -> None:
    """Its two answers say so."""
    part = replace(started(), part=True, criterion="the rim is bright", stop=RESULT)
    assert page(part).plain.splitlines()[:2] == [
        "  0   good       the criterion was met",
        "  1   missed     the criterion was not met",
    ]


def test_what_stands_is_marked_among_the_answers() -> None:
    """And what is wanted says so; Enter keeps what stands."""
    entry = visit(typed(started(), "4"), "fit")
    lines = page(entry).plain.splitlines()
    assert lines[2:4] == ["  3   enters tilted and snaps ✓ wanted", "  4 ● drops in"]
    assert lines[-1] == "A digit answers; Enter keeps it."


def test_enter_keeps_how_bad_a_defect_was_said_to_be() -> None:
    """Clear is taken only where nothing stands yet."""
    asked = typed(started(), "321" + "1")
    assert page(asked).plain.splitlines()[4] == "Enter alone: clear."
    assert enter_again(asked, "how bad").endswith("Enter again notes clear.")
    assert enter_again(started(), "fit").endswith("Enter again leaves it so.")
    said = visit(typed(asked, "1"), asked.stop)
    assert page(said).plain.splitlines()[4] == "Enter keeps it."


def test_a_size_is_asked_as_a_line() -> None:
    """With what to do, and no list of answers."""
    entry = started(readings=(PIN,))
    assert page(entry).plain == "Type it, then Enter. Enter alone leaves it as it stands."


def test_the_finish_offers_the_rest_by_digit() -> None:
    """The result, what was noted of each list, and that Enter saves; or what is missing."""
    entry = typed(started(), "3210")
    lines = page(entry).plain.splitlines()
    assert lines[0] == "  0   result         good"
    assert lines[7] == "  7   readings       3 of 3"
    assert lines[-1] == "Enter saves"
    unjudged = visit(started(), FINISH)
    assert page(unjudged).plain.splitlines()[-1].startswith("Not judged: Enter goes to the result")


def test_a_long_list_turns_its_page() -> None:
    """Nine lines a page, and the digit 0 turns it."""
    entry = visit(started(), MORE)
    turned = typed(entry, "0")
    assert len(page(entry).plain.splitlines()) == 9 + 2
    assert "0 turns the page (1 of" in page(entry).plain
    assert "0 turns the page (2 of" in page(turned).plain


def test_the_set_up_line_says_where_it_is_from() -> None:
    """Carried over, partly so when something was changed, or nothing noted."""
    entry = started()
    assert set_up_line(entry).plain == (
        "set-up, carried over: seat bur hart 1.9 mm · lubricant wax · support pitch"
    )
    changed = go_on(typed(visit(entry, "seat_bur_mm"), "~~~2.0"))
    assert set_up_line(changed).plain.startswith("set-up, partly carried over: ")
    assert set_up_line(started(set_up={})).plain == "set-up: nothing noted yet"


def test_what_is_proposed_is_not_called_carried_over() -> None:
    """In the line, in the list and beside the value."""
    mixed = started(proposed=("stone_material",))
    assert set_up_line(mixed).plain.startswith(
        "set-up, partly carried over, partly proposed: seat bur hart"
    )
    listed = page(visit(mixed, SET_UP)).plain
    assert re.search(r"stone material +cubic zirconia proposed", listed)
    assert re.search(r"stone diameter +1.98 mm carried over", listed)
    alone = started(proposed=tuple(mixed.known))
    assert set_up_line(alone).plain.startswith("set-up, proposed: ")
    assert "proposed" not in page(visit(alone, SET_UP)).plain, "the line above says it once"


def test_a_line_of_the_set_up_has_room_for_where_its_value_comes_from() -> None:
    """No line of a page is wider than the question's part of a window of 80 columns."""
    entry = visit(started(proposed=tuple(started().known)), SET_UP)
    pages = [page(replace(entry, page=n)).plain.splitlines() for n in range(4)]
    assert [row for rows in pages for row in rows[:-1] if len(row) > 47] == []


def test_two_lines_of_the_set_up_have_two_names() -> None:
    """No label stands twice in a list."""
    entry = started()
    for names in entry.lists.values():
        labels = [label_of(name) for name in names]
        assert sorted(set(labels)) == sorted(labels)


def test_how_a_slight_fault_counts_stands_where_it_is_judged() -> None:
    """Beside the results, and where it is asked how bad a fault is."""
    rule = slight_words()
    entry = started(advice=some_advice(slight=rule))
    assert rule in page(visit(entry, RESULT)).plain
    assert rule in page(typed(entry, "3214")).plain


@pytest.mark.parametrize(
    ("name", "size", "told"),
    [
        ("setting 1.90", "1.9", "seat bur setting 1.90 · lubricant"),
        ("setting 1,90, no. 3", "1.90", "seat bur setting 1,90, no. 3 · lubricant"),
        ("setting 1.90", "1.93", "seat bur setting 1.90, 1.93 mm · lubricant"),
        ("no. 3", "1.9", "seat bur no. 3, 1.9 mm · lubricant"),
        ("mine", "", "seat bur mine · lubricant"),
    ],
)
def test_one_bur_is_told_once(name: str, size: str, told: str) -> None:
    """By its name, with its size where the name has another one or none."""
    bur = {"seat_bur": name, "seat_bur_shape": "setting", "seat_bur_mm": size, "lubricant": "wax"}
    entry = started(set_up={key: value for key, value in bur.items() if value})
    assert told in set_up_line(entry).plain


def test_the_help_knows_what_is_asked() -> None:
    """A reading, the result with its digits, a severity with its looks; a list has no question."""
    entry = started()
    reading, result = focus_of(entry), focus_of(visit(entry, RESULT))
    severity = focus_of(typed(entry, "3214"))
    assert reading is not None
    assert result is not None
    assert severity is not None
    assert (reading.field, result.wanted, severity.label) == (
        "fit",
        ("good",),
        "how bad is tilted?",
    )
    assert [key for key, _ in severity.keys] == ["1", "2", "3"]
    assert focus_of(visit(entry, SET_UP)) is None


OTHER_BUR = SetUpDiffers(
    "seat_bur_mm", "seat bur", "1.90", "1.85", {"seat_bur": "", "seat_bur_mm": "1.85"}
)


def test_another_bur_than_the_sheet_says_is_told_until_it_is_taken() -> None:
    """Under the set-up, with the key that takes the sheet's."""
    entry = started(differs=(OTHER_BUR,))
    told = "! The set-up has seat bur 1.90; worked out is 1.85. = takes it."
    assert told in set_up_line(entry).plain
    taken = as_worked_out(entry)
    assert "!" not in set_up_line(taken).plain
    assert (taken.value("seat_bur_mm"), taken.value("seat_bur")) == ("1.85", "")
    assert "set-up, partly carried over" in set_up_line(taken).plain
