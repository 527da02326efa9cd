"""Problems of many rows told once each: 3,000 rows with one fault are one line."""

from collections.abc import Iterable

from platebook.practice.problem import Problem
from platebook.values import replace

MOST_READ = 4
"""Values of one column with the same fault beyond this many are told together."""

_SHOWN = 3


def grouped(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems, those of one column with one fault as one, in the order they were found."""
    same: dict[tuple[str, str, str, str], list[Problem]] = {}
    for problem in problems:
        key = (problem.level, problem.field, problem.read, problem.expected)
        same.setdefault(key, []).append(problem)
    kinds: dict[tuple[str, str, str], list[list[Problem]]] = {}
    for (level, field, _, expected), group in same.items():
        kinds.setdefault((level, field, expected), []).append(group)
    told: list[Problem] = []
    for groups in kinds.values():
        if len(groups) <= MOST_READ or not groups[0][0].row:
            told += [_with_times(group[0], group) for group in groups]
            continue
        values = [group[0].read for group in groups]
        shown = ", ".join(values[:_SHOWN])
        read = f"{shown} and {len(values) - _SHOWN} others"
        first = replace(groups[0][0], read=read)
        told.append(_with_times(first, [problem for group in groups for problem in group]))
    return tuple(told)


def _with_times(first: Problem, group: list[Problem]) -> Problem:
    return replace(first, times=len(group)) if len(group) > 1 else first
