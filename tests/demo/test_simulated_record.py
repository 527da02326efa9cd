"""What a simulated setter writes down: readings that fit the seat, and the look that was seen."""

from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.demo.bench import BENCH, LEVEL

from platebook.demo.simulated_record import fit_of, look, part_look, readings, with_fields
from platebook.demo.simulated_setter import CutSeat, Seen, SimulatedHand
from platebook.practice.attempt import Attempt
from platebook.practice.fields import choices, fields
from platebook.values import replace

HAND = SimulatedHand()
LISTED = {name: {choice.value for choice in values} for name, values in choices().items()}


def _read(seat: CutSeat = LEVEL, seed: int = 1, *, pins: bool = False) -> dict[str, object]:
    return readings(BENCH, seat, np.random.default_rng(seed), pins=pins)


def _looks(*seen: Seen, hand: SimulatedHand = HAND) -> list[dict[str, object]]:
    """Two hundred looks at one setting."""
    rng = np.random.default_rng(4)
    return [look(hand, seen, rng) for _ in range(200)]


def _spelled(values: Mapping[str, object]) -> None:
    for name, value in values.items():
        assert name in fields()
        if name in LISTED and isinstance(value, str):
            assert value in LISTED[name], name


@pytest.mark.parametrize(
    ("clearance_mm", "word"),
    [
        (-0.10, "enters with a firm push"),
        (-0.02, "enters tilted and snaps"),
        (0.02, "drops in"),
        (0.10, "drops in and moves"),
    ],
)
def test_a_trial_stone_goes_in_as_the_clearance_lets_it(clearance_mm: float, word: str) -> None:
    """Geometry: below 0 it cannot drop in, above 0 it can, and well above it can move there."""
    assert fit_of(clearance_mm) == word


@pytest.mark.parametrize(
    ("name", "value", "seat"),
    [
        ("trial_height", "proud", replace(LEVEL, proud_mm=0.3)),
        ("trial_height", "deep", replace(LEVEL, proud_mm=-0.5)),
        ("ledge", "clearly wider one side", replace(LEVEL, lean_deg=10.0)),
        ("levelled_by", "many taps", replace(LEVEL, stone_tilt_deg=10.0)),
        ("fit", "drops in and moves", replace(LEVEL, clearance_mm=0.3)),
        ("fit", "enters with a firm push", replace(LEVEL, clearance_mm=-0.3)),
    ],
)
def test_what_is_plain_is_read_plainly(name: str, value: str, seat: CutSeat) -> None:
    """A reading's own error hides no 0.3 mm and no 10°."""
    assert {_read(seat, seed)[name] for seed in range(50)} == {value}


def test_readings_say_what_the_bench_was() -> None:
    """How often the fit was checked and the rim passed is remembered, and all is well spelled."""
    read = _read(pins=True)
    assert (read["fit_checks"], read["burnish_passes"]) == ("3-5", "2")
    _spelled(read)


@given(st.floats(min_value=0.9, max_value=3.2))
def test_the_seat_lies_between_go_and_no_go(diameter_mm: float) -> None:
    """Pins in steps of 0.02 mm: the larger one that enters and the next, which does not."""
    seat = replace(LEVEL, diameter_mm=diameter_mm)
    for seed in range(4):
        read = _read(seat, seed, pins=True)
        if "seat_go_mm" not in read:
            continue
        go, no_go = float(str(read["seat_go_mm"])), float(str(read["seat_nogo_mm"]))
        assert go - 1e-6 <= diameter_mm < no_go + 1e-6
        assert no_go - go == pytest.approx(0.02)
        assert go / 0.02 == pytest.approx(round(go / 0.02))


def test_without_pins_nothing_is_read_between_pins() -> None:
    """And with them not every time, but both or neither."""
    assert not any("seat_go_mm" in _read(seed=seed) for seed in range(50))
    with_pins = [_read(seed=seed, pins=True) for seed in range(200)]
    assert 0.5 < np.mean(["seat_go_mm" in read for read in with_pins]) < 1.0
    assert all(("seat_go_mm" in read) == ("seat_nogo_mm" in read) for read in with_pins)


def test_nothing_seen_is_a_good_one() -> None:
    """Good, with no severity, nowhere on the clock and first seen at no step."""
    for looked in _looks():
        assert (looked["result"], looked["severity"]) == (("good",), None)
        assert looked["ended"] == "finished"
        assert looked["push_test"] in {"held", "no access"}
        assert not {"clock", "first_seen"} & set(looked)


def test_what_was_seen_is_written_in_its_order() -> None:
    """Defects and severities side by side, and a lost stone is the end of it."""
    for looked in _looks(Seen("chipped", 3), Seen("high", 1)):
        assert (looked["result"], looked["severity"]) == (("chipped", "high"), (3, 1))
        assert looked["ended"] == "stone lost"
        _spelled(looked)


@pytest.mark.parametrize(("severity", "word"), [(1, "ticks"), (2, "moved"), (3, "out")])
def test_a_loose_stone_shows_at_the_push_test(severity: int, word: str) -> None:
    """The looser, the more of it: it ticks, moves, or is out, unless nobody could push it."""
    assert {str(looked["push_test"]) for looked in _looks(Seen("loose", severity))} == {
        word,
        "no access",
    }


def test_a_slight_defect_is_no_failure_and_not_traced() -> None:
    """Slight marks pass as good: where they were first seen is not asked."""
    assert not any("first_seen" in looked for looked in _looks(Seen("marred", 1)))
    assert {looked["first_seen"] for looked in _looks(Seen("marred", 2)) if "first_seen" in looked}


def test_a_fault_on_the_rim_lies_on_the_clock_where_the_hand_likes_it() -> None:
    """At 12 it is within an hour of 12 most times, round the dial; a hand without one anywhere."""
    tilted = Seen("tilted", 2)
    hours = [int(str(looked["clock"])) for looked in _looks(tilted, hand=replace(HAND, clock=12))]
    assert set(hours) <= set(range(1, 13))
    assert np.mean([hour in {11, 12, 1} for hour in hours]) > 0.6
    anywhere = {looked["clock"] for looked in _looks(tilted)}
    assert anywhere == set(range(1, 13))
    assert not any("clock" in looked for looked in _looks(Seen("chipped", 2)))


@pytest.mark.parametrize(("chance", "result"), [(1.0, ("good",)), (0.0, ("missed",))])
def test_a_part_is_got_or_missed(chance: float, result: tuple[str, ...]) -> None:
    """Sure to come out, it is good; with no chance, missed; finished either way."""
    rng = np.random.default_rng(1)
    assert part_look(chance, rng) == {"ended": "finished", "result": result}


def test_parts_come_out_as_often_as_their_chance() -> None:
    """Over 2000 at 0.7 within three standard errors, 0.031."""
    rng = np.random.default_rng(2)
    good = [part_look(0.7, rng)["result"] == ("good",) for _ in range(2000)]
    assert np.mean(good) == pytest.approx(0.7, abs=0.031)


def test_later_fields_stand_over_earlier_ones_and_the_rest_stays() -> None:
    """The attempt itself is not changed; with nothing to write it is as it was."""
    attempt = Attempt(setter="Ottoline Marsh", note="first")
    written = with_fields(attempt, {"note": "second", "clock": 3}, {"note": "third"})
    assert (written.setter, written.note, written.clock) == ("Ottoline Marsh", "third", 3)
    assert attempt.note == "first"
    assert with_fields(attempt) == attempt
