"""A setter's share of a class's question: made from one log alone, small, and always the same."""

import pickle

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.classes.search import (
    CLASS_DRAWS,
    ClassSearch,
    ClassShare,
    Drawn,
    class_share,
    prepared_for_class,
)

WIDE = Plan(attempts=40, causes=(Cause("clearance_mm", "loose"),))


def share_of(seed: int) -> ClassShare:
    """The share of an invented setter who cuts too wide."""
    return class_share(prepared_for_class(planted(WIDE, [9, seed]).attempts, None))


def test_a_share_is_the_same_whenever_it_is_made_and_other_for_another_log() -> None:
    """Its draws follow from the log: nothing of the class or of the clock is in them."""
    share, again, other = share_of(1), share_of(1), share_of(2)
    assert pickle.dumps(share) == pickle.dumps(again)
    assert share.drawn.steps.shape[0] == CLASS_DRAWS
    assert not np.array_equal(share.drawn.u()[:, 0], other.drawn.u()[:, 0])


def test_draws_have_the_spread_that_their_v_says() -> None:
    """Under nothing U is near N(0, V): the draws' variance over V lies near 1 where V is large."""
    share = share_of(3)
    informed = share.own.v[0] > 3.0
    ratios = share.drawn.u()[:, informed].var(axis=0) / share.own.v[0, informed]
    assert informed.sum() > 20
    assert 0.7 < float(np.median(ratios)) < 1.4


@given(st.lists(st.floats(-50, 50, allow_subnormal=False), min_size=1, max_size=40))
def test_kept_draws_are_right_to_half_a_step(draws: list[float]) -> None:
    """A step is 1/127 of the largest draw; a cell without draws has none."""
    u = np.array(draws)[:, None]
    kept = Drawn.of(u)
    assert float(np.abs(kept.u() - u).max()) <= np.abs(u).max() / 254 * (1 + 1e-9)


def test_an_empty_log_has_an_empty_share_that_adds_nothing() -> None:
    """A setter without attempts counts as one and adds nothing to the class's sums."""
    empty = class_share(prepared_for_class((), None))
    assert (empty.attempts, empty.cells, empty.drawn.u().shape) == (0, (), (CLASS_DRAWS, 0))
    alone, beside = (
        ClassSearch.of(shares) for shares in ({"a": share_of(1)}, {"a": share_of(1), "b": empty})
    )
    assert np.array_equal(alone.observed().u, beside.observed().u)
    assert np.array_equal(alone.drawn.u, beside.drawn.u)
