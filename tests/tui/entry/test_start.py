"""How an entry begins: from the next exercise, or from an attempt of the logbook."""

import pytest
from tests.tui.bench import SET_UP as CARRIED
from tests.tui.bench import an_empty_view
from tests.tui.entries import BEGAN, at_the_seat, started, typed

from platebook.tui.entry.entry import FINISH, MORE, RESULT, SET_UP, changes_of, row_of
from platebook.tui.entry.moves import go_on, press
from platebook.tui.entry.start import entry_for, entry_from
from platebook.values import replace


def test_nothing_asked_starts_at_the_result() -> None:
    """An attempt without readings is judged at once."""
    entry = started(readings_asked=False)
    assert entry.stop == RESULT
    assert row_of(typed(entry, "0"))["readings_asked"] == "no"


def test_set_up_is_carried_over_and_marked_until_changed() -> None:
    """A carried value goes into the row; once answered it is no longer carried."""
    entry = started()
    assert entry.carried("lubricant")
    assert row_of(entry)["lubricant"] == "wax"
    place = entry.lists[SET_UP].index("lubricant")
    opened = replace(entry, stop=SET_UP)
    opened = typed(opened, "0" * (place // 9) + str(place % 9 + 1))
    assert opened.stop == "lubricant"
    same = press(opened, "2")
    assert (same.value("lubricant"), same.carried("lubricant")) == ("wax", True)
    oiled = press(opened, "3")
    assert (oiled.value("lubricant"), oiled.carried("lubricant")) == ("oil", False)


def test_the_first_attempt_opens_on_the_set_up() -> None:
    """With nothing carried over there is something to note first; Enter goes on."""
    entry = entry_for(an_empty_view(), attempt_id="a1", began=BEGAN)
    assert entry.stop == SET_UP
    assert go_on(entry).stop == RESULT


def test_correcting_sends_only_what_changed() -> None:
    """An amended attempt gives the changed fields, and "" for what was taken out."""
    values = {**CARRIED, "kind": "whole", "fit": "drops in", "result": "tilted", "severity": "2"}
    entry = entry_from("a1", values)
    assert (entry.stop, changes_of(entry)) == (FINISH, {})
    entry = typed(entry, "7")
    entry = typed(replace(entry, stop="fit"), "~")
    entry = typed(replace(entry, stop=FINISH), "00")
    assert changes_of(entry) == {"fit": "", "result": "good", "severity": ""}


def test_correcting_a_part_offers_the_readings_it_can_have() -> None:
    """And what was read all the same; whatever else can be read stands among "more"."""
    values = {**CARRIED, "kind": "part", "part": "depth", "result": "missed"}
    for read, offered in (
        ({}, ["trial_height", "fit_checks"]),
        ({"ledge": "even"}, ["trial_height", "ledge", "fit_checks"]),
    ):
        entry = entry_from("a1", {**values, **read})
        assert sorted(q.field for q in entry.readings) == sorted(offered)
        assert "fit" in entry.lists[MORE]
    assert len(entry_from("a1", {**CARRIED, "kind": "whole"}).readings) > 3


def test_more_holds_what_no_other_stop_asks() -> None:
    """Every field that a person may fill in has exactly one place in the attempt."""
    entry = started()
    places = [q.field for q in entry.readings] + [*entry.lists[SET_UP], *entry.lists[MORE]]
    assert len(places) == len(set(places))
    assert {"seat_diameter_mm", "levelled_by", "table_height_mm", "pilot_mm"} <= set(places)


def test_what_read_the_last_seat_is_carried_over() -> None:
    """Enter keeps it; without a seat's reading it is not written and nothing was changed."""
    changes = {"seat_tools": ("bore gauge", "pins"), "seat_tool": "pins"}
    assert row_of(typed(at_the_seat(**changes), "1.95>>"))["seat_measured_with"] == "pins"
    assert "seat_measured_with" not in row_of(started(**changes))
    assert not started(**changes).started()
    assert typed(at_the_seat(**changes), ">").stop == MORE


def test_an_empty_drawer_or_a_crowded_one_takes_a_typed_name() -> None:
    """Ten tools are more than digits; the name is matched when it is stored."""
    for tools in ((), tuple(f"gauge {n}" for n in range(10))):
        entry = typed(at_the_seat(seat_tools=tools), "1.95>gauge 7>")
        assert row_of(entry)["seat_measured_with"] == "gauge 7"


@pytest.mark.parametrize(
    ("began", "told"),
    [
        ("2026-11-05T18:50:07.897028+00:00", "5 November 2026 at 18:50"),
        ("2026-11-05", "5 November 2026"),
        ("", "an unknown day"),
    ],
)
def test_correcting_says_which_attempt_by_day_and_minute(began: str, told: str) -> None:
    """As the Log has it; an attempt with a day alone has no time."""
    assert entry_from("a1", {"began": began}).where == f"Correcting the attempt of {told}"


def test_correcting_keeps_what_read_a_seat() -> None:
    """It is not carried over there: it is a part of the record."""
    values = {**CARRIED, "kind": "whole", "result": "good", "seat_measured_with": "pins"}
    assert row_of(entry_from("a1", values))["seat_measured_with"] == "pins"
