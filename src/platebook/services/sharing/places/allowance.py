"""How much a far place may send in answer to one request, counted where the bytes come in.

No library ends an answer that does not end by itself, so each kind of connection is given a counter
of its own: beyond what is allowed the next byte raises, and the line is closed by the library.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import socket

    import httpx

LARGEST_LISTING = 4 * 2**20
"""Bytes of an answer beside what was asked for; thousands of files are listed in so many."""

AN_ANSWER = 2**16
"""What an answer counts beside its body, since a list may come in parts that do not end either."""


class SentTooMuch(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The place sends more than was asked for."""


@dataclass
class Allowance:
    """The bytes that may come in still, before the next request is allowed some of its own."""

    left: int = LARGEST_LISTING

    def allow(self, size: int) -> None:
        """An answer may hold a file of so many bytes."""
        self.left = LARGEST_LISTING + size

    @property
    def exceeded(self) -> bool:
        """Whether more came in than was allowed; the libraries tell it in ways of their own."""
        return self.left < 0

    def end(self) -> None:
        """Nobody waits any more: what reads still is ended by the next byte."""
        self.left = -1

    def take(self, size: int) -> None:
        """So many bytes came in; SentTooMuch where that is more than allowed."""
        self.left -= size
        if self.left < 0:
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
