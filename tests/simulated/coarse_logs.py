"""Random logs of every kind of variable: coarse readings, many just on a limit, and gaps."""

from datetime import UTC, datetime, timedelta

import numpy as np

from platebook.practice.attempt import Attempt

FIRST = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)


def a_log(seed: int, attempts: int) -> list[Attempt]:
    """Attempts with coarse readings, so that many lie just on a limit, and gaps."""
    rng = np.random.default_rng(seed)

    def steps(low: float, high: float, step: float) -> list[float]:
        places = rng.integers(0, round((high - low) / step) + 1, attempts)
        return [round(low + step * int(place), 6) for place in places]

    def words(*choices: str) -> list[str]:
        return [str(word) for word in rng.choice(choices, attempts)]

    stone = steps(1.5, 2.5, 0.25)
    over = steps(-0.06, 0.12, float(rng.choice([0.01, 0.005, 0.05])))
    deep = steps(-0.05, 0.08, float(rng.choice([0.01, 0.001])))
    loose, high = rng.random(attempts) < 0.3, rng.random(attempts) < 0.2
    severity = rng.integers(1, 4, attempts)
    written = rng.random((8, attempts)) > float(rng.choice([0.0, 0.15, 0.5]))
    evening, minutes = np.arange(attempts) // 5, rng.integers(3, 12, attempts).cumsum()
    pick = {
        "effort": words("light", "firm", "hard"),
        "runout": words("none seen", "slight", "clear"),
        "fit_checks": words("0", "1-2", "3-5", "6+"),
        "seat_bur_shape": words("hart", "ball", "setting"),
        "lubricant": words("wax", "oil"),
    }
    rpm, uses = steps(500, 3000, 250), rng.integers(0, 40, attempts)
    pilot = steps(0.4, 1.2, 0.05)
    return [
        Attempt(
            result=tuple(name for name, hit in (("loose", loose[i]), ("high", high[i])) if hit)
            or ("good",),
            severity=tuple(int(severity[i]) for hit in (loose[i], high[i]) if hit) or None,
            began=FIRST + timedelta(days=3 * int(evening[i]), minutes=int(minutes[i])),
            stone_diameter_mm=stone[i],
            seat_diameter_mm=round(stone[i] + over[i], 3) if written[0, i] else None,
            seat_depth_mm=round(stone[i] * 0.192 + deep[i], 3) if written[1, i] else None,
            pilot_mm=pilot[i] if written[2, i] else None,
            seat_bur_mm=round(stone[i] - 0.05 * int(severity[i] % 3), 3),
            seat_bur_uses=int(uses[i]) if written[3, i] else None,
            spindle_rpm=rpm[i] if written[4, i] else None,
            burnisher_polished=bool(severity[i] > 1) if written[5, i] else None,
        ).with_values(**{n: w[i] if written[6, i] else None for n, w in pick.items()})
        for i in range(attempts)
    ]
