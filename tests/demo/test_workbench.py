"""A simulated bench: habits as often as their chances say, burs that wear, a drawer to match."""

from itertools import pairwise
from statistics import fmean

import numpy as np
import pytest
from tests.builders import a_grade

from platebook.demo.people import Habits, Person
from platebook.demo.workbench import Setting, Workbench
from platebook.practice.fields import choices, fields

NAME = "Ottoline Marsh"
NEVER = Habits(
    dry=0, worked=0, steel=0, unsupported=0, rough=0, fast=0, large=0, hasty=0, bur_lasts=15
)
ALWAYS = Habits(
    dry=1, worked=1, steel=1, unsupported=1, rough=1, fast=1, large=1, hasty=1, bur_lasts=15
)
GRADE = a_grade()


def _bench(habits: Habits, seed: int = 1, *, pins: bool = False) -> Workbench:
    return Workbench(Person(NAME, habits=habits, pins=pins), np.random.default_rng(seed))


def _settings(bench: Workbench, evenings: int = 1, each: int = 8) -> list[Setting]:
    """So many settings on each of so many evenings."""
    done = []
    for _ in range(evenings):
        bench.new_evening()
        done += [bench.next_setting(GRADE) for _ in range(each)]
    return done


@pytest.mark.parametrize(
    ("name", "always", "never"),
    [
        ("lubricant", {"none"}, {"wax"}),
        ("metal_state", {"worked"}, {"annealed today"}),
        ("punch", {"steel"}, {"copper"}),
        ("support", {"hand", "bench pin"}, {"thermoplastic"}),
        ("burnisher_polished", {False}, {True}),
        ("speed_step", {"fast"}, {"slow", "medium"}),
        ("seat_bur_mm", {1.95}, {1.9}),
    ],
)
def test_a_habit_is_kept_always_or_never(
    name: str, always: set[object], never: set[object]
) -> None:
    """At a chance of 1 every setting has it, at 0 none; a 2 mm stone's burs are 1.90 and 1.95."""
    assert {s.fields[name] for s in _settings(_bench(ALWAYS), 30, 2)} == always
    assert {s.fields[name] for s in _settings(_bench(NEVER), 30, 2)} == never


@pytest.mark.parametrize(("habits", "checks"), [(ALWAYS, {"0", "1-2"}), (NEVER, {"3-5", "6+"})])
def test_the_hasty_hardly_check(habits: Habits, checks: set[str]) -> None:
    """How often the fit was checked is a reading: it is the bench's, not among the set-up."""
    settings = _settings(_bench(habits), 20, 2)
    assert {s.tonight.checks for s in settings} == checks
    assert not any("fit_checks" in s.fields for s in settings)


@pytest.mark.parametrize("chance", [0.08, 0.3])
def test_a_habit_is_kept_as_often_as_its_chance(chance: float) -> None:
    """The first settings of 2000 evenings are drawn alone; three standard errors are 0.031."""
    first = _settings(_bench(Habits(dry=chance)), 2000, 1)
    kept = fmean(s.fields["lubricant"] == "none" for s in first)
    assert kept == pytest.approx(chance, abs=0.031)


def test_habits_stick_within_an_evening() -> None:
    """Drawn again before one setting in four and half the time alike: one change in eight.

    Over 1400 pairs three standard errors are 0.027.
    """
    changes = []
    bench = _bench(Habits(dry=0.5))
    for _ in range(200):
        wax = [s.fields["lubricant"] for s in _settings(bench)]
        changes += [a != b for a, b in pairwise(wax)]
    assert len(changes) == 1400
    assert fmean(changes) == pytest.approx(0.25 * 0.5, abs=0.027)


@pytest.mark.parametrize("name", ["metal_state", "support", "runout", "burnisher_polished"])
def test_what_is_asked_once_a_plate_stays_all_evening(name: str) -> None:
    """One sheet, one hold, one spindle, one burnisher from the first setting to the last."""
    bench = _bench(Habits(worked=0.5, unsupported=0.5, rough=0.5))
    for _ in range(30):
        assert len({s.fields[name] for s in _settings(bench)}) == 1


def test_a_bur_wears_by_one_a_seat_and_is_replaced() -> None:
    """After three seats a new one of the same size lies there, under a number of its own."""
    settings = _settings(_bench(Habits(large=0, bur_lasts=3)), each=7)
    assert [s.fields["seat_bur_uses"] for s in settings] == [0, 1, 2, 0, 1, 2, 0]
    assert [s.tonight.bur_uses for s in settings] == [0, 1, 2, 0, 1, 2, 0]
    names = [str(s.fields["seat_bur"]) for s in settings]
    assert len(set(names)) == 3
    assert len({*names[:3]}) == len({*names[3:6]}) == 1
    assert {s.fields["seat_bur_mm"] for s in settings} == {1.9}


def test_the_drawer_knows_how_many_seats_were_cut() -> None:
    """Five seats with one bur, and none with any other; none at all before the first."""
    bench = _bench(NEVER)
    assert sum(tool.seats_cut for tool in bench.tools()) == 0
    settings = _settings(bench, each=5)
    cut = {tool.name: tool.seats_cut for tool in bench.tools() if tool.seats_cut}
    assert cut == {settings[0].fields["seat_bur"]: 5}


def test_the_drawer_holds_what_the_person_uses() -> None:
    """Pins and a steel punch only where they have them; every size is a size."""
    with_all, plain = _bench(ALWAYS, pins=True).tools(), _bench(NEVER).tools()
    assert [t.kind for t in with_all].count("pin") == 1
    assert "pin" not in {t.kind for t in plain}
    assert {t.name for t in with_all} - {t.name for t in plain} == {
        "steel punch",
        "pins in 0.02 steps",
    }
    assert len({t.name for t in plain}) == len(plain)
    used = {s.fields["pilot_mm"] for s in _settings(_bench(NEVER))}
    assert used <= {t.size_mm for t in plain if t.kind == "twist drill"}


def test_opening_and_pilot_are_customary_for_the_stone() -> None:
    """Common practice: the pilot about a third of the stone, the opening bur 0.20 mm under it."""
    for stone_mm in (1.5, 2.0, 2.5, 3.0):
        bench = _bench(NEVER)
        bench.new_evening()
        setting = bench.next_setting(a_grade(stones_mm=(stone_mm,)))
        assert float(str(setting.fields["pilot_mm"])) / stone_mm == pytest.approx(1 / 3, abs=0.03)
        assert setting.fields["opening_bur_mm"] == pytest.approx(stone_mm - 0.2)
        assert setting.fields["seat_bur_mm"] == pytest.approx(stone_mm - 0.1)


def test_single_stones_lie_around_the_parcels_mean() -> None:
    """The record has the parcel's mean; each stone of 2000 is its own, on average the mean."""
    settings = _settings(_bench(NEVER), 250)
    (mean_mm,) = {float(str(s.fields["stone_diameter_mm"])) for s in settings}
    stones = [s.tonight.stone_mm for s in settings]
    assert len(set(stones)) == len(stones)
    assert fmean(stones) == pytest.approx(mean_mm, abs=0.001)


def test_the_record_and_the_simulation_have_the_same_set_up() -> None:
    """What is written down is what the seat is cut with, spelled as the record spells it."""
    listed = {name: {choice.value for choice in values} for name, values in choices().items()}
    for setting in _settings(_bench(Habits(), seed=7), 10):
        now, written = setting.tonight, setting.fields
        assert (now.bur_mm, now.speed, now.runout, now.lubricant, now.punch, now.support) == tuple(
            written[name]
            for name in ("seat_bur_mm", "speed_step", "runout", "lubricant", "punch", "support")
        )
        assert not now.sterling
        for name, value in written.items():
            assert name in fields()
            if name in listed and isinstance(value, str):
                assert value in listed[name], name


def test_sterling_is_told_by_the_grade() -> None:
    """The metal that springs back a little."""
    bench = _bench(NEVER)
    bench.new_evening()
    assert bench.next_setting(a_grade(metal="sterling silver")).tonight.sterling


def test_a_part_knows_its_sheet_and_how_it_is_held() -> None:
    """The grade's metal and sheet, and tonight's hold; nothing about a stone or a bur."""
    bench = _bench(ALWAYS)
    bench.new_evening()
    sheet = bench.sheet_fields(GRADE)
    assert (sheet["metal"], sheet["sheet_mm"]) == ("copper", 0.812)
    assert sheet["metal_state"] == "worked"
    assert not [name for name in sheet if name.startswith(("stone", "seat"))]


def test_the_same_generator_lays_out_the_same_bench() -> None:
    """All chance comes from the generator handed in."""
    first, again, other = (_settings(_bench(Habits(), seed), 3) for seed in (1, 1, 2))
    assert first == again
    assert first != other
