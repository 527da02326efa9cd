"""How a key moves an entry: keys needed, order of stops, nothing lost on the way back."""

from hypothesis import given
from tests.tui.bench import PIN, an_empty_view
from tests.tui.entries import BEGAN, KEYS, at_the_seat, started, typed

from platebook.tui.entry.entry import (
    FINISH,
    MORE,
    RESULT,
    result_text,
    row_of,
)
from platebook.tui.entry.moves import back, go_on, press
from platebook.tui.entry.start import entry_for


def test_readings_come_before_the_result() -> None:
    """Where readings are asked, they are the first stops."""
    entry = started()
    stops = [entry.stop]
    for key in "321":
        entry = press(entry, key)
        stops.append(entry.stop)
    assert stops == ["fit", "trial_height", "ledge", RESULT]


def test_good_with_three_readings_takes_four_digits() -> None:
    """Fit, trial height, ledge and result, one digit each, stand at the finish."""
    entry = typed(started(), "3210")
    assert entry.stop == FINISH
    row = row_of(entry)
    assert (row["fit"], row["trial_height"], row["ledge"], row["result"]) == (
        "enters tilted and snaps",
        "flush",
        "even",
        "good",
    )


def test_a_failure_takes_result_severity_and_first_seen() -> None:
    """A clear tilt seen at levelling is three digits after the readings."""
    entry = typed(started(), "321" + "427")
    assert entry.stop == FINISH
    row = row_of(entry)
    assert (row["result"], row["severity"], row["first_seen"]) == ("tilted", "2", "levelling")


def test_a_slight_remark_does_not_ask_when_it_was_seen() -> None:
    """Severity 1 is a remark, not a failure."""
    assert typed(started(), "321" + "41").stop == FINISH


def test_loose_is_a_failure_at_any_severity() -> None:
    """Even a slight loose asks when it was first seen."""
    assert typed(started(), "321" + "11").stop == "first_seen"


def test_several_defects_each_have_their_severity() -> None:
    """Plus goes back for another defect; severities stand in the order of the defects."""
    entry = typed(started(readings_asked=False), "43>+82")
    row = row_of(entry)
    assert (row["result"], row["severity"]) == ("tilted;gap", "3;2")
    assert result_text(entry) == "tilted, setting lost + gap, clearly"


def test_enter_at_a_severity_leaves_it_to_the_house() -> None:
    """A severity not given beside one that is given counts as clear; alone it is not written."""
    assert "severity" not in row_of(typed(started(readings_asked=False), "4>"))
    assert row_of(typed(started(readings_asked=False), "43>+8>"))["severity"] == "3;2"


def test_a_verdict_given_anew_takes_the_place_of_the_first() -> None:
    """Back from a wrong digit, or from the finish by 0; only plus adds a defect."""
    entry = typed(started(readings_asked=False), "4<1")
    assert entry.defects == (("loose", ""),)
    entry = typed(entry, "2" + "4" + "0" + "2" + "1")
    assert (entry.stop, result_text(entry)) == (FINISH, "high, slight")
    assert result_text(typed(entry, "0" + "2" + ">")) == "high, slight"


def test_good_takes_the_place_of_defects() -> None:
    """Good is never joined to a defect."""
    entry = typed(started(readings_asked=False), "43<<0")
    assert row_of(entry)["result"] == "good"
    assert "severity" not in row_of(entry)


def test_a_part_is_good_or_missed() -> None:
    """Part exercises know two results and no severity."""
    entry = typed(entry_for(an_empty_view(), attempt_id="a1", began=BEGAN), ">1")
    assert (entry.stop, row_of(entry)["result"]) == (FINISH, "missed")


def test_going_back_and_on_keeps_every_answer() -> None:
    """Back to the first stop and on again with Enter changes nothing."""
    there = typed(started(), "3210")
    again = typed(there, "<<<<" + ">>>>")
    assert (again.stop, row_of(again)) == (FINISH, row_of(there))


def test_a_skipped_reading_is_empty_not_zero() -> None:
    """Enter alone leaves the reading out of the row."""
    assert "fit" not in row_of(typed(started(), ">210"))


def test_a_size_is_typed_and_taken_by_enter() -> None:
    """A length has no digits to choose from: it is a typed line."""
    entry = typed(started(readings=(PIN,)), "1.9")
    assert (entry.stop, entry.typed) == (PIN.field, "1.9")
    entry = typed(entry, "~96>")
    assert (entry.stop, entry.value(PIN.field)) == (RESULT, "1.96")


def test_an_abandoned_stone_is_an_attempt() -> None:
    """Without a result the finish leads to the result, unless it is said how it ended."""
    entry = typed(started(readings_asked=False), ">")
    assert (entry.stop, entry.complete(), go_on(entry).stop) == (FINISH, False, RESULT)
    ended = typed(entry, "42")
    assert (ended.stop, ended.complete(), row_of(ended)["ended"]) == (FINISH, True, "abandoned")


def test_a_failure_can_be_measured_though_nothing_was_asked() -> None:
    """The finish offers the readings; they end at the finish again."""
    entry = typed(started(readings_asked=False), "43>" + "7" + "321")
    assert (entry.stop, row_of(entry)["fit"]) == (FINISH, "enters tilted and snaps")


def test_a_note_is_typed_from_the_finish() -> None:
    """The note takes letters, and Enter returns to the finish."""
    entry = typed(started(readings_asked=False), "0" + "6")
    for sign in "burr [/b] left":
        entry = press(entry, sign)
    entry = go_on(entry)
    assert (entry.stop, row_of(entry)["note"]) == (FINISH, "burr [/b] left")


def test_a_direct_seat_reading_asks_what_read_it() -> None:
    """The drawer's tools by digit; then back to the list it was opened from."""
    entry = typed(at_the_seat(seat_tools=("bore gauge", "pins")), "1.95>")
    assert entry.stop == "seat_measured_with"
    question = entry.question()
    assert question is not None
    assert question.keys == (("1", "bore gauge"), ("2", "pins"))
    entry = typed(entry, "2")
    assert (entry.stop, row_of(entry)["seat_measured_with"]) == (MORE, "pins")
    assert typed(entry, ">").stop == FINISH


@given(KEYS)
def test_no_series_of_keys_loses_what_was_answered(keys: str) -> None:
    """Whatever is pressed, the way back to the start keeps every answer and always ends."""
    there = typed(started(), keys)
    entry, steps = there, 0
    while (earlier := back(entry)) is not None:
        entry = earlier
        steps += 1
        assert steps <= 20
    settled = {n: v for n, v in there.answers.items() if there.typed is None or n != there.stop}
    assert settled == {name: entry.answers[name] for name in settled}
    assert (entry.verdict, entry.defects) == (there.verdict, there.defects)
