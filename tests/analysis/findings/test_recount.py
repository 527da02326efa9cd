"""Every sentence of random logs is counted again from the raw rows: what it says is there."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.simulated.coarse_logs import a_log
from tests.simulated.planted import Cause, Plan, planted
from tests.simulated.recount import in_time, recount

from platebook.analysis import find
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.telling.counted import Shown, count_and_tell
from platebook.analysis.variables.attempt_log import AttemptLog, attempt_log
from platebook.analysis.variables.columns import Column, columns
from platebook.analysis.variables.trade_map import Form
from platebook.practice.attempt import Attempt
from platebook.practice.reading.attempt_rows import write_row

TIMES = ("order_on_plate",)
"""Not recounted: the order on the plate is the order of the rows themselves."""


def _said(column: Column, form: Form, log: AttemptLog, outcome: str, *, more: bool) -> str | None:
    """The sentence, None where the column has one value only."""
    known = ~np.isnan(column.values)
    if len(np.unique(column.values[known])) < 2:
        return None
    candidate = Candidate(column, form, 1.0)
    cut = cutoffs.cut_log(candidate, log, more=more)
    return count_and_tell(candidate, cut, Shown.of(log, outcome), more=more).sentence


def _forms(column: Column) -> tuple[Form, ...]:
    return ("linear", "distance") if column.kind == "number" else ("linear",)


@settings(max_examples=8, deadline=None)
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
                    assert 0 not in {of for _, of in again.said}, sentence
                    counted += 1
    assert counted


@pytest.mark.parametrize("seed", [3, 4, 5])
def test_what_is_found_counts_what_its_rows_say(seed: int) -> None:
    """The same of whole answers, in logs with something planted."""
    plan = Plan(72, (Cause("clearance_mm", "loose", size=2.0), Cause("effort", "chipped")))
    attempts = planted(plan, seed).attempts
    written = in_time([write_row(attempt) for attempt in attempts])
    for finding in find(attempts).findings:
        if " went with " not in finding.headline:
            continue
        again = recount(finding.headline, finding.variable, written)
        assert again.said == again.counted, finding.sentence
        told = finding.levels if finding.between else finding.counts
        assert sorted((count.failed, count.of) for count in told) == sorted(again.counted)


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
