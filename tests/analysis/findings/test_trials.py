"""Trials: chance within blocks, counts before five blocks, a statement after them."""

import itertools

import numpy as np
import pytest
from tests.builders import an_attempt

from platebook.analysis.findings.trials import Table, chance_of_tables, trials
from platebook.practice.attempt import Attempt
from platebook.practice.set_up.block_levels import BlockLevels, PlannedLevel, write_levels


def a_block(number: int, loose_high: int, loose_low: int) -> list[Attempt]:
    """Eight settings of a block, so many of the four at each level loose."""
    made = []
    for run in range(1, 9):
        high = run % 2 == 1
        place = (run - 1) // 2
        bad = place < (loose_high if high else loose_low)
        planned = PlannedLevel("seat_bur_mm", "1.95" if high else "1.85", "high" if high else "low")
        made.append(
            an_attempt(
                attempt_id=f"b{number:02d}{run}",
                kind="block",
                block=str(number),
                block_run=run,
                block_levels=write_levels(BlockLevels("loose", "seat_bur_mm", (planned,))),
                result=("loose",) if bad else ("good",),
            )
        )
    return made


def test_one_block_is_the_lady_who_tastes_tea() -> None:
    """Fisher 1935, chapter 2: all eight cups right has a chance of 1 in 70; two-sided 2 in 70."""
    assert chance_of_tables([((4, 4), (0, 4))]) == pytest.approx(2 / 70)


def test_three_of_four_cups_right_are_no_proof() -> None:
    """The same book: 3 or more right of each four in 17 of 70; two-sided 34 of 70."""
    assert chance_of_tables([((3, 4), (1, 4))]) == pytest.approx(34 / 70)


def test_blocks_are_dealt_one_by_one() -> None:
    """The chance over two blocks is what counting every deal of both gives."""
    tables: list[Table] = [((3, 4), (1, 4)), ((2, 4), (0, 4))]
    deals = itertools.product(
        itertools.combinations(range(8), 4), itertools.combinations(range(8), 2)
    )
    totals = [sum(k < 4 for k in (*first, *second)) for first, second in deals]
    seen = totals.count(5)
    rare = sum(totals.count(t) for t in set(totals) if totals.count(t) <= seen)
    assert chance_of_tables(tables) == pytest.approx(rare / len(totals))


def test_nothing_and_constant_outcomes_have_a_chance_of_one() -> None:
    """No blocks, nothing failed, everything failed."""
    assert [
        chance_of_tables([]),
        chance_of_tables([((0, 4), (0, 4))]),
        chance_of_tables([((4, 4), (4, 4))]),
    ] == [1.0, 1.0, 1.0]


def test_before_five_blocks_there_are_counts_alone() -> None:
    """Two whole blocks and two settings of a third."""
    log = [*a_block(1, 3, 1), *a_block(2, 2, 0), *a_block(3, 1, 0)[:2]]
    (trial,) = trials(log)
    assert (trial.statement, trial.blocks, trial.under_way, trial.chance) == (
        "counts so far",
        2,
        2,
        None,
    )
    assert trial.sentence == (
        "In your blocks so far: Loose 6 of 9 with seat bur 1.95 mm, 1 of 9 with seat bur 1.85 mm; "
        "2 of 5 blocks done, and five are needed to say more."
    )


def test_five_blocks_state_a_difference() -> None:
    """Fifteen of twenty against two of twenty cannot be lots alone."""
    log = list(itertools.chain.from_iterable(a_block(n, 3, 2 * (n == 1)) for n in range(5)))
    (trial,) = trials(log)
    assert (trial.statement, trial.stated_at) == ("made a difference", 5)
    assert trial.difference == pytest.approx(15 / 20 - 2 / 20)
    assert trial.sentence.startswith(
        "It made a difference in your trial of 5 blocks: Loose 15 of 20 with seat bur 1.95 mm, "
        "2 of 20 with seat bur 1.85 mm. From 35 in 100 more to 81 in 100 more with the first"
    )


def test_no_clear_difference_says_what_would_fit() -> None:
    """Ten of twenty against eight: most differences are still possible, and it says so."""
    log = list(itertools.chain.from_iterable(a_block(n, 2, 1 + n % 2) for n in range(5)))
    (trial,) = trials(log)
    assert trial.statement == "no clear difference"
    assert "Anything from" in trial.sentence


def test_a_sixth_block_leaves_the_statement_until_the_tenth() -> None:
    """The looks are few and fixed, or chance would get one more try at every block."""
    five = list(itertools.chain.from_iterable(a_block(n, 3, 0) for n in range(5)))
    six = [*five, *a_block(5, 0, 3)]
    assert (trials(six)[0].stated_at, trials(six)[0].counts) == (5, trials(five)[0].counts)


def test_lots_alone_are_called_a_difference_in_at_most_one_trial_in_twenty() -> None:
    """200 trials of twenty blocks with nothing in them, all four looks."""
    rng = np.random.default_rng(20260101)
    wrong = 0
    for _ in range(200):
        blocks = [
            a_block(n, int(rng.binomial(4, 0.35)), int(rng.binomial(4, 0.35))) for n in range(20)
        ]
        (trial,) = trials(list(itertools.chain.from_iterable(blocks)))
        wrong += trial.statement == "made a difference"
    assert wrong / 200 <= 0.05


def test_settings_outside_blocks_and_unread_plans_count_nowhere() -> None:
    """Whole settings, and a block whose plan nobody can read."""
    other = [an_attempt(attempt_id="x", result=("loose",)), an_attempt(kind="block", block="9")]
    assert trials(other) == ()
