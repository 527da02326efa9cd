"""How each kind of far place is opened, and what it can and cannot do.

Object stores have no folders and put a file whole or not at all; on the others a file is written
aside and moved. A kind that has no opener here is opened as fsspec opens it.
"""

import contextlib
import inspect
import logging
import netrc
import os
import re
import socket
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit

from platebook.services.session import Refused
from platebook.services.sharing.places.allowance import (
    Allowance,
    CountedLine,
    count_answers,
    counted_answers,
    counted_session,
)
from platebook.values import Value, field

if TYPE_CHECKING:
    import fsspec

STORES = frozenset({"s3", "s3a", "gs", "gcs", "abfs", "abfss", "az", "oss", "oci"})
"""Kinds of address that lead to an object store."""

EXTRAS = {
    "s3": "s3",
    "s3a": "s3",
    "http": "webdav",
    "https": "webdav",
    "sftp": "sftp",
    "ssh": "sftp",
}
"""Kinds of address and the extra of the program that opens them."""

LOGGED = (
    *("paramiko", "aiobotocore", "botocore", "aiohttp", "s3fs", "fsspec", "httpx", "webdav4"),
    "asyncio",
)
"""Libraries that log what goes wrong; what a person needs of it is a sentence of our own.

What goes wrong with a line after nobody waits for it any more is logged by asyncio, with its trace.
"""

NO_CHAINS = "::"
_NUMBERED = re.compile(r"\[[0-9A-Fa-f:.]+\]")
"""A machine by its number, which may hold what else joins two addresses."""

CERTIFICATES = {"https": "SSL_CERT_FILE", "s3": "AWS_CA_BUNDLE", "s3a": "AWS_CA_BUNDLE"}
"""Where each library is told of certificates beyond the system's own."""

SOCKS = "socksio"
CONNECT_S = 10
READ_S = 25
SSH_PORT = 22
REVOKED = "@revoked"
_BY_CURVE = ("ecdsa-sha2-nistp256", "ecdsa-sha2-nistp384", "ecdsa-sha2-nistp521")
KINDS_OF_KEYS = {
    "ssh-ed25519": ("ssh-ed25519",),
    "ssh-rsa": ("rsa-sha2-512", "rsa-sha2-256", "ssh-rsa"),
    **{name: (name,) for name in _BY_CURVE},
}
"""Kinds of keys that machines have, and by what names each is agreed on (RFC 8332, section 3.3)."""


class Opened(Value):
    """A place that was opened: the library's system of files, and where in it the bundles lie.

    `bucket` is what has to be there of a place without folders. `whole` says that a file is put
    whole or not at all; else `move` puts one over another. `listing` is what `ls` wants to know,
    `reading` what `cat` does.
    """

    system: "fsspec.AbstractFileSystem"
    root: str
    bucket: str = ""
    whole: bool = False
    move: Callable[[str, str], object] = print
    listing: Mapping[str, Any] = field(default_factory=dict)
    reading: Mapping[str, Any] = field(default_factory=dict)


def open_far(address: str, allowance: Allowance) -> Opened:
    """Open the place at an address; Refused where nothing that is installed opens it.

    What comes in is counted by the allowance, but for kinds of address that have no opener here,
    and its end closes the lines.
    """
    kind = address.partition("://")[0].casefold()
    host = address.partition("://")[2].partition("/")[0]
    if NO_CHAINS in _NUMBERED.sub("", address) or kind in {"file", "local"} or not host:
        raise Refused(f"{address}: is no address of one place")
    try:
        _ = urlsplit(address).port
    except ValueError as error:
        raise Refused(f"{address}: is no address that can be read") from error
    _hush()
    word = CERTIFICATES.get(kind, "")
    if (kept := os.environ.get(word)) and not Path(kept).exists():
        raise Refused(f"{address}: the file of certificates that {word} leads to is not there")
    try:
        import fsspec  # noqa: F401 - asked for first, so that what lacks is said once

        if kind in {"http", "https"}:
            return _webdav(address, allowance)
        if kind in {"sftp", "ssh"}:
            return _sftp(address, allowance)
        return _any(address, kind, allowance)
    except ImportError as error:
        raise Refused(f"{address}: {_lacking(kind, error)}") from error
    except ValueError as error:
        raise Refused(f"{address}: is no kind of address that is known here") from error


def _hush() -> None:
    """Libraries whose log nobody takes: else warnings and traces come on the terminal."""
    for library in LOGGED:
        if not (log := logging.getLogger(library)).handlers:
            log.addHandler(logging.NullHandler())


def _lacking(kind: str, error: ImportError) -> str:
    if getattr(error.__context__, "name", "") == SOCKS:
        return (
            "the proxy that this machine goes through is of the SOCKS kind, which is not spoken "
            "here. Name another in HTTPS_PROXY or HTTP_PROXY, or the place in NO_PROXY"
        )
    extra = EXTRAS.get(kind)
    if extra is None:
        return "the library that opens such addresses is not installed here"
    return (
        "what opens such addresses is not installed here. Install it: "
        f'pip install "platebook[{extra}]"'
    )


def _any(address: str, kind: str, allowance: Allowance) -> Opened:
    from fsspec.core import get_filesystem_class, strip_protocol

    family = get_filesystem_class(kind)
    options: dict[str, Any] = dict(family._get_kwargs_from_urls(address))  # noqa: SLF001 - fsspec's own way from an address to its options
    reading: dict[str, Any] = {}
    if EXTRAS.get(kind) == "s3":
        options["config_kwargs"] = _store_options(allowance)
        reading["max_concurrency"] = 1  # else room is made for whatever size the store says first
    try:
        system = family(**options, skip_instance_cache=True)
    except TypeError as error:  # it wants more than stands in an address
        raise ValueError(kind) from error
    root = str(strip_protocol(address)).rstrip("/")
    store = kind in STORES
    return Opened(
        system,
        root,
        bucket=root.partition("/")[0] if store else "",
        whole=store,
        move=system.mv,
        listing={"refresh": True} if store else {},
        reading=reading,
    )


def _store_options(allowance: Allowance) -> dict[str, Any]:
    from aiobotocore.config import AioConfig

    options: dict[str, Any] = {
        "connect_timeout": CONNECT_S,
        "read_timeout": READ_S,
        "retries": {"total_max_attempts": 2},
    }
    if "http_session_cls" in inspect.signature(AioConfig).parameters:  # not in older ones
        options["http_session_cls"] = counted_session(allowance)
    return options


def _webdav(address: str, allowance: Allowance) -> Opened:
    from webdav4.fsspec import WebdavFileSystem

    system = WebdavFileSystem(
        address,
        auth=_password_for(address),
        timeout=READ_S,
        headers={"Accept-Encoding": "identity"},
        event_hooks={"response": [counted_answers(allowance)]},
        skip_instance_cache=True,
    )

    def move(aside: str, path: str) -> None:
        system.client.move(aside, path, overwrite=True)

    allowance.closed_by(system.client.http.close)
    return Opened(system, "", move=move)


def _password_for(address: str) -> tuple[str, str] | None:
    """Name and password for the machine of an address, from the file where they are kept."""
    for name in (".netrc", "_netrc"):
        with contextlib.suppress(OSError, netrc.NetrcParseError):
            entry = netrc.netrc(str(Path.home() / name)).authenticators(
                urlsplit(address).hostname or ""
            )
            if entry is not None:
                return entry[0], entry[2] or ""
    return None


def _sftp(address: str, allowance: Allowance) -> Opened:
    import paramiko
    from fsspec.implementations.sftp import SFTPFileSystem

    known = _KnownMachines()

    class KnownHosts(paramiko.MissingHostKeyPolicy):  # type: ignore[misc] # it has no types
        """Lets in only machines that ssh knows: who pretends to be one reads everybody's log."""

        def missing_host_key(
            self, client: paramiko.SSHClient, hostname: str, key: paramiko.PKey
        ) -> None:
            del client
            if not known.knows(hostname, key):
                raise UnknownHostKey

    parts = urlsplit(address)
    host, port = parts.hostname or "", parts.port or SSH_PORT
    options: dict[str, Any] = {"port": port}
    if parts.username:
        options["username"] = unquote(parts.username)
    called = host if port == SSH_PORT else f"[{host}]:{port}"
    options["disabled_algorithms"] = {"keys": known.other_kinds(called)}
    line = socket.create_connection((host, port), CONNECT_S)
    # The library closes nothing of what it opened half, and waits for some answers without a limit.
    allowance.closed_by(line.close)
    allowance.closed_by(partial(line.shutdown, socket.SHUT_RDWR))
    system = SFTPFileSystem(
        host,
        sock=CountedLine(line, allowance),
        host_key_policy=KnownHosts(),
        timeout=CONNECT_S,
        banner_timeout=READ_S,
        auth_timeout=READ_S,
        skip_instance_cache=True,
        **options,
    )
    root = unquote(parts.path).rstrip("/") or "/"
    allowance.closed_by(system.client.close)
    count_answers(system.ftp, allowance)
    return Opened(system, root, move=system.mv)


class _KnownMachines:
    """The machines that ssh knows, line by line: one that cannot be read hides no other."""

    def __init__(self) -> None:
        import paramiko

        self.keys = paramiko.HostKeys()
        self.revoked: set[str] = set()
        text = ""
        with contextlib.suppress(OSError):
            text = (Path.home() / ".ssh" / "known_hosts").read_text("utf-8", "replace")
        for line in text.splitlines():
            words = line.split()
            if line.startswith(REVOKED):
                self.revoked |= set(words[3:4])
            elif not line.startswith("@"):  # whose word a key of an authority is, is not asked here
                self._remember(line)

    def _remember(self, line: str) -> None:
        from paramiko import SSHException
        from paramiko.hostkeys import HostKeyEntry, InvalidHostKey

        with contextlib.suppress(SSHException, InvalidHostKey, ValueError):
            if (entry := HostKeyEntry.from_line(line)) is not None:
                for name in entry.hostnames:
                    self.keys.add(name, entry.key.get_name(), entry.key)

    def knows(self, host: str, key: Any) -> bool:
        """Whether it is this machine's key, and was not taken back."""
        return self.keys.check(host, key) and key.get_base64() not in self.revoked

    def other_kinds(self, host: str) -> list[str]:
        """Kinds of keys by which a known machine is not known.

        It is told that none of them is meant: else it may show another key than ssh remembers.
        """
        known = self.keys.lookup(host)
        if not known:
            return []
        meant = {kind for name in known for kind in KINDS_OF_KEYS.get(name, (name,))}
        return sorted({kind for kinds in KINDS_OF_KEYS.values() for kind in kinds} - meant)


class UnknownHostKey(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The machine shows a key that this one has not seen before, or another one than before."""
