"""What a place to share through can do, how one is named, and what is refused of its address.

A place holds files and knows nothing of what is in them beyond reading a bundle. Each file has a
mark, which is another one as soon as its content is: by it a file that was read is not read again.
"""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Protocol
from urllib.parse import urlsplit

from platebook.practice.revision import Bundle
from platebook.practice.text import clean
from platebook.services.session import Refused
from platebook.values import Value

NOTHING = "Nothing of it was taken in."
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+://")


class Lying(Value):
    """What is named as a bundle in a place; without a mark it has to be read to be known.

    Of one that is not `plain`, such as a folder, the place told so without being asked for it.
    """

    name: str
    size: int = 0
    mark: str = ""
    plain: bool = True

    @property
    def replica(self) -> str:
        """The logbook whose bundle it is, by its name."""
        return self.name.rpartition(".")[0].lower()


class Unreachable(Refused):
    """The place itself does not answer, so that asking for its other files is of no use."""


class Content(Protocol):
    """What is written into a place: a bundle that may be larger than the memory."""

    @property
    def size(self) -> int:
        """How many bytes it has."""

    def chunks(self) -> Iterator[bytes]:
        """Its bytes, part by part; it may be gone through again."""


class NotHad(Refused):
    """A file that the place does not give: nothing is known of what it holds."""


class Place(Protocol):
    """A place to share through; what goes wrong with it is Refused, in a sentence that names it."""

    @property
    def address(self) -> str:
        """What it is remembered by."""
        ...

    def files(self) -> tuple[Lying, ...]:
        """Everything in it that is named as a bundle, in the order of names."""
        ...

    def bundles(self, lying: Sequence[Lying]) -> Iterator[Bundle | Refused]:
        """What these files hold, in their order, each read when it is asked for."""
        ...

    def put(self, name: str, content: Content) -> str:
        """Write a file whole or not at all, over the one before; gives its mark."""
        ...

    def close(self) -> None:
        """Let go of what it holds of the machine; a later request opens it again."""
        ...

    def path_of(self, name: str) -> str:
        """How a file of it is called where a person is told of it."""
        ...


def is_address(typed: str) -> bool:
    """Whether this names a far place, as `s3://school/thursday` does, and no folder."""
    return bool(_ADDRESS.match(typed)) and not typed.casefold().startswith("file://")


def without_secret(address: str) -> str:
    """The address as it may be shown: without what stands before @ and after ? or #."""
    head, mark, rest = clean(address).partition("://")
    if not mark:
        return head
    host, slash, path = re.split(r"[?#]", rest)[0].partition("/")
    return f"{head}{mark}{host.rpartition('@')[2]}{slash}{path}".rstrip("/")


def far_address(typed: str) -> str:
    """The address of a far place as it is kept; Refused where it holds what may be a secret.

    Addresses are kept in the logbook, in start files and in the shell's history.
    """
    shown = without_secret(typed)
    try:
        parts = urlsplit(clean(typed))
        secret = parts.password is not None or parts.query or parts.fragment
        user = parts.username
    except ValueError as error:
        raise Refused(f"{shown}: is no address that can be read") from error
    if secret or (user is not None and parts.scheme.casefold() not in {"sftp", "ssh"}):
        raise Refused(
            f"{shown}: the address that was named has a name, key or password in it, and addresses "
            "are kept. Leave it out, and put it where the page on sharing says"
        )
    return shown if user is None else shown.replace("://", f"://{user}@", 1)


def place_called(folder: Path | str) -> str:
    """A folder or an address as it is kept and shown; Refused for one with a secret in it."""
    if isinstance(folder, str) and is_address(folder):
        return far_address(folder)
    return str(Path(folder).expanduser().absolute())


def left_alone(name: str, words: str, kind: type[Refused] = Refused) -> Refused:
    """The refusal of a file, in words that say that it was left alone."""
    reason = words.removesuffix(NOTHING).rstrip(" .")
    return kind(f"{name}: {reason}. {NOTHING}")
