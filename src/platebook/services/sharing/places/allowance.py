"""How much a far place may send in answer to one request, counted where the bytes come in.

No library ends an answer that does not end by itself, so each kind of connection is given a counter
of its own: beyond what is allowed the next byte raises, and the line is closed by the library.
"""

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import socket

    import httpx

LARGEST_LISTING = 4 * 2**20
"""Bytes of an answer beside what was asked for; thousands of files are listed in so many."""

AN_ANSWER = 2**16
"""What an answer counts beside its body, since a list may come in parts that do not end either."""


A_PACKET = 2**10
"""What an answer of ssh counts at least: one that is empty costs as much as another."""


class SentTooMuch(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The place sends more than was asked for."""


@dataclass
class Allowance:
    """The bytes that may come in still, before the next request is allowed some of its own.

    It is there before the place is opened, and knows what closes its lines: so what was opened half
    is ended too. `exceeded` says that more came in than was allowed; the libraries tell it in ways
    of their own.
    """

    left: int = LARGEST_LISTING
    exceeded: bool = False
    ended: bool = False
    _closers: list[Callable[[], object]] = field(default_factory=list)

    def allow(self, size: int) -> None:
        """An answer may hold a file of so many bytes."""
        self.left, self.exceeded = LARGEST_LISTING + size, False

    def closed_by(self, close: Callable[[], object]) -> None:
        """What closes a line that was opened; at once where nobody waits for it any more."""
        self._closers.append(close)
        if self.ended:
            self.end()

    def end(self) -> None:
        """Nobody waits any more: the lines are closed, and what reads still ends by it."""
        self.ended = True
        while self._closers:
            with contextlib.suppress(Exception):  # whatever it is, the line is of no use any more
                self._closers.pop()()

    def take(self, size: int) -> None:
        """So many bytes came in; SentTooMuch where that is more than allowed."""
        self.left -= size
        self.exceeded = self.exceeded or (self.left < 0 and not self.ended)
        if self.left < 0 or self.ended:
            raise SentTooMuch


def counted_answers(allowance: Allowance) -> Any:
    """What an HTTP client of httpx calls with each response, before its body is read."""
    import httpx

    class Counted(httpx.SyncByteStream):
        """A body that is counted as it comes in."""

        def __init__(self, body: httpx.SyncByteStream) -> None:
            self.body = body

        def __iter__(self) -> Iterator[bytes]:
            for piece in self.body:
                allowance.take(len(piece))
                yield piece

        def close(self) -> None:
            self.body.close()

    def count(response: "httpx.Response") -> None:
        packed = response.headers.get("Content-Encoding", "identity")
        if packed.casefold() != "identity":
            raise SentTooMuch  # it was not asked for packed, and says nothing of how long it is
        allowance.take(AN_ANSWER)
        assert isinstance(response.stream, httpx.SyncByteStream)
        response.stream = Counted(response.stream)

    return count


def counted_session(allowance: Allowance) -> type:
    """The session through which the library of an object store asks."""
    from aiobotocore.httpsession import AIOHTTPSession

    class Content:
        """A body that is counted as it comes in; all else is the body's own."""

        def __init__(self, content: Any) -> None:
            self.content = content

        def __getattr__(self, name: str) -> Any:
            return getattr(self.content, name)

        async def read(self, size: int = -1) -> bytes:
            pieces: list[bytes] = []
            while size < 0 or not pieces:
                piece = await (self.content.readany() if size < 0 else self.content.read(size))
                allowance.take(len(piece))
                pieces.append(piece)
                if not piece:
                    break
            return b"".join(pieces)

    class Counted(AIOHTTPSession):  # type: ignore[misc] # it has no types
        """A session whose answers are counted."""

        async def send(self, request: Any) -> Any:
            streamed, request.stream_output = request.stream_output, True  # not read in there
            try:
                response = await super().send(request)
            finally:
                request.stream_output = streamed
            allowance.take(AN_ANSWER)
            response.raw.content = Content(response.raw.content)
            if not streamed:
                await response.content
            return response

    return Counted


class CountedLine:
    """A socket whose bytes are counted as they come in; all else is the socket's own."""

    def __init__(self, line: "socket.socket", allowance: Allowance) -> None:
        self.line = line
        self.allowance = allowance

    def __getattr__(self, name: str) -> Any:
        return getattr(self.line, name)

    def recv(self, size: int) -> bytes:
        """What came in, at most so many bytes of it."""
        data = self.line.recv(size)
        self.allowance.take(len(data))
        return data


def count_answers(files: Any, allowance: Allowance) -> None:
    """Count what a client of paramiko is answered, beside the bytes of its line.

    It asks for more of a list as long as nobody says that it ends, whatever else is answered.
    """
    read_packet = files._read_packet  # noqa: SLF001 - no other way between the line and the list

    def packet() -> tuple[int, bytes]:
        kind, said = read_packet()
        allowance.take(max(0, A_PACKET - len(said)))
        return kind, said

    files._read_packet = packet  # noqa: SLF001 - as above
