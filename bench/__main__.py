"""All benchmarks, each in a process of its own: `python -m bench [--smoke]`."""

import os
import subprocess
import sys

FULL = {
    "promotion": 20,
    "hand": 100,
    "findings": 200,
    "measured_things": 100,
    "class_habits": 50,
    "learners": 20,
    "app": 100_000,
    "classes": 500,
}
SMOKE = {
    "promotion": 0,
    "hand": 8,
    "findings": 10,
    "measured_things": 6,
    "class_habits": 2,
    "classes": 0,
}


def main(arguments: list[str]) -> int:
    """Run each with its number of simulated logs; the worst exit code is the answer."""
    counts = SMOKE if "--smoke" in arguments else FULL
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    worst = 0
    for name, count in counts.items():
        sys.stdout.write(f"\n{name} ({count} simulated)\n\n")
        sys.stdout.flush()
        command = [sys.executable, "-m", f"bench.{name}", str(count)]
        worst = max(worst, subprocess.run(command, env=environment, check=False).returncode)
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
