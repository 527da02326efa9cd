"""The draw for an instructor's look: fair, kept, and never made twice."""

import uuid
from collections import Counter
from datetime import UTC, datetime, timedelta
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, chi2_contingency, chisquare
from tests.builders import an_attempt

from platebook.advice.draws import PERIOD, fresh, next_draw, open_draws, pick
from platebook.practice.attempt import Attempt
from platebook.practice.records import Draw

FIRST = datetime(2026, 3, 3, 18, 30, tzinfo=UTC)
SURE = 0.001
"""A fair draw fails a test at this level once in a thousand seeds; the seeds are fixed."""


def an_id(chance: Random) -> str:
    """An id whose random part is all that differs between attempts of one evening."""
    return str(uuid.UUID(int=chance.getrandbits(128), version=4))


def an_evening(
    chance: Random, count: int = 8, *, after: timedelta = timedelta(0), good: float = 0.7
) -> list[Attempt]:
    """So many judged attempts a minute apart, good as often as told."""
    return [
        an_attempt(
            attempt_id=an_id(chance),
            setter_id="s",
            began=FIRST + after + timedelta(minutes=n),
            result=("good",) if chance.random() < good else ("high",),
        )
        for n in range(count)
    ]


def drawn(attempts: list[Attempt], *draws: Draw, setter_id: str = "s") -> Draw | None:
    """The draw that is due."""
    return next_draw(setter_id, draws, attempts, (), now=FIRST)


def test_each_attempt_is_as_likely_as_any_other() -> None:
    """Over 4000 setters the places drawn of eight do not depart from equal (chi-square)."""
    chance = Random(11)  # noqa: S311 - a fixed seed for a test
    places = Counter[int]()
    for _ in range(4000):
        attempts = an_evening(chance)
        one = drawn(attempts, setter_id=an_id(chance))
        assert one is not None
        places[[a.attempt_id for a in attempts].index(one.attempt_id)] += 1
    assert chisquare([places[n] for n in range(8)]).pvalue > SURE


def test_the_draw_knows_nothing_of_how_it_came_out() -> None:
    """Failures are drawn as often as they are there, and as often early as late."""
    chance = Random(12)  # noqa: S311 - a fixed seed for a test
    table = np.zeros((2, 2))
    for _ in range(3000):
        attempts = an_evening(chance, good=0.7)
        one = drawn(attempts, setter_id=an_id(chance))
        for a in attempts:
            picked = one is not None and a.attempt_id == one.attempt_id
            table[int(a.result == ("good",)), int(picked)] += 1
    assert chi2_contingency(table).pvalue > SURE


def test_agreement_from_draws_is_the_true_one_and_from_choice_it_is_not() -> None:
    """An eye that passes over half of what is high: looking at what was called high hides it."""
    chance = Random(13)  # noqa: S311 - a fixed seed for a test
    same, chosen = [], []
    for _ in range(1500):
        truly = an_evening(chance)
        said = [
            a.with_values(result=("good",))
            if a.result == ("high",) and chance.random() < 0.5
            else a
            for a in truly
        ]
        one = drawn(said, setter_id=an_id(chance))
        assert one is not None
        places = {a.attempt_id: n for n, a in enumerate(said)}
        place = places[one.attempt_id]
        same.append(said[place].result == truly[place].result)
        chosen += [
            a.result == b.result
            for a, b in zip(said, truly, strict=True)
            if "high" in (a.result or ())
        ]
    true_agreement = 0.7 + 0.3 * 0.5
    assert binomtest(sum(same), len(same), true_agreement).pvalue > SURE
    assert all(chosen)


def test_nothing_that_comes_after_changes_a_draw() -> None:
    """More attempts, looks at others, asking again: the drawn one waits until it is looked at."""
    chance = Random(14)  # noqa: S311 - a fixed seed for a test
    attempts = an_evening(chance)
    one = drawn(attempts)
    assert one is not None
    later = [*attempts, *an_evening(chance, 30, after=timedelta(days=2))]
    others = {a.attempt_id for a in attempts if a.attempt_id} - {one.attempt_id}
    assert open_draws([one], later, others) == (one,)
    assert next_draw("s", [one], later, others, now=FIRST) is None
    following = next_draw("s", [one], later, {one.attempt_id}, now=FIRST)
    assert following is not None
    assert set(following.pool) == {a.attempt_id for a in later[8:]}


def test_anybody_can_draw_it_again() -> None:
    """Seed and pool give the same one in any order; nothing else is asked."""
    chance = Random(15)  # noqa: S311 - a fixed seed for a test
    one = drawn(an_evening(chance))
    assert one is not None
    assert pick(one.seed, reversed(one.pool)) == one.attempt_id
    with pytest.raises(ValueError, match="min"):
        pick("s", [])


@given(
    st.lists(st.tuples(st.integers(0, 6), st.booleans()), min_size=1, max_size=8), st.integers(0)
)
def test_every_attempt_is_drawn_from_once_at_most(
    evenings: list[tuple[int, bool]], seed: int
) -> None:
    """However an instructor comes by and looks or does not, no attempt has a second chance."""
    chance = Random(seed)  # noqa: S311 - a seed that Hypothesis chooses
    attempts: list[Attempt] = []
    draws: list[Draw] = []
    looked_at: set[str] = set()
    for number, (count, looks) in enumerate(evenings):
        attempts += an_evening(chance, count, after=timedelta(days=number))
        if (one := next_draw("s", draws, attempts, looked_at, now=FIRST)) is not None:
            draws.append(one)
        if looks:
            looked_at |= {d.attempt_id for d in open_draws(draws, attempts, looked_at)}
    pools = [one for draw in draws for one in draw.pool]
    assert len(pools) == len(set(pools))
    assert len(open_draws(draws, attempts, looked_at)) <= 1


def test_a_draw_of_what_is_no_more_in_the_log_is_void() -> None:
    """Its pool is drawn from again; where it comes back both wait."""
    chance = Random(16)  # noqa: S311 - a fixed seed for a test
    attempts = an_evening(chance)
    one = drawn(attempts)
    assert one is not None
    rest = [a for a in attempts if a.attempt_id != one.attempt_id]
    other = drawn(rest, one)
    assert other is not None
    assert set(other.pool) == {a.attempt_id for a in rest}
    assert open_draws([one, other], attempts, ()) == (one, other)


def test_degenerate_logs_have_a_draw_or_none() -> None:
    """None, one, none judged, none dated, and one that is older than the period."""
    chance = Random(17)  # noqa: S311 - a fixed seed for a test
    (single,) = an_evening(chance, 1)
    assert drawn([]) is None
    assert drawn([single.with_values(result=None)]) is None
    assert (one := drawn([single])) is not None
    assert one.pool == (single.attempt_id,)
    assert fresh([], [single.with_values(began=None)], ()) == one.pool
    old = an_evening(chance, 1, after=-PERIOD - timedelta(hours=1))
    assert fresh([], [*old, single], ()) == one.pool
