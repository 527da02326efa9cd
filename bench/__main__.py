"""All benchmarks, each in a process of its own: `python -m bench [--smoke]`."""

import os
import subprocess
import sys
import time

FULL = {
    "structure": None,
    "ways": None,
    "promotion": None,
    "share_good": 100,
    "hand": 60,
    "hand_grids": 1_200,
    "first_seats": 60,
    "findings": 200,
    "kinds": 200,
    "find_speed": 9,
    "nulls": 40,
    "support": 60,
    "measured_things": 60,
    "class_habits": 24,
    "terms": 400,
    "trials": 400,
    "learners": 16,
    "app": 100_000,
    "anew": 7,
    "idiom": 20,
    "attempt_keys": 12,
    "classes": 150,
    "school_share": 60,
    "school": None,
    "sheets": 20_000,
    "signatures": 5_000,
    "scale": 100_000,
}
SMOKE = {
    "structure": None,
    "ways": None,
    "promotion": None,
    "share_good": 2,
    "hand": 5,
    "hand_grids": 12,
    "first_seats": 3,
    "findings": 6,
    "kinds": 3,
    "find_speed": 1,
    "nulls": 1,
    "support": 2,
    "measured_things": 4,
    "class_habits": 2,
    "terms": 5,
    "learners": 2,
    "trials": 5,
    "classes": 0,
    "school_share": 1,
    "sheets": 60,
    "signatures": 60,
    "scale": 300,
    "idiom": 1,
    "attempt_keys": 1,
}


def main(arguments: list[str]) -> int:
    """Run each with its number of simulated logs; the worst exit code is the answer."""
    counts = SMOKE if "--smoke" in arguments else FULL
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    worst = 0
    for name, count in counts.items():
        began = time.monotonic()
        simulated = [str(count)] if count is not None else []
        sys.stdout.write(f"\n{name}{f' ({count} simulated)' if simulated else ''}\n\n")
        sys.stdout.flush()
        command = [sys.executable, "-m", f"bench.{name}", *simulated]
        worst = max(worst, subprocess.run(command, env=environment, check=False).returncode)
        sys.stdout.write(f"\n{name}: {time.monotonic() - began:.0f} s\n")
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
