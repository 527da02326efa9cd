"""How often balanced blocks state a difference: `python -m bench.trials [TRIALS]`.

Settings of a trial fail by lot, each level with its own true chance; looks come at 5, 10, ...
blocks as the program makes them. The first row has nothing in it: the share of wrong statements.
"""

import sys

import numpy as np

from platebook.analysis.findings.trials import (
    BLOCKS_TO_STATE,
    ERROR_OF_ALL_LOOKS,
    Table,
    chance_of_tables,
)

SEED = 20260101
CHANCES = ((0.30, 0.30), (0.10, 0.30), (0.10, 0.40), (0.10, 0.50), (0.20, 0.60), (0.20, 0.80))
LOOKS = (1, 2, 4)
A_LEVEL = 4


def stated_by(blocks: list[Table], looks: int) -> bool:
    """Whether any of the first so many looks states a difference."""
    return any(
        chance_of_tables(blocks[: look * BLOCKS_TO_STATE]) <= ERROR_OF_ALL_LOOKS / 2**look
        for look in range(1, looks + 1)
    )


def main(trials: int = 400) -> None:
    """Print a row for each pair of true chances."""
    rng = np.random.default_rng(SEED)
    heads = " | ".join(f"by {look * BLOCKS_TO_STATE} blocks" for look in LOOKS)
    lines = [f"| fails at one level, at the other | {heads} |", "|---|" + "---|" * len(LOOKS)]
    for low, high in CHANCES:
        stated = dict.fromkeys(LOOKS, 0)
        for _ in range(trials):
            count = LOOKS[-1] * BLOCKS_TO_STATE
            bad = (rng.binomial(A_LEVEL, high, count), rng.binomial(A_LEVEL, low, count))
            blocks = [((int(h), A_LEVEL), (int(w), A_LEVEL)) for h, w in zip(*bad, strict=True)]
            for look in LOOKS:
                stated[look] += stated_by(blocks, look)
        shares = " | ".join(f"{stated[look] / trials:.2f}" for look in LOOKS)
        lines.append(f"| {low:.2f}, {high:.2f} | {shares} |")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
