"""Counts in sentences: what a finding counted on two sides or by level, and what no longer holds.

"Went with", never "causes". The trend that was asked is named, and where levels lie against it that
is said too; a claim that later attempts do not bear out keeps the counts of both times.
"""

import re
from collections.abc import Sequence
from datetime import date

from platebook.analysis.findings.telling.results import Count
from platebook.analysis.findings.telling.sentences import defect_name, slight_of
from platebook.trade.phrases import count_of, full_day

_WENT_WITH = " went with "
_LEVEL = r"\d+ of \d+ \(([^)]*)\)"
_COUNTED_LEVEL = re.compile(_LEVEL)
"""As `_level` writes it."""
_AGAINST_THE_TREND = re.compile(rf"{_LEVEL} is more than {_LEVEL}")


def went_with(defect: str, phrase: str, rest: str, counts: Sequence[Count]) -> str:
    """The main sentence of a lead or claim; `counts` holds the phrase's side, then the rest's."""
    here, there = (_counted(count, defect) for count in counts)
    apart = "," if counts[1].slight else ""
    return f"{_begun(defect)} went with {phrase}: {here}, against {there}{apart} {rest}."


def went_with_trend(
    defect: str, toward: str, sides: tuple[str, str], counts: Sequence[Count]
) -> str:
    """The main sentence of a trend over many values, with the counts on both sides of its cut."""
    here, there = (
        f"{_counted(count, defect)}{',' if count.slight else ''} {side}"
        for count, side in zip(counts, sides, strict=True)
    )
    return f"{_begun(defect)} went with {toward}: {here}, against {there}."


def went_with_levels(defect: str, toward: str, levels: Sequence[Count]) -> str:
    """The main sentence of a trend over few values: the counts of each, from the end meant."""
    return f"{_begun(defect)} went with {toward}: {_level_by_level(levels)}."


def counted(defect: str, phrase: str, rest: str, counts: Sequence[Count]) -> str:
    """The counts of both sides: Loose 8 of 10 with metal worked, 6 of 48 with metal annealed."""
    here, there = counts
    return (
        f"{_begun(defect)} {here.failed} of {here.of} with {phrase}, "
        f"{there.failed} of {there.of} {rest}."
    )


def counted_levels(defect: str, spoken: str, levels: Sequence[Count]) -> str:
    """The same counts alone: "High by checks of the fit: 9 of 11 (0), 1 of 13 (3-5)."."""
    return f"{_begun(defect)} by {spoken}: {_level_by_level(levels)}."


def not_at_each_level(near: Count, far: Count) -> str:
    """That two levels lie against the trend, as chance alone may do."""
    return (
        f"Not from level to level: {_level(far)} is more than {_level(near)}, "
        "which may be chance; what was asked is the trend over all."
    )


def without_counts(sentence: str) -> str:
    """A finding or a note on its levels as it stands beside a picture that has the counts.

    "High went with fewer checks of the fit.", or that there is "more at 1-2 than at 0".
    """
    begun, went, _ = sentence.rpartition(": ")
    if went and _WENT_WITH in begun:
        return f"{begun}."
    return _COUNTED_LEVEL.sub(r"\1", _AGAINST_THE_TREND.sub(r"more at \1 than at \2", sentence))


def against_the_trend(near: Count, far: Count) -> str:
    """That two levels lie further against the trend than chance would have it."""
    return (
        f"No steady trend: {_level(far)} is more than {_level(near)}, and chance hardly does that."
    )


def at_one_end(end: Count, middle: Count, other: Count) -> str:
    """That only one end of an order is unlike its middle."""
    ends = f"{_level(end)}, against {_level(other)} at the other end"
    return f"At one end only: {ends} and {_level(middle)} in between."


def no_longer(
    attempt: int, day: date | None, counts: Sequence[Count], sides: tuple[str, str] = ("", "")
) -> str:
    """Since when a claim does not hold any more, and what was counted since on both sides."""
    here, there = counts
    when = f"{full_day(day)} (attempt {attempt})" if day is not None else f"attempt {attempt}"
    since = f"since {when}"
    if not here.of:
        done = f" ({sides[0]})" if sides[0] else ""
        return f"Not done any more{done}: none of the {count_of(there.of, 'attempt')} {since}."
    return f"No longer so: {_both(counts, sides)}, {since}."


def dropped_at(
    checkpoints: tuple[int, int],
    day: date | None,
    counts: Sequence[Count],
    sides: tuple[str, str] = ("", ""),
) -> str:
    """That a later checkpoint did not support a claim any more, and what was counted since.

    `checkpoints` are the one that supported it and the one that did not; `day` is that of the first
    attempt since the former.
    """
    (supported, dropped), (here, there) = checkpoints, counts
    first = supported + 1
    since = f"{full_day(day)} (attempt {first})" if day is not None else f"attempt {first}"
    told = _both(counts, sides)
    if not here.of:
        told = f"not done in {count_of(there.of, 'attempt')}"
    return (
        f"So counted up to attempt {supported}, when it was well supported; at {dropped} it was "
        f"not any more. Since {since}: {told}."
    )


def was_well_supported(supported: int, dropped: int) -> str:
    """The note beside what is worth watching and was more at an earlier checkpoint."""
    return f"It was well supported at attempt {supported}, and at {dropped} not any more."


def _begun(defect: str) -> str:
    name = defect_name(defect)
    return f"{name[0].upper()}{name[1:]}"


def _both(counts: Sequence[Count], sides: tuple[str, str]) -> str:
    """The counts of both sides, each with what its side is called where that is known."""
    here, there = (
        f"{count.failed} of {count.of}{f' ({side})' if side else ''}"
        for count, side in zip(counts, sides, strict=True)
    )
    return f"{here}, against {there}"


def _level(count: Count) -> str:
    return f"{count.failed} of {count.of} ({count.label})"


def _level_by_level(levels: Sequence[Count]) -> str:
    """Such as 9 of 11 (0), 20 of 21 (1-2); then how many of those with it passed as good."""
    told = ", ".join(map(_level, levels))
    slight, failed = (sum(getattr(c, of) for c in levels) for of in ("slight", "failed"))
    return f"{told}; {slight_of(slight, failed)}" if slight else told


def _counted(count: Count, defect: str) -> str:
    """Such as 7 of 10; where some of those passed as good, 12 of 15 high, 7 of them slight."""
    told = f"{count.failed} of {count.of}"
    if not count.slight:
        return told
    name = defect_name(defect)
    shown = name if name == defect else f"with {name}"
    return f"{told} {shown}, {slight_of(count.slight, count.failed)}"
