"""What may not matter does not: row order, units, names of levels, columns that say nothing."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.findings.asking.search import PreparedLog, Ranked
from platebook.analysis.models.bayes_factors import log_odds, log_sums, log_terms
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt
from platebook.values import replace

LOGS = [planted(Plan(attempts=40, causes=(Cause("ledge", "tilted"),)), s).attempts for s in (1, 2)]
FEW = settings(max_examples=8, deadline=None)


def _ranked(attempts: tuple[Attempt, ...]) -> tuple[Ranked, ...]:
    search = PreparedLog.of(attempt_log(attempts)).search()
    return search.ranked()


def _odds(attempts: tuple[Attempt, ...]) -> dict[str, float]:
    return {ranked.family: ranked.log_odds for ranked in _ranked(attempts)}


@FEW
@given(st.sampled_from(LOGS), st.randoms(use_true_random=False))
def test_row_order_does_not_matter(log: tuple[Attempt, ...], random: object) -> None:
    """Attempts are put in order by their time."""
    order = list(range(len(log)))
    random.shuffle(order)  # type: ignore[attr-defined]  # the strategy gives a random.Random
    assert _odds(tuple(log[i] for i in order)) == pytest.approx(_odds(log))


@FEW
@given(st.sampled_from(LOGS), st.floats(min_value=0.01, max_value=100.0))
def test_the_unit_of_a_measured_column_does_not_matter(
    log: tuple[Attempt, ...], scale: float
) -> None:
    """Grams or ounces: the same families in the same order, with the same odds."""
    other = tuple(replace(a, hammer_g=(a.hammer_g or 0.0) * scale) for a in log)
    assert _odds(other) == pytest.approx(_odds(log), abs=1e-6)


@FEW
@given(st.sampled_from(LOGS), st.permutations(["emerald", "opal", "spinel"]))
def test_the_names_of_levels_do_not_matter(log: tuple[Attempt, ...], names: list[str]) -> None:
    """A choice without order is the same question whatever its levels are called."""
    plain = [replace(a, stone_material=("x", "y", "z")[i % 3]) for i, a in enumerate(log)]
    named = [replace(a, stone_material=names[i % 3]) for i, a in enumerate(log)]
    assert _odds(tuple(named)) == pytest.approx(_odds(tuple(plain)), abs=1e-9)


@FEW
@given(st.sampled_from(LOGS))
def test_a_constant_column_changes_nothing(log: tuple[Attempt, ...]) -> None:
    """One more column that never changes takes nothing from the others."""
    other = tuple(replace(a, burnisher_tip_mm=1.0) for a in log)
    without = tuple(replace(a, burnisher_tip_mm=None) for a in log)
    assert _odds(other) == _odds(without)


@given(
    st.floats(min_value=0.1, max_value=12.0),
    st.floats(min_value=0.2, max_value=20.0),
    st.floats(min_value=1.0, max_value=3.0),
)
def test_more_evidence_the_same_way_never_lowers_a_posterior(
    u: float, v: float, more: float
) -> None:
    """The same estimate from more attempts, beyond what chance allows, is believed no less."""
    search = PreparedLog.of(attempt_log(LOGS[0])).search()
    prior = search.prior
    count = len(search.cells)
    z = u / np.sqrt(v)

    def odds(times: float) -> float:
        scores = Scores(np.zeros((1, count)), np.full((1, count), v))
        scores.u[0, 0], scores.v[0, 0] = u * times, v * times
        sums = log_sums(log_terms(scores, prior), prior.family, len(prior.families))
        return float(log_odds(sums)[0, prior.family[0]])

    if z > 2.0 and prior.mean[0] >= 0.0:
        assert odds(more) >= odds(1.0) - 1e-9
