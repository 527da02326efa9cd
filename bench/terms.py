# ruff: noqa: T201 - a script that prints
"""How often the bands of a term's figures hold the truth of invented classes.

Run: python -m bench.terms 2000.

A person's own share good is drawn from a beta distribution around the class's, so that people lie
apart by `spread`; how much each set is drawn too. The truth is the share of all settings that the
kind of class would come to, and the mean of grades passed.
"""

import sys

import numpy as np

from platebook.analysis.classes.terms import PersonsTerm, term_so_far

KINDS = (
    ("alike", 0.0),
    ("a little apart", 0.1),
    ("apart", 0.2),
    ("far apart", 0.3),
)
PEOPLE = (3, 6, 12, 25)
SHARES = (0.6, 0.9)
SETTINGS = (4, 40)


def held(people: int, share: float, spread: float, classes: int) -> tuple[float, float, float]:
    """How often the band held the share, how wide it was, and how often the band of grades held."""
    rng = np.random.default_rng([20260108, people, round(100 * share), round(100 * spread)])
    inside = width = grades = 0.0
    for _ in range(classes):
        own = np.full(people, share)
        if spread:
            total = share * (1 - share) / spread**2 - 1
            own = rng.beta(share * total, (1 - share) * total, size=people)
        each = rng.integers(*SETTINGS, size=people, endpoint=True)
        passed = rng.poisson(1.3, size=people)
        found = term_so_far(
            PersonsTerm(int(rng.binomial(n, p)), int(n), int(k))
            for n, p, k in zip(each, own, passed, strict=True)
        )
        low, high = found.low or 0.0, found.high or 0.0
        inside += low <= share <= high
        width += high - low
        grades += (found.passed_low or 0.0) <= 1.3 <= (found.passed_high or 0.0)
    return inside / classes, width / classes, grades / classes


def main(classes: int) -> int:
    """Print a line a kind of class."""
    print(f"{classes} classes a cell; bands of 95 in 100")
    for share in SHARES:
        for name, spread in KINDS:
            if spread and share * (1 - share) <= spread**2 * 1.05:
                continue
            cells = []
            for people in PEOPLE:
                inside, width, grades = held(people, share, spread, classes)
                error = 1.96 * (inside * (1 - inside) / classes) ** 0.5
                cells.append(
                    f"{people}: {inside:.3f} ± {error:.3f}, {100 * width:.0f} points wide, "
                    f"grades {grades:.3f}"
                )
            print(f"{share:.0%} good, {name:<14}  {'  |  '.join(cells)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
