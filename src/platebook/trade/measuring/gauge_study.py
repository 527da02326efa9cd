"""Gauge repeatability and reproducibility: the same stones measured by several people.

The average and range method of the AIAG's Measurement Systems Analysis (4th ed.). Every person
measures every part equally often. The constants are 1 / d2*, from the manual's table of ranges.
"""

import math
from collections.abc import Sequence

from platebook.trade.validation import Fault, TradeError
from platebook.values import Value

RANGE_OF_MANY = {2: 1.128, 3: 1.693, 4: 2.059, 5: 2.326}
RANGE_OF_ONE = {
    2: 1.41421,
    3: 1.91155,
    4: 2.23887,
    5: 2.48124,
    6: 2.67253,
    7: 2.82981,
    8: 2.96288,
    9: 3.07794,
    10: 3.17905,
}
GOOD_PERCENT = 10.0
MAYBE_PERCENT = 30.0
CATEGORIES = 1.41

Study = Sequence[Sequence[Sequence[float]]]


class GaugeStudy(Value):
    """Standard deviations from a study, in the unit of its readings.

    `repeatability` (one person, one part), `reproducibility` (between persons), `gauge` both
    together, `parts` between the parts, `total` all; `percent` is gauge of total and `categories`
    how many sizes of these parts it tells apart, None where the gauge shows no spread at all. 0
    total (all readings alike) gives 0 percent.
    """

    repeatability: float
    reproducibility: float
    gauge: float
    parts: float
    total: float
    percent: float
    categories: int | None
    sentence: str


def study_gauge(readings: Study) -> GaugeStudy:
    """The study of readings by person, part and trial, as `readings[person][part][trial]`.

    Raises TradeError unless 2 to 10 persons measured the same 2 to 10 parts 2 to 5 times each.
    """
    faults = check_study(readings)
    if faults:
        raise TradeError(faults)
    persons, parts, trials = len(readings), len(readings[0]), len(readings[0][0])
    ranges = [max(cell) - min(cell) for person in readings for cell in person]
    repeatability = _mean(ranges) / RANGE_OF_MANY[trials]
    means = [_mean([x for cell in person for x in cell]) for person in readings]
    between = (max(means) - min(means)) / RANGE_OF_ONE[persons]
    own = repeatability**2 / (parts * trials)
    reproducibility = math.sqrt(max(between**2 - own, 0.0))
    part_means = [_mean([x for person in readings for x in person[p]]) for p in range(parts)]
    part = (max(part_means) - min(part_means)) / RANGE_OF_ONE[parts]
    gauge = math.hypot(repeatability, reproducibility)
    total = math.hypot(gauge, part)
    percent = 100 * gauge / total if total else 0.0
    return GaugeStudy(
        repeatability=repeatability,
        reproducibility=reproducibility,
        gauge=gauge,
        parts=part,
        total=total,
        percent=percent,
        categories=math.floor(CATEGORIES * part / gauge) if gauge else None,
        sentence=_sentence(percent, total),
    )


def check_study(readings: Study) -> tuple[Fault, ...]:
    """What keeps readings from being a study: too few or too many, or not all measured alike."""
    if len(readings) not in RANGE_OF_ONE:
        return (Fault("persons", str(len(readings)), "2 to 10 persons"),)
    counts = {len(person) for person in readings}
    if len(counts) > 1 or not counts <= set(RANGE_OF_ONE):
        return (Fault("parts", _read(counts), "the same 2 to 10 parts for every person"),)
    counts = {len(cell) for person in readings for cell in person}
    if len(counts) > 1 or not counts <= set(RANGE_OF_MANY):
        return (Fault("trials", _read(counts), "each part measured equally often, 2 to 5 times"),)
    return ()


def _read(counts: set[int]) -> str:
    return " and ".join(str(count) for count in sorted(counts))


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _sentence(percent: float, total: float) -> str:
    if not total:
        return "All readings are alike: nothing can be said of the gauge."
    if percent < GOOD_PERCENT:
        verdict = "good"
    else:
        verdict = "usable with care" if percent <= MAYBE_PERCENT else "not good enough"
    return f"The gauge and its users make {percent:.0f} % of the spread: {verdict}."
