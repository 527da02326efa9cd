"""Logs whose true share of good settings is known at every setting: six shapes, and ten more.

A log is dated: evenings of five to eleven settings, two to five days apart. The constants of the
success curve were chosen on the six and on seven others; three are kept apart. A seed of its own
keeps a test's logs apart from those.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from platebook.analysis.arrays import Floats

FIRST = date(2021, 1, 4)


@dataclass(frozen=True, slots=True)
class KnownLog:
    """Settings in order: good or not, the day of each, and the true share good at each."""

    good: tuple[bool, ...]
    days: tuple[date, ...]
    share: Floats


@dataclass(frozen=True, slots=True)
class _Start:
    """What every shape is made from: two shares to move between, places from 0 to 1, days."""

    low: float
    high: float
    place: Floats
    day: Floats
    rng: np.random.Generator


Shape = Callable[[_Start], tuple[Floats, Floats]]
"""From a start to the true share at each setting, and the day of each."""


def known_log(shape: str, settings: int, rng: np.random.Generator) -> KnownLog:
    """One log of this shape, drawn at random."""
    start = _Start(
        low=float(rng.uniform(0.25, 0.5)),
        high=float(rng.uniform(0.6, 0.92)),
        place=np.arange(1, settings + 1) / settings,
        day=_evenings(rng, settings),
        rng=rng,
    )
    share, day = SHAPES[shape](start)
    days = tuple(FIRST + timedelta(days=int(d)) for d in day)
    return KnownLog(tuple((rng.random(settings) < share).tolist()), days, share)


def _evenings(rng: np.random.Generator, settings: int) -> Floats:
    day = np.empty(settings)
    at, today = 0, 0
    while at < settings:
        here = int(rng.integers(5, 12))
        day[at : at + here] = today
        at, today = at + here, today + int(rng.integers(2, 6))
    return day


def _odds(share: float) -> float:
    return float(np.log(share / (1 - share)))


def _share(odds: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(-odds)))


def _steady(start: _Start) -> tuple[Floats, Floats]:
    return np.full(len(start.place), start.rng.uniform(0.4, 0.92)), start.day


def _rise(start: _Start) -> tuple[Floats, Floats]:
    return start.low + (start.high - start.low) * start.place, start.day


def _s(start: _Start) -> tuple[Floats, Floats]:
    risen = _share((start.place - start.rng.uniform(0.4, 0.6)) / 0.06)
    return start.low + (start.high - start.low) * risen, start.day


def _jump(start: _Start) -> tuple[Floats, Floats]:
    at = start.rng.uniform(0.4, 0.8)
    return np.where(start.place < at, start.low, start.high), start.day


def _plateau(start: _Start) -> tuple[Floats, Floats]:
    """A rise, a plateau, and at last visits of two settings, two to six weeks apart."""
    risen = np.minimum(start.place / start.rng.uniform(0.4, 0.6), 1)
    day = start.day.copy()
    rare = max(len(day) // 10, 4)
    visits = np.repeat(start.rng.integers(14, 43, size=rare), 2)[:rare]
    day[-rare:] = day[-rare - 1] + np.cumsum(visits * (np.arange(rare) % 2 == 0))
    return start.low + (start.high - start.low) * risen, day


def _rust(start: _Start) -> tuple[Floats, Floats]:
    """A rise, then a pause of two to six months; what it cost comes back over some 60 settings."""
    risen = np.minimum(start.place / start.rng.uniform(0.4, 0.6), 1)
    odds = _odds(start.low) + (_odds(start.high) - _odds(start.low)) * risen
    at = int(len(odds) * start.rng.uniform(0.8, 0.9))
    day = start.day.copy()
    day[at:] += start.rng.integers(60, 181)
    return _share(odds - _lost(len(odds), at, start.rng.uniform(0.6, 1.2))), day


def _lost(settings: int, at: int, most: float) -> Floats:
    since = np.arange(settings) - at
    return np.where(since >= 0, most * np.exp(-np.maximum(since, 0) / 60), 0.0)


def _evening_luck(start: _Start) -> tuple[Floats, Floats]:
    """A rise; each evening has luck of its own, and the share asked for is the one without it."""
    share = start.low + (start.high - start.low) * start.place
    _, evening = np.unique(start.day, return_inverse=True)
    luck = start.rng.normal(0, 0.4, evening.max() + 1)[evening]
    lucky = _share(np.log(share / (1 - share)) + luck)
    lucky[-1] = share[-1]
    return lucky, start.day


def _years(start: _Start) -> tuple[Floats, Floats]:
    yearly = np.array([0.47, 0.56, 0.55, 0.64, 0.74, 0.78]) + start.rng.normal(0, 0.03, 6)
    return yearly[np.minimum((start.place * 6).astype(int), 5)], start.day


def _fall(start: _Start) -> tuple[Floats, Floats]:
    lost = (start.high - start.low) * start.rng.uniform(0.5, 1)
    return start.high - lost * np.maximum(2 * start.place - 1, 0), start.day


def _wander(start: _Start) -> tuple[Floats, Floats]:
    settings = len(start.place)
    steps = start.rng.normal(0, 1.5 / settings**0.5, settings)
    return _share(np.clip(_odds(start.low) + np.cumsum(steps), -3, 3)), start.day


def _seasons(start: _Start) -> tuple[Floats, Floats]:
    turned = 2 * np.pi * (start.day / 365 + start.rng.random())
    return _share(_odds((start.low + start.high) / 2) + 0.6 * np.sin(turned)), start.day


def _power_law(start: _Start) -> tuple[Floats, Floats]:
    settings = len(start.place)
    power = np.log((1 - start.low) / (1 - start.high)) / np.log(settings)
    return 1 - (1 - start.low) * np.arange(1.0, settings + 1) ** -power, start.day


def _two_pauses(start: _Start) -> tuple[Floats, Floats]:
    odds, day = np.full(len(start.place), _odds(start.high)), start.day.copy()
    for at in (int(len(odds) * 0.5), int(len(odds) * 0.93)):
        day[at:] += 90
        odds = odds - _lost(len(odds), at, 0.9)
    return _share(odds), day


def _there_and_back(start: _Start) -> tuple[Floats, Floats]:
    top = start.rng.uniform(0.4, 0.7)
    gain = np.where(start.place < top, start.place / top, (1 - start.place) / (1 - top) / 2 + 0.5)
    return start.low + (start.high - start.low) * gain, start.day


def _two_jumps(start: _Start) -> tuple[Floats, Floats]:
    first, then = start.rng.uniform(0.2, 0.45), start.rng.uniform(0.55, 0.85)
    middle = (start.low + start.high) / 2
    share = np.where(start.place < first, start.low, middle)
    return np.where(start.place < then, share, start.high), start.day


def _summers_off(start: _Start) -> tuple[Floats, Floats]:
    """A rise, with three pauses of ten weeks that cost a little each."""
    share = start.low + (start.high - start.low) * start.place
    odds, day = np.log(share / (1 - share)), start.day.copy()
    for place in (0.25, 0.55, 0.88):
        at = int(len(odds) * place)
        day[at:] += 70
        odds = odds - _lost(len(odds), at, 0.5)
    return _share(odds), day


SIX: Mapping[str, Shape] = {
    "steady": _steady,
    "linear rise": _rise,
    "S": _s,
    "a jump": _jump,
    "a rise, a plateau, rare visits": _plateau,
    "rust after a pause": _rust,
}
"""What the share good now is promised for."""

SEVEN_MORE: Mapping[str, Shape] = {
    "evenings with luck of their own": _evening_luck,
    "a step a year": _years,
    "a fall": _fall,
    "a random walk": _wander,
    "seasons": _seasons,
    "a power law": _power_law,
    "two pauses": _two_pauses,
}
"""Harder or odder ones, where it is only told how it goes."""

KEPT_APART: Mapping[str, Shape] = {
    "there and half back": _there_and_back,
    "two jumps": _two_jumps,
    "three summers off": _summers_off,
}
"""Drawn up after the constants of the curve were chosen, so that no constant rests on them."""

SHAPES: Mapping[str, Shape] = {**SIX, **SEVEN_MORE, **KEPT_APART}
