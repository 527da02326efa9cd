# ruff: noqa: T201 - a script that prints
"""Promotion in exact numbers: false promotions, attempts needed, and what the watch sees.

Run: python -m bench.promotion.

It sums over the Markov chain of the points; nothing is simulated. What the way up passes on
simulated learners is measured by `bench.learners`.
"""

from platebook.analysis.grades.point_chances import chance_within, mean_attempts
from platebook.analysis.grades.points import (
    false_promotion,
    mean_to_pass,
    points_for,
    promotion_walk,
    slipping_watch,
)

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


if __name__ == "__main__":
    exact()
