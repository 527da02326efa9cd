"""The position drawn at random for an instructor's look, which agreement of eyes is computed from.

| function | gives |
|---|---|
| `fresh` | the attempts that the next draw is made from |
| `pick` | which of them a seed picks |
| `open_draws` | the draws that still wait for a look |
| `next_draw` | the draw to be kept now, if one is due |

The pool are the judged attempts of the setter's last two weeks of practice that nobody else has
looked at and that were in no earlier pool, so each attempt is drawn from once. The lowest SHA-256
of seed and id wins: each attempt is as likely as any other, and nobody can draw again until another
one comes out. A draw is kept with its pool, and waits until it is looked at; what is logged after
goes into the next pool. At 0 attempts nothing is drawn, of 1 that one is.

Assumption: ids say nothing of how an attempt came out (they are random, RFC 9562 version 7).
Source of the sampling: a random order by hash, as in Duffield, Lund & Thorup, J ACM 2007;54(6):32
(from memory).
"""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime, timedelta
from hashlib import sha256

from platebook.practice.attempt import Attempt, in_order
from platebook.practice.records import Draw

PERIOD = timedelta(days=14)
"""How far back from the last attempt a position is still likely to lie on the bench: judgement."""


def pick(seed: str, pool: Iterable[str]) -> str:
    """The one of these ids that the seed picks, whatever their order. ValueError for none."""
    return min(pool, key=lambda drawn: (sha256(f"{seed} {drawn}".encode()).digest(), drawn))


def open_draws(
    draws: Iterable[Draw], attempts: Iterable[Attempt], looked_at: Collection[str]
) -> tuple[Draw, ...]:
    """The draws whose attempt stands, is judged and has not been looked at yet."""
    waiting = {a.attempt_id for a in attempts if a.result} - set(looked_at)
    return tuple(draw for draw in draws if draw.attempt_id in waiting)


def fresh(
    draws: Iterable[Draw], attempts: Iterable[Attempt], looked_at: Collection[str]
) -> tuple[str, ...]:
    """Ids of the attempts that the next draw is made from, in the order they were made.

    The pool of a draw whose attempt is not in the log any more is drawn from again.
    """
    judged = [a for a in in_order(attempts) if a.result and a.attempt_id]
    stand = {a.attempt_id for a in judged}
    drawn_from = {
        attempt_id for draw in draws if draw.attempt_id in stand for attempt_id in draw.pool
    }
    dated = [a.began for a in judged if a.began is not None]
    since = max(dated) - PERIOD if dated else None
    return tuple(
        a.attempt_id
        for a in judged
        if a.attempt_id is not None
        and a.attempt_id not in drawn_from
        and a.attempt_id not in looked_at
        and (since is None or (a.began is not None and a.began >= since))
    )


def next_draw(
    setter_id: str,
    draws: Sequence[Draw],
    attempts: Sequence[Attempt],
    looked_at: Collection[str],
    *,
    now: datetime | None = None,
) -> Draw | None:
    """The draw that is due of this setter; None while one waits, or where nothing is fresh."""
    if open_draws(draws, attempts, looked_at):
        return None
    pool = fresh(draws, attempts, looked_at)
    if not pool:
        return None
    return Draw(
        setter_id=setter_id,
        attempt_id=pick(setter_id, pool),
        pool=pool,
        seed=setter_id,
        drawn=now,
    )
