# ruff: noqa: T201 - a script that prints
"""Promotion in exact numbers: false promotions, attempts needed, and what the ladder leaves.

Run: python -m bench.promotion [learners a kind] (default 40; 0 for the exact numbers alone).

The exact part sums over the Markov chain of the points. The last part simulates learners under the
program's rule until they are competent at the last grade and have practised 40 attempts more, and
counts how many then hold every easier grade; its Monte Carlo error stands beside it.
"""

import sys

import numpy as np
from tests.simulated.learners import KINDS

from bench.learners import CAP, COMPETENT, COURSE, LAST, PLAIN, SEED, ByRule, step
from platebook.analysis.grades.point_chances import chance_within, mean_attempts
from platebook.analysis.grades.points import (
    false_promotion,
    mean_to_pass,
    points_for,
    promotion_walk,
    slipping_watch,
)

AFTERWARDS = 40
RATES = ((0.10, 0.35), (0.20, 0.50))


def exact() -> None:
    """Print the exact numbers for both pairs of rates."""
    for p0, p1 in RATES:
        points, rates = points_for(p0, p1), f"p0 {p0:.2f}, p1 {p1:.2f}"
        print(f"{rates}: good +{points.good}, failure {points.failure}, up at {points.up_at}")
        for attempts in (60, 100, 200):
            print(f"  false promotion within {attempts}: {false_promotion(points, attempts):.1%}")
        within = chance_within(promotion_walk(points), p0, 60)
        print(f"  mean attempts at p0: {mean_to_pass(points):.2f}; within 40: {within[39]:.1%}")
        watch = slipping_watch(points)
        quiet, found = mean_attempts(watch, p0), mean_attempts(watch, p1)
        print(f"  slipping at {watch.up_at:g}: quiet for {quiet:.0f}, found after {found:.1f}")


def _holds_all(kind: int, number: int, *, uneven: bool) -> bool | None:
    rng = np.random.default_rng((SEED, kind, int(uneven), number))
    learner, plan = KINDS[kind](rng, uneven=uneven), ByRule(PLAIN)
    competent_at: int | None = None
    for count in range(CAP):
        if competent_at is None and learner.success(LAST) >= COMPETENT:
            competent_at = count
        if competent_at is not None and count >= competent_at + AFTERWARDS:
            break
        step(learner, plan, count)
    if competent_at is None:
        return None
    return all(plan.replay.counters.is_passed(g.id) for g in COURSE.grades[:-1])


def under_the_ladder(learners: int) -> None:
    """Print the share of competent learners who hold every easier grade."""
    held: list[bool] = []
    for kind in range(len(KINDS)):
        for uneven in (False, True):
            found = [_holds_all(kind, n, uneven=uneven) for n in range(learners)]
            held += [f for f in found if f is not None]
    share = float(np.mean(held))
    error = (share * (1 - share) / len(held)) ** 0.5
    print(
        f"Hold every easier grade {AFTERWARDS} attempts after competence: {share:.0%} ± {error:.0%}"
        f" of {len(held)} competent learners (seed {SEED})"
    )


if __name__ == "__main__":
    exact()
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    if count:
        under_the_ladder(count)
