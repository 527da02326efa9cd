"""Simulated learners: how they learn, and what their failures show."""

import numpy as np
import pytest
from tests.simulated.crowds import (
    APART,
    CHOSEN_ON,
    GRADES,
    KEPT_APART,
    KINDS,
    OF_SKILLS,
    Crowds,
    Failures,
    Kind,
    Nature,
)

ALL = {f"{title} (chosen)": kind for title, kind in KINDS.items()} | KEPT_APART


def _crowds(kind: Kind, nature: Nature, count: int = 60) -> Crowds:
    return Crowds([kind], [nature], count, seed=5)


@pytest.mark.parametrize("title", ALL)
def test_every_kind_gets_better_by_practice(title: str) -> None:
    """Whole settings at the easiest grade, evening after evening; harder grades are harder."""
    crowds = _crowds(ALL[title], Nature())
    before = crowds.success(0).mean()
    assert all(crowds.success(g).mean() <= crowds.success(g - 1).mean() for g in range(1, GRADES))
    grade, whole = np.zeros(len(crowds), dtype=np.int64), np.full(len(crowds), -1)
    for number in range(120):
        if number and number % 8 == 0:
            crowds.rest()
        crowds.do(grade, whole, place=number % 8)
    assert crowds.success(0).mean() > before


def test_an_uneven_learner_has_one_weak_skill() -> None:
    """Its chance lies below the middle of the others by far."""
    chances = _crowds(KINDS["challenge point"], Nature(uneven=True)).chances(
        np.zeros(60, dtype=np.int64)
    )
    assert (np.median(chances, axis=1) - chances.min(axis=1)).mean() > 0.2


def test_a_part_trains_its_skill_alone() -> None:
    """The others' chances stay as they were."""
    crowds = _crowds(KINDS["challenge point"], Nature())
    grade = np.zeros(60, dtype=np.int64)
    before = crowds.chances(grade)
    crowds.do(grade, np.full(60, 3), place=0)
    moved = crowds.chances(grade) > before
    assert moved[:, 3].all()
    assert not np.delete(moved, 3, axis=1).any()


def test_failures_point_at_what_failed() -> None:
    """A skill is blamed more where it failed than where others did; where all held none is."""
    failures, rng = Failures.by_table(), np.random.default_rng(1)
    for skill in range(OF_SKILLS):
        held = np.ones((4000, OF_SKILLS), dtype=bool)
        held[:, skill] = False
        rows = failures.draw(held, np.zeros(4000), rng)
        blamed = failures.against[rows, skill].mean()
        assert blamed > failures.against[:, skill].mean() + 0.1
    assert (failures.draw(np.ones((9, OF_SKILLS), dtype=bool), np.zeros(9), rng) == -1).all()


def test_those_kept_apart_share_no_nature_with_those_chosen_on() -> None:
    """No learner that a figure is told of is one that a constant was chosen on."""
    assert not set(APART) & set(CHOSEN_ON)
    assert len(KINDS) >= 10
