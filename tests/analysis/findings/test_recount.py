"""Every sentence of random logs is counted again from the raw rows: what it says is there."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.simulated.planted import Cause, Plan, planted
from tests.simulated.recount import in_time, recount

from platebook.analysis import find
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.telling import sentences
from platebook.analysis.variables.attempt_log import AttemptLog, attempt_log
from platebook.analysis.variables.columns import Column, columns
from platebook.analysis.variables.trade_map import Form
from platebook.practice.attempt import Attempt
from platebook.practice.reading.attempt_rows import write_row

FIRST = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
TIMES = ("order_on_plate",)
"""Not recounted: the order on the plate is the order of the rows themselves."""


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


def _said(column: Column, form: Form, log: AttemptLog, outcome: str, *, more: bool) -> str | None:
    """The sentence, None where the column has one value only."""
    known = ~np.isnan(column.values)
    if len(np.unique(column.values[known])) < 2:
        return None
    candidate = Candidate(column, form, 1.0)
    cut = cutoffs.cut_log(candidate, log, more=more)
    counts = cutoffs.count_sides(cut, log.truths(outcome), log.slight(outcome))
    return sentences.went_with(outcome, cut.phrase, cut.rest, counts)


def _forms(column: Column) -> tuple[Form, ...]:
    return ("linear", "distance") if column.kind == "number" else ("linear",)


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6), attempts=st.integers(24, 90))
def test_every_sentence_counts_what_its_rows_say(seed: int, attempts: int) -> None:
    """Each variable, form, end and outcome of a random log; both sides are never empty."""
    rows = a_log(seed, attempts)
    log = attempt_log(rows)
    written = in_time([write_row(attempt) for attempt in log.attempts])
    counted = 0
    for column in columns(log):
        if column.variable in TIMES:
            continue
        for form in _forms(column):
            for outcome in ("any", *log.events):
                for more in (True, False):
                    sentence = _said(column, form, log, outcome, more=more)
                    if sentence is None:
                        continue
                    again = recount(sentence, column.variable, written)
                    assert again.said == again.counted, sentence
                    assert 0 not in (again.said[0][1], again.said[1][1]), sentence
                    counted += 1
    assert counted


@pytest.mark.parametrize("seed", [3, 4, 5])
def test_what_is_found_counts_what_its_rows_say(seed: int) -> None:
    """The same of whole answers, in logs with something planted."""
    plan = Plan(72, (Cause("clearance_mm", "loose", size=2.0), Cause("effort", "chipped")))
    attempts = planted(plan, seed).attempts
    written = in_time([write_row(attempt) for attempt in attempts])
    for finding in find(attempts).findings:
        if " went with " not in finding.sentence:
            continue
        again = recount(finding.sentence, finding.variable, written)
        assert again.said == again.counted, finding.sentence
        sides = tuple((count.failed, count.of) for count in finding.counts)
        assert sides == again.counted


def test_a_limit_is_a_limit_to_the_micrometre() -> None:
    """Of eight seats just 0.05 mm wider than their stones none is above 0.05 mm."""
    stones = (1.25, 1.5, 1.75, 1.98, 2.0, 2.05, 2.3, 2.5)
    rows = [
        Attempt(
            result=("loose",),
            stone_diameter_mm=stone,
            seat_diameter_mm=round(stone + over, 3),
        )
        for over in (0.05, 0.06)
        for stone in stones
    ]
    log = attempt_log(rows)
    clearance = next(c for c in columns(log) if c.variable == "clearance_mm")
    cut = cutoffs.cut_log(Candidate(clearance, "linear", 1.0), log, more=True)
    assert (cut.at, int(cut.inside.sum())) == ((0.05,), 8)
