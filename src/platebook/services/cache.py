"""Answers that took long are kept beside the logbook until something changes that they rest on.

A kept answer is found by a mark of all it rests on (the setter's digest, which every write that
concerns them renews, the course's text, the cells or the class asked beside), of the program's
version and of the code's schema; never by time. The folder lies beside the logbook, not in the
system's cache, so that erasing a person and throwing a logbook away take the answers along. A file
that cannot be read is as good as none; an answer that cannot be kept is given all the same.
"""

import contextlib
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, Generic, TypeVar

from msgspec.json import Decoder, Encoder
from pydantic import BaseModel

from platebook import __version__
from platebook.logbook.file.place import answers_folder, first_sight_file
from platebook.practice.courses.course import Course
from platebook.values import Value

Answer = TypeVar("Answer")
Kind = TypeVar("Kind", bound=BaseModel | Value)

CODE_SCHEMA = 27
"""Goes up when what an answer says changes without the program's version."""

OF_A_CLASS = "class"
"""Begins the name of what is kept about a class, where a setter's id begins that about a setter."""


class Form(Value, Generic[Answer]):
    """How an answer is called in a file's name, and how it becomes bytes and is read from them.

    `read` raises ValueError for bytes that hold no such answer.
    """

    name: str
    suffix: str
    write: Callable[[Answer], bytes]
    read: Callable[[bytes], Answer]


def json_form(kind: type[Kind], name: str = "") -> Form[Kind]:
    """The form of a value: its JSON text, under the name of its class where none is given."""
    written = Encoder(enc_hook=_plain).encode
    read = Decoder(kind, dec_hook=_checked).decode
    return Form(name or kind.__name__.lower(), "json", written, read)


def _plain(checked: BaseModel) -> Any:
    return checked.model_dump(mode="json", by_alias=True)


def _checked(kind: type[BaseModel], plain: object) -> BaseModel:
    return kind.model_validate(plain)


def mark_of(*rests_on: str) -> str:
    """What an answer that rests on this is found by, in this version of the program."""
    text = "\n".join((*rests_on, __version__, str(CODE_SCHEMA)))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:32]


class Cache:
    """The answers kept beside one logbook: a file for each answer about a setter or a class.

    `about` is whom it is about: a setter's id, or a name that begins with `OF_A_CLASS`. An empty
    mark is that of an answer that says itself what its parts rest on.
    """

    def __init__(self, logbook: Path) -> None:
        self._folder = answers_folder(logbook)
        self._older: dict[str, set[str]] | None = None

    def find(self, form: Form[Answer], about: str, mark: str = "") -> Answer | None:
        """The answer kept for this; None where there is none, or none that can be read."""
        try:
            return form.read(self._file(form, about, mark).read_bytes())
        except (OSError, ValueError, RecursionError):
            return None

    def keep(self, form: Form[Answer], about: str, answer: Answer, mark: str = "") -> None:
        """Keep it in the place of older ones, whole or not at all.

        Of two windows that keep the same at once the later one's stays.
        """
        file = self._file(form, about, mark)
        partial = file.with_name(f"{file.name}.{os.getpid()}.part")
        with contextlib.suppress(OSError):
            self._folder.mkdir(mode=0o700, exist_ok=True)
            partial.write_bytes(form.write(answer))
            partial.replace(file)
            if mark:
                start = file.name.rpartition("-")[0]
                known = self._kept().pop(start, set())
                self._kept()[start] = {file.name}
                for old in known - {file.name}:
                    (self._folder / old).unlink(missing_ok=True)

    def _file(self, form: Form[Answer], about: str, mark: str) -> Path:
        name = "-".join(filter(None, (about, form.name, mark)))
        return self._folder / f"{name}.{form.suffix}"

    def _kept(self) -> dict[str, set[str]]:
        """The names of all files by their beginning; the folder of a large class is listed once."""
        if self._older is None:
            self._older = {}
            for file in self._folder.iterdir():
                if file.suffix in {".json", ".npz"}:
                    self._older.setdefault(file.name.rpartition("-")[0], set()).add(file.name)
        return self._older


def recall(
    kind: type[Kind],
    compute: Callable[[], Kind],
    *,
    logbook: Path,
    setter_id: str,
    digest: str,
    course: Course | None = None,
) -> Kind:
    """The answer of this kind for this setter, kept or computed and then kept."""
    cache, form = Cache(logbook), json_form(kind)
    mark = mark_of(digest, course.model_dump_json() if course else "")
    answer = cache.find(form, setter_id, mark)
    if answer is None:
        answer = compute()
        cache.keep(form, setter_id, answer, mark)
    return answer


class _Decided(Value):
    """The families claimed at checkpoints, by the mark of what each rests on; the latest last."""

    families: dict[str, tuple[str, ...]]


_MOST_DECISIONS = 48
"""Enough for all checkpoints inside the window, of failures and of two kinds of seats, twice."""


class KeptDecisions:
    """What checkpoints of one setter's log decided, kept beside the logbook (`claims.Decisions`).

    The marks say what a decision rests on, so one more attempt leaves them standing.
    """

    def __init__(self, logbook: Path, setter_id: str) -> None:
        self._cache, self._setter_id = Cache(logbook), setter_id
        self._form, self._mark = json_form(_Decided, "decisions"), mark_of("decisions")
        kept = self._cache.find(self._form, setter_id, self._mark)
        self._families = {} if kept is None else kept.families

    def find(self, mark: str) -> tuple[str, ...] | None:
        """The families claimed then; None where nothing is kept."""
        return self._families.get(mark)

    def keep(self, mark: str, families: tuple[str, ...]) -> None:
        """Keep the families claimed, and of all decisions the latest few."""
        latest = [*self._families.items(), (mark, families)][-_MOST_DECISIONS:]
        self._families = dict(latest)
        decided = _Decided(families=self._families)
        self._cache.keep(self._form, self._setter_id, decided, self._mark)


def forget(logbook: Path, setter_id: str) -> None:
    """Throw away every answer kept about this setter, and the words that Now last showed.

    What was half written goes too: its program died, or is content without it.
    """
    folder = answers_folder(logbook)
    for file in (*folder.glob(f"{setter_id}-*"), *folder.glob("*.part")):
        file.unlink(missing_ok=True)
    first_sight_file(logbook).unlink(missing_ok=True)
