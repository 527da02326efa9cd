"""Bundle files in a folder: which there are, reading one, writing the own one."""

import dataclasses
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from platebook.exchange.bundle_file import bundle_file, read_bundle, write_bundle
from platebook.exchange.bundle_lines import SUFFIX, NotABundle
from platebook.practice.course_file import CourseError, load_course
from platebook.practice.revision import Bundle
from platebook.services.files import write_anew
from platebook.services.session import Refused

NOTHING = "Nothing of it was taken in."


def read_file(file: Path) -> "Bundle":
    """The bundle in a file; Refused, with what is wrong with it, where it is none."""
    with _refusing(file):
        try:
            with bundle_file(file) as stream:
                return read_bundle(stream)
        except NotABundle as error:
            raise left_alone(file, error.sentence) from error


def left_alone(file: Path, words: str) -> Refused:
    """The refusal of a file, in words that say that it was left alone."""
    reason = words.removesuffix(NOTHING).rstrip(" .")
    return Refused(f"{file.name}: {reason}. {NOTHING}")


def without_odd_courses(bundle: "Bundle") -> "tuple[Bundle, tuple[str, ...]]":
    """The bundle with the courses that this program can read, and the ids of the others."""
    kept, left = [], []
    for copy in bundle.courses:
        try:
            course = load_course(copy.text)
        except CourseError:
            left.append(copy.course)
            continue
        same = (course.id, course.version) == (copy.course, copy.version)
        if same:
            kept.append(copy)
        else:
            left.append(copy.course)
    return dataclasses.replace(bundle, courses=tuple(kept)), tuple(left)


@contextmanager
def _refusing(file: Path) -> Iterator[None]:
    """What the system says of a file, as a refusal."""
    try:
        yield
    except OSError as error:
        raise left_alone(file, str(error.strerror)) from error


def write_own(own: Path, bundle: "Bundle") -> None:
    """Write the own file, unless it says just that already: what does not change is not carried."""
    data = write_bundle(bundle)
    with _refusing(own):
        if own.is_file() and own.read_bytes() == data:
            return
    write_anew(own, data)


def bundles_in(folder: Path) -> tuple[Path, ...]:
    """Everything in the folder that is named as a bundle, in the order of names."""
    with _refusing(folder):
        bundles = [
            file
            for file in folder.iterdir()
            if file.suffix.lower() == SUFFIX and not file.name.startswith(".")
        ]
    return tuple(sorted(bundles))
