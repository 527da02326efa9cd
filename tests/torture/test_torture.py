"""The short form of `make torture`: a few of everything, and all that was ever found."""

import contextlib
import dataclasses
import random
from collections.abc import Mapping
from pathlib import Path

import pytest
from tests.torture import doors, histories, histories_of_people, kills, places, steps
from tests.torture.doors_beyond import doors_beyond
from tests.torture.doors_far import NEEDED

BEYOND = ("draft", "settings", "sight")
"""Doors beyond commands that answer in milliseconds; the others have their turn in `make fuzz`."""


@dataclasses.dataclass(frozen=True)
class House:
    """Every door, and the folder with the bench that each try begins from a copy of."""

    ways: Mapping[str, doors.Door]
    like: Path


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> House:
    """All doors, with files that are right."""
    folder = tmp_path_factory.mktemp("doors") / "right"
    return House({**doors.doors(folder), **doors_beyond()}, folder / "like")


@pytest.mark.slow
def test_killed_programs_lose_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    """Two writers and a reader, five times."""
    kills.import_all(tmp_path / "first")
    ledger = kills.new_ledger(tmp_path / "kills")
    assert [wrong for seed in range(5) for wrong in kills.kill_commands(ledger, seed)] == []
    assert ledger.ids


@pytest.mark.slow
def test_a_plain_model_says_the_same_as_the_logbook() -> None:
    """Histories of recording, correcting, hiding, taking back, bringing in, sharing, erasing."""
    histories.run(histories.Histories, 3, 10, derandomize=True)


@pytest.mark.slow
@pytest.mark.parametrize("machine", histories_of_people.MACHINES)
def test_a_plain_model_of_people_says_the_same(machine: histories.Machine) -> None:
    """Of people and things at one desk, and of an erasing that others ask for."""
    histories.run(machine, 2, 10, derandomize=True)


def test_killed_steps_and_restores_leave_a_whole_logbook(tmp_path: Path) -> None:
    """Of the first, a middle and the newest schema."""
    rng = random.Random(20261129)  # noqa: S311 - no secret, a test's seed
    for place in (0, 8, -1):
        assert steps.kill_a_step(tmp_path / f"s{place}", steps.VERSIONS[place], rng) == []
    assert steps.kill_a_restore(tmp_path / "r", rng) == []


def test_odd_places_are_told_in_a_sentence(tmp_path: Path) -> None:
    """Links in a circle, pipes, folders, names too long: no traceback, no waiting."""
    with contextlib.chdir(tmp_path):
        assert places.torture(tmp_path / "places").found == []


@pytest.mark.parametrize("name", sorted((*doors.NAMES, *BEYOND, *NEEDED)))
def test_a_door_answers_whatever_comes(house: House, name: str, tmp_path: Path) -> None:
    """What is right is let in, and two files bent at random have a sentence each."""
    rng = random.Random(name)  # noqa: S311 - no secret, a test's seed
    door = house.ways[_installed(name)]
    # What a far place answers badly is asked for again and waited for: in `make fuzz` only.
    bent = (door.bend(rng.choice(door.right), rng) for _ in range(0 if name in NEEDED else 2))
    tried = [door.right[0], *bent]
    answers = [doors.answer_to(door, data, tmp_path / "b", house.like) for data in tried]
    assert {answer.wrong for answer in answers} == {""}
    assert answers[0].let_in or name in BEYOND


@pytest.mark.parametrize("file", sorted(doors.FOUND.iterdir()), ids=lambda file: file.name)
def test_what_was_found_once_is_answered(house: House, file: Path, tmp_path: Path) -> None:
    """Each file that made a door fail stays here."""
    door = house.ways[_installed(file.name.rpartition("-")[0])]
    assert doors.wrong_with(door, doors.found_in(file), tmp_path / "b", house.like) == ""


def _installed(name: str) -> str:
    """The name of a door, where what it needs is there."""
    if name in NEEDED:
        pytest.importorskip(NEEDED[name], reason="needs an extra for far places")
    return name
