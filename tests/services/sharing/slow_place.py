"""A far place in memory that counts what it is asked for, and can hang or break down."""

import hashlib
import threading
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

import fsspec
from fsspec.implementations.memory import MemoryFileSystem

ADDRESS = "slow://school/thursday"


@dataclass(frozen=True)
class Bytes:
    """What is written into a place, where it is all here at once."""

    data: bytes

    @property
    def size(self) -> int:
        """How many bytes there are."""
        return len(self.data)

    def chunks(self) -> Iterator[bytes]:
        """All of them."""
        yield self.data


class SlowPlace(MemoryFileSystem):  # type: ignore[misc] # fsspec has no types
    """Each request counts, and may wait: what a slow line costs is how often it is asked.

    `asked` counts the requests by name. `breaks_after` is how many of them are answered yet; with
    `hangs` none is, until it is set. `claims` are sizes that the listing gives for some files.
    """

    protocol = "slow"
    store: ClassVar[dict[str, Any]] = {}
    pseudo_dirs: ClassVar[list[str]] = [""]
    asked: ClassVar[Counter[str]] = Counter()
    breaks_after: ClassVar[list[int]] = []
    hangs: ClassVar[list[threading.Event]] = []
    claims: ClassVar[dict[str, int]] = {}

    @classmethod
    def _strip_protocol(cls, path: str) -> str:
        return "/" + path.removeprefix("slow://").strip("/")

    @classmethod
    def begin(cls) -> None:
        """An empty place that answers."""
        for kept in (cls.store, cls.asked, cls.breaks_after, cls.hangs, cls.claims):
            kept.clear()
        cls.pseudo_dirs[:] = ["", "/school", "/school/thursday"]
        fsspec.register_implementation("slow", cls, clobber=True)

    @classmethod
    def requests(cls) -> dict[str, int]:
        """What was asked since this was asked last."""
        asked = dict(cls.asked)
        cls.asked.clear()
        return asked

    @classmethod
    def names(cls) -> set[str]:
        """The files that lie there."""
        return {path.rpartition("/")[2] for path in cls.store}

    def _count(self, name: str) -> None:
        self.asked[name] += 1
        for event in self.hangs:
            event.wait()
        if self.breaks_after:
            self.breaks_after[0] -= 1
            if self.breaks_after[0] < 0:
                raise ConnectionResetError("secret-of-the-line")

    def _tagged(self, row: dict[str, Any]) -> dict[str, Any]:
        if row["type"] == "file":
            row["etag"] = hashlib.md5(  # noqa: S324 - what such servers give, no secret
                self.store[row["name"]].getvalue()
            ).hexdigest()
        row["size"] = self.claims.get(row["name"].rpartition("/")[2], row["size"])
        return row

    def ls(self, path: str, detail: bool = True, **kwargs: Any) -> list[Any]:  # noqa: FBT001, FBT002 - as fsspec calls it
        """One request."""
        self._count("ls")
        rows = super().ls(path, detail=True, **kwargs)
        return [self._tagged(dict(row)) for row in rows] if detail else [r["name"] for r in rows]

    def info(self, path: str, **kwargs: Any) -> dict[str, Any]:
        """One request."""
        self._count("info")
        return self._tagged(dict(super().info(path, **kwargs)))

    def cat_file(self, path: str, **kwargs: Any) -> bytes:
        """One request."""
        self._count("read")
        content = super().cat_file(path, **kwargs)
        assert isinstance(content, bytes)
        return content

    def pipe_file(self, path: str, value: bytes, **kwargs: Any) -> None:
        """One request."""
        self._count("write")
        super().pipe_file(path, value, **kwargs)

    def mv(self, path1: str, path2: str, **kwargs: Any) -> None:
        """One request."""
        del kwargs
        self._count("move")
        self.store[self._strip_protocol(path2)] = self.store.pop(self._strip_protocol(path1))

    def rm_file(self, path: str) -> None:
        """One request."""
        self._count("remove")
        del self.store[self._strip_protocol(path)]
