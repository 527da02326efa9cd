"""A problem as one line: where it stands, what was read and what was expected."""

import pytest

from platebook.practice.problem import Problem, only_problems


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        (
            Problem(2, "fit", "x", "a word", line=3),
            "row 2 (line 3), fit: read 'x', expected a word",
        ),
        (Problem(2, "fit", "x", "a word"), "row 2, fit: read 'x', expected a word"),
        (Problem(0, "fit", "x", "a word", line=3), "line 3, fit: read 'x', expected a word"),
        (Problem(0, "file", "", "rows", file="a.csv"), "a.csv, file: read '', expected rows"),
    ],
)
def test_a_problem_reads_as_one_line(problem: Problem, line: str) -> None:
    """What is not known of its place is left out."""
    assert str(problem) == line


def test_a_notice_forbids_nothing() -> None:
    """Only problems keep a file from being stored."""
    notice = Problem(1, "fit", "x", "a word", "notice")
    problem = Problem(1, "fit", "y", "a word")
    assert only_problems([notice, problem]) == (problem,)
