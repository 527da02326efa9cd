"""A course in words: what its rates, points and watch do, exactly."""

from collections.abc import Iterable

from platebook.analysis.grades.points import TRIES
from platebook.analysis.grades.run_lengths import WATCHED, RunLengths, run_lengths
from platebook.practice.courses.course import Course, Grade


def run_lengths_of(course: Course) -> dict[RunLengths, tuple[Grade, ...]]:
    """The run lengths that the course's grades have, each with its grades, in their order."""
    grouped: dict[RunLengths, list[Grade]] = {}
    for grade in course.grades:
        grouped.setdefault(run_lengths(grade.points), []).append(grade)
    return {lengths: tuple(grades) for lengths, grades in grouped.items()}


def run_length_lines(course: Course) -> tuple[str, ...]:
    """One paragraph for each pair of rates in the course."""
    return tuple(
        f"{_titles(grades)}: {passing_words(lengths)} {watch_words(lengths)}"
        for lengths, grades in run_lengths_of(course).items()
    )


def passing_words(lengths: RunLengths) -> str:
    """Who passes within `TRIES` settings, by how many of a hundred fail."""
    return (
        f"Of 100 who fail {_rate(lengths.p0)} in 100, {_chance(lengths.passes_at_p0)} pass within "
        f"{TRIES} settings; of 100 who fail {_rate(lengths.between)}, "
        f"{_chance(lengths.passes_between)}; of 100 who fail {_rate(lengths.p1)}, "
        f"{_chance(lengths.passes_at_p1)}."
    )


def watch_words(lengths: RunLengths) -> str:
    """What the watch over a passed grade does."""
    return (
        f"Once passed, of 100 who keep to {_rate(lengths.p0)} in 100, "
        f"{_chance(lengths.false_alarm)} have a false alarm within {WATCHED} settings; whoever "
        f"slips to twice that rate is seen after {lengths.sees_doubled:.0f} settings on average, "
        f"to {_rate(lengths.p1)} in 100 after {lengths.sees_p1:.0f}."
    )


def _titles(grades: Iterable[Grade]) -> str:
    return ", ".join(grade.id for grade in grades)


def _rate(share: float) -> str:
    """A rate of the course as it is written there, such as 22.5."""
    return f"{100 * share:.3g}"


def _chance(share: float) -> str:
    """A chance in whole hundredths; never none and never certain."""
    whole = round(100 * share)
    return "fewer than 1" if whole < 1 else "more than 99" if whole > 99 else str(whole)
