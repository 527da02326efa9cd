"""What a class has shown is what its setters' logs sum to, with or without a share's draws."""

import numpy as np
import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.classes.search import (
    ClassShare,
    class_share,
    own_sums,
    prepared_for_class,
)
from platebook.analysis.classes.sums import ClassSums, OwnSums
from platebook.analysis.findings.asking.search import PreparedLog

WIDE = Plan(attempts=40, causes=(Cause("clearance_mm", "loose"),))


@pytest.fixture(scope="module")
def logs() -> dict[str, PreparedLog]:
    """Seven invented setters who cut too wide, made ready as a class asks them."""
    return {
        f"setter {seed}": prepared_for_class(planted(WIDE, [9, seed]).attempts, None)
        for seed in range(7)
    }


def test_a_share_and_the_sums_alone_give_the_same(logs: dict[str, PreparedLog]) -> None:
    """To the last bit: draws are no part of what the others of a class expect."""
    shares: dict[str, ClassShare] = {name: class_share(log) for name, log in logs.items()}
    alone: dict[str, OwnSums] = {name: own_sums(log) for name, log in logs.items()}
    one, other = ClassSums.of(shares.items()), ClassSums.of(alone.items())
    assert [one.prior(n) for n in range(7)] == [other.prior(n) for n in range(7)]
    assert one.prior(0) is not None


def test_the_others_expect_what_they_sum_to_without_the_setter(
    logs: dict[str, PreparedLog],
) -> None:
    """As a class that the setter never was in; U and V to rounding, cell by cell."""
    alone = {name: own_sums(log) for name, log in logs.items()}
    without = ClassSums.of((name, own) for name, own in alone.items() if name != "setter 3")
    expected = {
        cell.key: (u, v)
        for cell, u, v in zip(without.cells, without.u.sum(0), without.v.sum(0), strict=True)
    }
    prior = ClassSums.of(alone.items()).prior(3)
    assert prior is not None
    assert prior.setters == 6
    assert len(prior.cells) >= len(expected) > 20
    for cell in prior.cells:
        key = (cell.variable, cell.form, cell.level, cell.outcome)
        told = next((sums for known, sums in expected.items() if tuple(known) == key), (0.0, 0.0))
        assert np.allclose((cell.u, cell.v), told, atol=1e-9)


def test_nobody_and_an_empty_log_add_nothing(logs: dict[str, PreparedLog]) -> None:
    """A class of nobody has no cells; a setter without attempts is counted and adds no sums."""
    nobody = ClassSums.of(())
    assert (nobody.setters, nobody.cells, nobody.u.shape) == ((), (), (0, 0))
    alone = [(name, own_sums(log)) for name, log in logs.items()]
    empty = own_sums(prepared_for_class((), None))
    beside = ClassSums.of([*alone, ("empty", empty)])
    before, after = ClassSums.of(alone).prior(0), beside.prior(0)
    assert before is not None
    assert after is not None
    assert (after.setters, after.cells) == (before.setters + 1, before.cells)
