"""Uncertainty of a reading after JCGM 100: components, combined, expanded.

| function | gives |
|---|---|
| `rectangular` | standard uncertainty of a value known within ± a half-width |
| `combined` | standard uncertainty of several components together, with its degrees of freedom |
| `coverage` | how many standard uncertainties hold a share of the values (Student's t) |
"""

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass

HALVINGS = 100


@dataclass(frozen=True, slots=True)
class Component:
    """One source of uncertainty: standard uncertainty, and the degrees of freedom it rests on."""

    standard: float
    freedom: float = math.inf


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a value that lies anywhere within ± this (JCGM 100, 4.3.7)."""
    return half_width / math.sqrt(3)


def combined(components: Iterable[Component]) -> Component:
    """The components together (JCGM 100, 5.1.2), with effective degrees of freedom (G.4.1).

    With no component, or with zeros only, the uncertainty is 0 and rests on infinitely many.
    """
    parts = tuple(components)
    standard = math.hypot(*[part.standard for part in parts])
    doubt = sum([part.standard**4 / part.freedom for part in parts])
    return Component(standard, standard**4 / doubt if doubt else math.inf)


@functools.lru_cache(maxsize=256)
def coverage(share: float, freedom: float) -> float:
    """The factor k that holds this share of the values either side of a mean (JCGM 100, G.2).

    Degrees of freedom are truncated to a whole number, as G.4.1 advises; infinitely many give the
    normal distribution's. Raises ValueError outside 0 < share < 1 or below one degree of freedom.
    """
    if not 0 < share < 1:
        raise ValueError(f"a share lies between 0 and 1, not {share!r}")
    if freedom < 1:
        raise ValueError("at least one degree of freedom is needed")
    low, high = 0.0, 1.0
    while _held(high, freedom) < share:
        high *= 2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _held(middle, freedom) < share else (low, middle)
    return high


def _held(k: float, freedom: float) -> float:
    """The share of Student's t within ± k, by the finite series for whole degrees of freedom.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
    """
    if math.isinf(freedom):
        return math.erf(k / math.sqrt(2))
    whole = math.floor(freedom)
    angle = math.atan(k / math.sqrt(whole))
    cosine = math.cos(angle)
    odd = whole % 2 == 1
    term = math.sin(angle) * (cosine if odd else 1.0)
    total = term if whole > 1 or not odd else 0.0
    for step in range(3 if odd else 2, whole - 1, 2):
        term *= cosine**2 * (step - 1) / step
        total += term
    return (angle + total) * 2 / math.pi if odd else total
