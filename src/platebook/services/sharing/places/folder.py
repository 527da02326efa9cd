"""A folder of this machine: on a disk, a stick or a network share."""

import hashlib
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from platebook.exchange.bundle_file import LONGEST_LINE, bundle_file, read_bundle
from platebook.exchange.bundle_lines import SUFFIX, NotABundle
from platebook.logbook.file.place import shown_name
from platebook.practice.revision import Bundle
from platebook.services.files import write_anew
from platebook.services.session import Refused
from platebook.services.sharing.places.place import Content, Lying, left_alone


class Folder:
    """A folder that is there; Refused for one that is not."""

    def __init__(self, path: Path) -> None:
        if not os.path.isdir(path):  # noqa: PTH112 - of any name, however odd, it says no
            raise Refused(
                f"{shown_name(path)}: is not a folder that is there. Make it first, or look "
                "whether the stick or network share is connected"
            )
        self.path = path

    @property
    def address(self) -> str:
        """What it is remembered by."""
        return str(self.path.absolute())

    def files(self) -> tuple[Lying, ...]:
        """Everything in it that is named as a bundle, in the order of names."""
        with _refusing(self.path.name):
            found = sorted(
                file
                for file in self.path.iterdir()
                if file.suffix.lower() == SUFFIX and not file.name.startswith(".")
            )
        return tuple(Lying(file.name, mark=_mark(file)) for file in found)

    def bundles(self, lying: Sequence[Lying]) -> Iterator[Bundle | Refused]:
        """What these files hold, in their order, each read when it is asked for."""
        for one in lying:
            try:
                yield read_file(self.path / one.name)
            except Refused as error:
                yield error

    def put(self, name: str, content: Content) -> str:
        """Write a file of one's own, unless it says just that already; gives its mark."""
        file = self.path / name
        with _refusing(name):
            if file.is_file() and _says(file, content):
                return _mark(file)
        with _refusing(name):
            # Who may look into a folder made for sharing may read what was put into it.
            mode = 0o600 | self.path.stat().st_mode & 0o044
        write_anew(file, content.chunks(), mode=mode)
        return _mark(file)

    def close(self) -> None:
        """Nothing of it is held."""

    def path_of(self, name: str) -> str:
        """How a file of it is called where a person is told of it."""
        return str(self.path / name)


def read_file(file: Path) -> Bundle:
    """The bundle in a file; Refused, with what is wrong with it, where it is none."""
    with _refusing(file.name):
        try:
            with bundle_file(file) as stream:
                return read_bundle(stream)
        except NotABundle as error:
            raise left_alone(file.name, error.sentence) from error


def _says(file: Path, content: Content) -> bool:
    """Whether a file says just this."""
    if file.stat().st_size != content.size:
        return False
    with file.open("rb") as stream:
        return all(stream.read(len(part)) == part for part in content.chunks())


def _mark(file: Path) -> str:
    """Size, time of writing and first line, which holds the digest of a bundle; else none.

    The time alone would miss a file that was written twice within one tick of a stick's clock.
    """
    try:
        with bundle_file(file) as stream:
            status = file.stat()
            first = hashlib.sha256(stream.readline(LONGEST_LINE)).hexdigest()
    except (OSError, NotABundle):
        return ""
    return f"{status.st_size} {status.st_mtime_ns} {first}"


@contextmanager
def _refusing(name: str) -> Iterator[None]:
    """What the system says of a file, as a refusal."""
    try:
        yield
    except OSError as error:
        raise left_alone(name, str(error.strerror)) from error
