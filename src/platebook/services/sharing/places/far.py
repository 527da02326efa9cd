"""A far place: whatever fsspec opens by an address. Each request has a limit of time.

Keys and passwords are the business of the libraries: they look for them where they always do (their
environment variables and files), and the program never sees one.
"""

import io
import queue
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from platebook.exchange.bundle_file import LARGEST_FILE, read_bundle, too_large
from platebook.exchange.bundle_lines import SUFFIX, NotABundle
from platebook.exchange.half_written import STALE_S, is_left_over, name_beside
from platebook.exchange.plain_file import NotPlain
from platebook.practice.revision import Bundle
from platebook.services.session import Refused
from platebook.services.sharing.places.allowance import Allowance, SentTooMuch
from platebook.services.sharing.places.meanings import (
    CutShort,
    is_of_one_file,
    of_a_file,
    of_the_place,
)
from platebook.services.sharing.places.openers import Opened, open_far
from platebook.services.sharing.places.place import (
    Content,
    Lying,
    NotHad,
    Unreachable,
    left_alone,
)

PATIENCE_S = 30.0
SLOWEST = 20_000
"""Bytes a second that a line carries at least: a file may take as long as it needs at that."""

AT_ONCE = 16
"""Files asked for together, where the library can ask for several."""

MOST_AT_ONCE = 32 * 2**20
TICK = timedelta(seconds=10)
"""A time of writing that is younger tells nothing yet: the file may change within the same tick."""

Answer = TypeVar("Answer")


@dataclass
class FarPlace:
    """A place at an address, opened at the first request."""

    address: str
    patience_s: float = PATIENCE_S
    opener: Callable[[str, Allowance], Opened] = open_far
    _place: Opened | None = field(default=None, init=False)
    _allowance: Allowance = field(default_factory=Allowance, init=False)

    def files(self) -> tuple[Lying, ...]:
        """Everything in it that is named as a bundle, in the order of names."""
        rows = self._ask(self._listing, "Nothing was shared.")
        found = [row for row in rows if _name(row).lower().endswith(SUFFIX)]
        lying = [self._lying(row) for row in found if not _name(row).startswith(".")]
        return tuple(sorted(lying, key=lambda one: one.name))

    def bundles(self, lying: Sequence[Lying]) -> Iterator[Bundle | Refused]:
        """What these files hold, in their order, some asked for together."""
        waiting = list(lying)
        while waiting:
            batch = [waiting.pop(0)]
            size = batch[0].size
            while waiting and len(batch) < self._at_once():
                size += waiting[0].size
                if size > MOST_AT_ONCE:
                    break
                batch.append(waiting.pop(0))
            yield from map(_bundle_in, batch, self._contents(batch))

    def put(self, name: str, content: Content) -> str:
        """Write a file whole or not at all, over the one before; gives its mark.

        The libraries take it in one piece: not all of them can be trusted to leave the file before
        where one breaks off in the middle.
        """
        data = b"".join(content.chunks())
        kept = "What stood there before still does."
        return self._ask(lambda: self._write(name, data), kept, size=len(data))

    def close(self) -> None:
        """Its connections are ended, and what nobody waits for any more with them."""
        self._place = None
        self._allowance.end()
        self._allowance = Allowance()

    def path_of(self, name: str) -> str:
        """How a file of it is called where a person is told of it."""
        return f"{self.address}/{name}"

    def _opened(self) -> Opened:
        if self._place is None:
            allowance = self._allowance
            place = self.opener(self.address, allowance)
            if allowance.ended:
                raise TimeoutError  # nobody waits for it any more
            self._place = place
        return self._place

    def _at_once(self) -> int:
        several = self._place is not None and self._place.system.async_impl
        return AT_ONCE if several else 1

    def _listing(self) -> list[Mapping[str, Any]]:
        place = self._opened()
        try:
            rows = list(place.system.ls(place.root, detail=True, **place.listing))
        except FileNotFoundError:
            # Where there are no folders, a place that nobody has written to yet is not to be seen.
            if place.bucket and place.system.exists(place.bucket):
                return []
            raise
        for row in rows:
            if is_left_over(_name(row)) and _age_s(row) > STALE_S:
                _let_go(place, str(row["name"]))  # a killed program had begun to write it
        return rows

    def _lying(self, row: Mapping[str, Any]) -> Lying:
        plain = row.get("type", "file") == "file"
        size = max(0, int(row.get("size") or 0))
        return Lying(_name(row), size, _mark(row) if plain else "", plain)

    def _contents(self, batch: Sequence[Lying]) -> list[object]:
        """The bytes of each file, or the error that stands in their place."""
        small = [one for one in batch if one.plain and one.size <= LARGEST_FILE]
        place = self._opened()
        paths = {one.name: f"{place.root}/{one.name}" for one in small}

        def read() -> dict[str, object]:
            if len(small) == 1:
                name = small[0].name
                return {name: place.system.cat_file(paths[name], **place.reading)}
            found = place.system.cat(list(paths.values()), on_error="return", **place.reading)
            return {name: found[path] for name, path in paths.items()}

        total = sum(one.size for one in small)
        try:
            found = self._ask(read, "", size=total, one_file=True) if small else {}
        except _OfAFile as error:
            found = {small[0].name: error.reason}
        errors = (one for one in found.values() if isinstance(one, Exception))
        gone = next((one for one in errors if not is_of_one_file(one)), None)
        if gone is not None:
            raise Unreachable(self._sentence(gone, "")) from gone
        return [found.get(one.name, one) for one in batch]

    def _write(self, name: str, data: bytes) -> str:
        place = self._opened()
        path = f"{place.root}/{name}"
        if place.whole:
            place.system.pipe_file(path, data)
        else:
            aside = f"{place.root}/{name_beside(name)}"
            try:
                place.system.pipe_file(aside, data)
                _refuse_cut_short(place.system.info(aside), len(data))
                place.move(aside, path)
            except Exception:
                _let_go(place, aside)
                raise
        row = place.system.info(path)
        _refuse_cut_short(row, len(data))
        return _mark(row)

    def _ask(
        self, call: Callable[[], Answer], ended: str, *, size: int = 0, one_file: bool = False
    ) -> Answer:
        """What a request answers; Unreachable in a sentence where it does not, or not in time."""
        self._allowance.allow(size)
        try:
            return _within(call, self.patience_s + size / SLOWEST)
        except Refused:
            raise
        except Exception as raised:
            error = self._meant(raised)
            # Each library raises errors of its own; none of their texts is shown, since an
            # address or a header in it may hold a secret.
            if one_file and is_of_one_file(error):
                raise _OfAFile(error) from raised
            raise Unreachable(self._sentence(error, ended)) from raised

    def _meant(self, raised: Exception) -> Exception:
        """What went wrong; lines are closed that have no end, or none that is waited for.

        So are those of a place that was opened half.
        """
        exceeded = self._allowance.exceeded
        if exceeded or isinstance(raised, TimeoutError) or self._place is None:
            self.close()
        return SentTooMuch() if exceeded else raised

    def _sentence(self, error: Exception, ended: str) -> str:
        words = of_the_place(error, self.address, self.patience_s)
        return f"{self.address}: {words} {ended}".rstrip()


class _OfAFile(Exception):  # noqa: N818 - carries what is wrong with one file, and is no answer
    def __init__(self, reason: Exception) -> None:
        super().__init__()
        self.reason = reason


def _within(call: Callable[[], Answer], limit_s: float) -> Answer:
    """What a call answers within so many seconds; TimeoutError where it does not.

    It runs in a thread that nobody waits for, because no library ends a request that hangs.
    """
    answers: queue.Queue[tuple[Answer | None, BaseException | None]] = queue.Queue()

    def run() -> None:
        try:
            answers.put((call(), None))
        except BaseException as error:  # noqa: BLE001 - raised again where it was asked for
            answers.put((None, error))

    threading.Thread(target=run, daemon=True, name="far place").start()
    try:
        answer, error = answers.get(timeout=limit_s)
    except queue.Empty:
        raise TimeoutError from None
    if error is not None:
        raise error
    return answer  # type: ignore[return-value] # without an error there is an answer


def _bundle_in(lying: Lying, content: object) -> Bundle | Refused:
    """The bundle in what a file holds; a `Lying` stands for one that was not asked for."""
    try:
        match content:
            case bytes():
                return read_bundle(io.BytesIO(content))
            case IsADirectoryError() | Lying(plain=False):
                words = str(NotPlain())
            case Lying():
                words = too_large(lying.size)
            case Exception():
                return left_alone(lying.name, of_a_file(content), kind=NotHad)
            case _:
                words = "cannot be read there"
    except NotABundle as error:
        words = error.sentence
    return left_alone(lying.name, words)


def _refuse_cut_short(row: Mapping[str, Any], size: int) -> None:
    """CutShort where another size lies there than was written."""
    if row.get("size") != size:
        raise CutShort


def _let_go(place: Opened, aside: str) -> None:
    """Take away what was written aside, as far as the place still answers."""
    try:
        place.system.rm_file(aside)
    except Exception:  # noqa: BLE001 - the error that led here is the one to tell
        return


def _name(row: Mapping[str, Any]) -> str:
    return str(row["name"]).rstrip("/").rpartition("/")[2]


def _mark(row: Mapping[str, Any]) -> str:
    """What is another one as soon as the content is: the place's own tag, or size and time."""
    size = row.get("size")
    for key in ("ETag", "etag", "md5Hash", "content_md5"):
        if row.get(key):
            return f"{size} {row[key]}"
    when = _written(row)
    if when is not None:
        return f"{size} {when.isoformat()}" if datetime.now(UTC) - when > TICK else ""
    return ""


_TIMES = ("mtime", "LastModified", "last_modified", "modified", "created")


def _written(row: Mapping[str, Any]) -> datetime | None:
    """When a file was written, as far as the place says so."""
    when = next((row[key] for key in _TIMES if isinstance(row.get(key), datetime)), None)
    return when if when is None or when.tzinfo else when.replace(tzinfo=UTC)


def _age_s(row: Mapping[str, Any]) -> float:
    """How long ago a file was written; 0 where the place does not say."""
    when = _written(row)
    if when is None:
        seconds = (row[key] for key in _TIMES if isinstance(row.get(key), float))
        when = datetime.fromtimestamp(next(seconds, datetime.now(UTC).timestamp()), UTC)
    return (datetime.now(UTC) - when).total_seconds()
