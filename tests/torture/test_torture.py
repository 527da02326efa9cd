"""The short form of `make torture`: a few of everything, and all that was ever found."""

import contextlib
import random
from collections.abc import Mapping
from pathlib import Path

import pytest
from tests.torture import doors, histories, kills, places, steps


@pytest.fixture(scope="module")
def ways(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, doors.Door]:
    """Every door, with files that are right."""
    return doors.doors(tmp_path_factory.mktemp("doors") / "right")


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
    histories.run(4, 12, derandomize=True)


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


@pytest.mark.parametrize("name", sorted(doors.NAMES))
def test_a_door_answers_whatever_comes(
    ways: Mapping[str, doors.Door], name: str, tmp_path: Path
) -> None:
    """A few files bent at random, and a sentence for each."""
    rng = random.Random(name)  # noqa: S311 - no secret, a test's seed
    door = ways[name]
    tried = [doors.bent(rng.choice(door.right), rng) for _ in range(4)]
    assert [w for data in tried if (w := doors.wrong_with(door, data, tmp_path / "b"))] == []


@pytest.mark.parametrize("file", sorted(doors.FOUND.iterdir()), ids=lambda file: file.name)
def test_what_was_found_once_is_answered(
    ways: Mapping[str, doors.Door], file: Path, tmp_path: Path
) -> None:
    """Each file that made a door fail stays here."""
    door = ways[file.name.rpartition("-")[0]]
    assert doors.wrong_with(door, file.read_bytes(), tmp_path / "b") == ""
