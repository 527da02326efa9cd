"""What is recorded: course, attempt, look, inspection, plate, setter, revision, reading rows.

`read_attempts` turns rows of text into attempts and problems, `write_row` turns an attempt back;
`load_course` reads a course's text.
"""

from typing import TYPE_CHECKING

from platebook.lazy_names import lazy_names

if TYPE_CHECKING:
    from platebook.practice.attempt import Attempt
    from platebook.practice.courses.course import Course
    from platebook.practice.courses.course_file import (
        CourseError,
        load_course,
        read_course,
        shipped_course,
        shipped_courses,
    )
    from platebook.practice.problem import Problem
    from platebook.practice.reading.attempt_rows import read_attempts, write_row

__all__ = [
    "Attempt",
    "Course",
    "CourseError",
    "Problem",
    "load_course",
    "read_attempts",
    "read_course",
    "shipped_course",
    "shipped_courses",
    "write_row",
]

_ROOMS = {
    "Attempt": "attempt",
    "Course": "courses.course",
    "CourseError": "courses.course_file",
    "Problem": "problem",
    "load_course": "courses.course_file",
    "read_attempts": "reading.attempt_rows",
    "read_course": "courses.course_file",
    "shipped_course": "courses.course_file",
    "shipped_courses": "courses.course_file",
    "write_row": "reading.attempt_rows",
}

__getattr__ = lazy_names(__name__, _ROOMS)
