"""`make torture`: the program is killed, misled and fed for as long as wanted, and it is told.

python -m tests.torture --minutes 60 --seed 7 --only kills
"""

import argparse
import contextlib
import os
import sys
import tempfile
import time
from pathlib import Path

from tests.torture import doors, flips, histories, histories_of_people, kills, places, steps
from tests.torture.outcome import Outcome

SHARES = {
    "kills": 0.45,
    "doors": 0.25,
    "histories": 0.15,
    "steps": 0.1,
    "flips": 0.05,
    "places": 0.0,
}
"""Which part of the time each kind of torture has."""


def run(part: str, folder: Path, seconds: float, seed: int) -> Outcome:
    """One kind of torture for so long."""
    match part:
        case "kills":
            return kills.torture(folder, seconds, seed)
        case "doors":
            return doors.torture(folder, seconds, seed)
        case "histories":
            return histories.torture(seconds, (histories.Histories, *histories_of_people.MACHINES))
        case "steps":
            return steps.torture(folder, seconds, seed)
        case "flips":
            return flips.torture(folder / "flips", seconds, seed)
    return places.torture(folder / "places")


def main() -> int:
    """Run what is asked for; 1 where anything was found."""
    parser = argparse.ArgumentParser(prog="make torture", description=__doc__)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--only", choices=SHARES, action="append")
    asked = parser.parse_args()
    parts = asked.only or list(SHARES)
    whole = sum(SHARES[part] for part in parts) or 1.0
    outcomes = []
    for part in parts:
        with tempfile.TemporaryDirectory(prefix="torture-") as place:
            folder = Path(place)
            os.environ["HOME"] = place
            seconds = asked.minutes * 60 * SHARES[part] / whole
            with contextlib.chdir(folder):
                outcomes.append(run(part, folder, seconds, asked.seed))
        print("\n".join(outcomes[-1].lines()), flush=True)  # noqa: T201 - a program of its own
    found = sum(len(outcome.found) for outcome in outcomes)
    lost = "nothing was lost" if not found else f"{found} things were found"
    print(f"seed {asked.seed}, {asked.minutes:g} minutes: {lost}")  # noqa: T201 - as above
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
