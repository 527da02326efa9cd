"""Simulated learners: each kind learns, each in its own way, and failures show what failed."""

import numpy as np
import pytest
from tests.simulated.learners import KINDS, ChallengePoint, Defects, ErrorDriven, Learner, Tracing

from platebook.advice.defect_skills import SKILLS, blame

WEIGHTS = (0.3, 0.3, 0.3, 1.0)


def _learner(kind: type[Learner], seed: int = 1, *, uneven: bool = False) -> Learner:
    return kind(np.random.default_rng(seed), uneven=uneven)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("uneven", [False, True])
def test_practice_brings_competence_nearer(kind: type[Learner], uneven: bool) -> None:  # noqa: FBT001
    """Two hundred settings, grade after grade, raise the chance at every grade."""
    learner = _learner(kind, uneven=uneven)
    before = [learner.success(grade) for grade in range(4)]
    for number in range(200):
        learner.set_whole(min(number // 40, 3))
    after = [learner.success(grade) for grade in range(4)]
    assert all(late > early for early, late in zip(before, after, strict=True))


@pytest.mark.parametrize("kind", KINDS)
def test_a_harder_grade_is_harder(kind: type[Learner]) -> None:
    """No learner does better at a harder grade."""
    learner = _learner(kind)
    chances = [learner.success(grade) for grade in range(4)]
    assert chances == sorted(chances, reverse=True)


@pytest.mark.parametrize("kind", KINDS)
def test_a_part_trains_its_own_skill_most(kind: type[Learner]) -> None:
    """Over many learners the trained skill gains more than any other."""
    gains = np.zeros(len(SKILLS))
    for seed in range(60):
        learner = _learner(kind, seed)
        before = learner.chances(1)
        for _ in range(3):
            learner.do_part(2, 1)
        gains += learner.chances(1) - before
    assert int(np.argmax(gains)) == 2
    assert gains[2] > 0


def test_an_uneven_learner_has_one_weak_skill() -> None:
    """One skill starts clearly below the others' mean."""
    learner = _learner(ErrorDriven, uneven=True)
    others = np.sort(learner.level)
    assert others[1] - others[0] > 0.5


def test_the_challenge_point_learns_most_in_between() -> None:
    """The gain at an even chance is larger than where it nearly always succeeds."""
    easy, even = _learner(ChallengePoint), _learner(ChallengePoint)
    nothing = np.ones(len(SKILLS), dtype=bool)
    for learner, chance in ((easy, 0.98), (even, 0.5)):
        learner.learn(0, np.ones(len(SKILLS)), nothing, chance)
    start = _learner(ChallengePoint).level
    assert (even.level - start).sum() > 4 * (easy.level - start).sum()


def test_errors_teach_the_error_driven() -> None:
    """A failed skill gains more than one that held."""
    learner = _learner(ErrorDriven)
    before = learner.level.copy()
    held = np.array([True] * 6 + [False])
    learner.learn(0, np.ones(len(SKILLS)), held, 0.5)
    gained = learner.level - before
    assert gained[-1] > 3 * gained[0]


def test_tracing_forgets_between_evenings() -> None:
    """What was mastered is lost a little each week."""
    learner = Tracing(np.random.default_rng(1), uneven=False)
    learner.mastered[:] = True
    for _ in range(100):
        learner.rest()
    assert 0 < learner.mastered.mean() < 0.6


@pytest.mark.parametrize("kind", KINDS)
def test_a_twin_goes_its_own_way(kind: type[Learner]) -> None:
    """Practice of a twin leaves the learner as it was."""
    learner = _learner(kind)
    before = learner.chances(2).copy()
    twin = learner.twin(np.random.default_rng(5))
    for _ in range(20):
        twin.set_whole(1)
    assert np.array_equal(learner.chances(2), before)
    assert twin.outlook(WEIGHTS) > learner.outlook(WEIGHTS)


@pytest.mark.parametrize("kind", KINDS)
def test_the_outlook_looks_ahead(kind: type[Learner]) -> None:
    """Practice is expected to bring the learner nearer, a whole setting and a part alike."""
    learner = _learner(kind)
    assert learner.outlook_after(0, None, WEIGHTS) > learner.outlook(WEIGHTS)
    assert learner.outlook_after(0, 2, WEIGHTS) > learner.outlook(WEIGHTS)


def test_a_failed_skill_is_mostly_blamed() -> None:
    """Read back by the table the failed skill gets the most blame on average, for each skill.

    A share misleads, so a single failure may blame another.
    """
    defects, rng = Defects.by_table(), np.random.default_rng(3)
    for number, skill in enumerate(SKILLS):
        blamed = [blame(defects.shown(number, rng)) for _ in range(300)]
        own = float(np.mean([b[skill] for b in blamed]))
        others = [n for n in range(len(SKILLS)) if n != number for _ in range(50)]
        elsewhere = [blame(defects.shown(other, rng))[skill] for other in others]
        assert own > float(np.mean(elsewhere)) + 0.05


def test_the_same_seed_learns_the_same() -> None:
    """A learner is a function of its generator."""
    one, two = _learner(ChallengePoint, 9), _learner(ChallengePoint, 9)
    assert [one.set_whole(0).tolist() for _ in range(5)] == [
        two.set_whole(0).tolist() for _ in range(5)
    ]
