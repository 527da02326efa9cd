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
from platebook.services.sharing.places.allowance import SentTooMuch
from platebook.services.sharing.places.openers import Opened, open_far
from platebook.services.sharing.places.place import Content, Lying, Unreachable, left_alone

PATIENCE_S = 30.0
SLOWEST = 20_000
"""Bytes a second that a line carries at least: a file may take as long as it needs at that."""

AT_ONCE = 16
"""Files asked for together, where the library can ask for several."""

MOST_AT_ONCE = 32 * 2**20
TICK = timedelta(seconds=10)
"""A time of writing that is younger tells nothing yet: the file may change within the same tick."""

REFUSED = (401, 403)
NOT_LET_IN = ("Credential", "Authentication", "PasswordRequired", "Forbidden", "AccessDenied")
NOT_KNOWN = ("HostKey", "UnknownHost")
SENT_ON = ("Redirect", "UnsupportedProtocol", "InvalidURL")
"""What is in the names of errors that libraries raise which have no family in common."""

Answer = TypeVar("Answer")


@dataclass
class FarPlace:
    """A place at an address, opened at the first request."""

    address: str
    patience_s: float = PATIENCE_S
    opener: Callable[[str], Opened] = open_far
    _place: Opened | None = field(default=None, init=False)

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
        if self._place is not None:
            self._place.allowance.end()
            self._place.close()
            self._place = None

    def path_of(self, name: str) -> str:
        """How a file of it is called where a person is told of it."""
        return f"{self.address}/{name}"

    def _opened(self) -> Opened:
        if self._place is None:
            self._place = self.opener(self.address)
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
            found = self._ask(read, "", size=total, of_a_file=True) if small else {}
        except _OfAFile as error:
            found = {small[0].name: error.reason}
        gone = next((e for e in found.values() if isinstance(e, Exception) and _is_far(e)), None)
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
        return _mark(place.system.info(path))

    def _ask(
        self, call: Callable[[], Answer], ended: str, *, size: int = 0, of_a_file: bool = False
    ) -> Answer:
        """What a request answers; Unreachable in a sentence where it does not, or not in time."""
        if self._place is not None:
            self._place.allowance.allow(size)
        try:
            return _within(call, self.patience_s + size / SLOWEST)
        except Refused:
            raise
        except Exception as raised:
            error = self._meant(raised)
            # Each library raises errors of its own; none of their texts is shown, since an
            # address or a header in it may hold a secret.
            if of_a_file and not _is_far(error):
                raise _OfAFile(error) from raised
            raise Unreachable(self._sentence(error, ended)) from raised

    def _meant(self, raised: Exception) -> Exception:
        """What went wrong; the line is closed where it has no end, or none that is waited for."""
        exceeded = self._place is not None and self._place.allowance.exceeded
        if exceeded or isinstance(raised, TimeoutError):
            self.close()
        return SentTooMuch() if exceeded else raised

    def _sentence(self, error: Exception, ended: str) -> str:
        return f"{self.address}: {_reason(error, self.patience_s)} {ended}".rstrip()


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
            case FileNotFoundError():
                words = "is not there any more"
            case IsADirectoryError() | Lying(plain=False):
                words = str(NotPlain())
            case Lying():
                words = too_large(lying.size)
            case Exception() if SentTooMuch.__name__ in _names(content):
                words = "is longer than the place says"
            case _:
                words = "cannot be read there"
    except NotABundle as error:
        words = error.sentence
    return left_alone(lying.name, words)


def _refuse_cut_short(row: Mapping[str, Any], size: int) -> None:
    """OSError where another size lies there than was written."""
    if row.get("size") != size:
        raise OSError("cut short")


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


def _status(error: BaseException) -> int:
    """The number that a server refused with; 0 for none."""
    response = getattr(error, "response", None)
    return int(getattr(response, "status_code", 0) or getattr(error, "status", 0) or 0)


def _names(error: BaseException) -> str:
    """The names of an error's families and of those it was raised from."""
    chain: list[str] = []
    seen: BaseException | None = error
    while seen is not None and len(chain) < 60:
        chain += [family.__name__ for family in type(seen).__mro__]
        seen = seen.__cause__ or seen.__context__
    return " ".join(chain)


def _is_far(error: Exception) -> bool:
    """Whether an error is about the place and not about one file of it."""
    one_file = (FileNotFoundError, IsADirectoryError, PermissionError)
    if isinstance(error, one_file) or _status(error) in REFUSED:
        return False
    return SentTooMuch.__name__ not in _names(error)


def _reason(error: Exception, patience_s: float) -> str:
    """What an error of a library means, in words of our own."""
    names = _names(error)
    kept_out = (
        isinstance(error, PermissionError)
        or _status(error) in REFUSED
        # SSH without any key to try says it in its text alone.
        or "No authentication methods" in str(error)
    )
    if isinstance(error, FileNotFoundError):
        words = "is not there. Make it first, or look whether the address is right."
    elif SentTooMuch.__name__ in names:
        words = "sends more than was asked for, and was not read to its end."
    elif "TooManyRedirects" in names:
        words = "sends on and on to other addresses. Look whether the address is right."
    elif any(part in names for part in SENT_ON):
        words = "sends on to an address that cannot be opened. Look whether the address is right."
    elif any(part in names for part in NOT_KNOWN):
        words = (
            "this machine does not know the key of that one, which may be another than you think. "
            "Connect once with ssh, and compare the key it shows with the one you were given."
        )
    elif kept_out or any(part in names for part in NOT_LET_IN):
        words = (
            "does not let you in. Look whether your key or password is where the page on sharing "
            "says, and whether you may write there."
        )
    elif isinstance(error, TimeoutError) or "Timeout" in names:
        words = f"did not answer within {patience_s:.0f} s. Try again later."
    elif isinstance(error, ConnectionError) or "Connect" in names or "gaierror" in names:
        words = (
            "cannot be reached from here. Look whether this machine is connected and the address "
            "is right."
        )
    else:
        words = f"something went wrong there ({type(error).__name__}). Try again later."
    return words
