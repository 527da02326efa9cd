"""A machine by ssh: whose key it has to show, and what it may answer instead of what was asked.

Numbers of answers are those of draft-ietf-secsh-filexfer-02 (section 7), which OpenSSH speaks.
"""

import contextlib
import json
import socket
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.services.sharing.slow_place import Bytes
from tests.torture.doors_ssh import ENDLESS, RIGHT, Machine, machine_keys

from platebook.services.sharing.places.allowance import Allowance
from platebook.services.sharing.places.far import FarPlace
from platebook.services.sharing.places.place import Lying, NotHad, Unreachable

paramiko = pytest.importorskip("paramiko", reason="needs the extra sftp")

FILE = Lying("a.platebook", 2000)
OPEN, WRITE, OPEN_FOLDER, READ_FOLDER, MOVE = "3", "6", "11", "12", "200"
NO_SUCH_FILE, NOT_ALLOWED, FAILURE = 2, 3, 4


def status(number: int) -> str:
    """The answer that says how it went, in hexadecimal."""
    words = b"words of the machine"
    parts = (number.to_bytes(4, "big"), len(words).to_bytes(4, "big"), words, b"\0" * 4)
    return (b"\x65" + b"".join(parts)).hex()


@contextlib.contextmanager
def machine(home: Path, *more_keys: Any, **told: Any) -> Iterator[str]:
    """A machine that ssh knows and that knows us; gives the address of a folder in it."""
    running = Machine(json.dumps({**RIGHT, **told}).encode(), *more_keys)
    folder = home / ".ssh"
    folder.mkdir(exist_ok=True)
    machine_keys()[1].write_private_key_file(str(folder / "id_ecdsa"))
    shown = machine_keys()[0]
    (folder / "known_hosts").write_text(known(running.port, shown), "ascii")
    try:
        yield f"sftp://march@127.0.0.1:{running.port}/thursday"
    finally:
        running.end()


def known(port: int, key: Any) -> str:
    """The line by which ssh knows a machine."""
    return f"[127.0.0.1]:{port} {key.get_name()} {key.get_base64()}\n"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home folder of our own."""
    monkeypatch.setenv("HOME", str(tmp_path))
    return tmp_path


def said_of(address: str, asked: str) -> str:
    """What is said where a place does not do this."""
    with contextlib.closing(FarPlace(address)) as place:
        try:
            if asked == "list":
                place.files()
            elif asked == "write":
                place.put("b.platebook", Bytes(b"what is new"))
            else:
                (found,) = place.bundles([FILE])
                assert isinstance(found, NotHad)
                return found.sentence
        except Unreachable as error:
            return error.sentence.removeprefix(f"{address}: ")
    return ""


@pytest.mark.parametrize(
    ("request_kind", "number", "asked", "said"),
    [
        (OPEN_FOLDER, NO_SUCH_FILE, "list", "is not there. Make it first"),
        (OPEN_FOLDER, NOT_ALLOWED, "list", "does not let you in. Look whether"),
        (OPEN_FOLDER, FAILURE, "list", "could not do what was asked of it, and does not say why"),
        (OPEN, NO_SUCH_FILE, "read", "a.platebook: is not there any more."),
        (OPEN, NOT_ALLOWED, "read", "a.platebook: may not be read there by you; ask"),
        (OPEN, FAILURE, "read", "a.platebook: cannot be read there; share again later."),
        (WRITE, FAILURE, "write", "could not do what was asked of it, and does not say why"),
        (MOVE, NOT_ALLOWED, "write", "does not let you in. Look whether"),
    ],
)
def test_what_a_machine_refuses_is_a_sentence(
    home: Path, request_kind: str, number: int, asked: str, said: str
) -> None:
    """In none of its words; a file that it does not give says nothing of the place."""
    with machine(home, answers={request_kind: status(number)}) as address:
        sentence = said_of(address, asked)
    assert sentence.startswith(said)
    assert "words of the machine" not in sentence


def test_a_line_that_is_closed_is_the_places(home: Path) -> None:
    """And not one file's after the other."""
    with machine(home) as address, contextlib.closing(FarPlace(address)) as place:
        place.files()
        place._opened().system.client.close()
        with pytest.raises(Unreachable, match=r"broke off in the middle of an answer"):
            list(place.bundles([FILE, FILE]))


def test_a_line_of_known_machines_that_is_none_hides_no_other(home: Path) -> None:
    """Nor does the line of an authority; a key that was taken back is known no more."""
    with machine(home) as address:
        file = home / ".ssh" / "known_hosts"
        right = file.read_bytes()
        key = right.split()[2].decode()
        odd = b"\xff\xfe garbage\n@cert-authority *.school ssh-rsa AAAA\nhost ssh-rsa AAA\n"
        file.write_bytes(odd + right)
        with_odd = said_of(address, "list")
        name = machine_keys()[0].get_name()
        file.write_bytes(right + f"@revoked * {name} {key}\n".encode())
        taken_back = said_of(address, "list")
    assert with_odd == ""
    assert taken_back.startswith("this machine does not know the key of that one")


def test_a_machine_of_several_keys_shows_the_one_that_is_known(home: Path) -> None:
    """Whichever it would show first."""
    other = paramiko.RSAKey.generate(2048)
    with machine(home, other) as address:
        file = home / ".ssh" / "known_hosts"
        first = said_of(address, "list")
        port = int(address.rpartition(":")[2].partition("/")[0])
        file.write_text(known(port, other), "ascii")
        second = said_of(address, "list")
    assert (first, second) == ("", "")


@contextlib.contextmanager
def silent(home: Path) -> Iterator[str]:
    """A machine that takes the line and says nothing."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port = int(listening.getsockname()[1])
        (home / ".ssh").mkdir(exist_ok=True)
        (home / ".ssh" / "known_hosts").write_text(known(port, machine_keys()[0]), "ascii")
        yield f"sftp://march@127.0.0.1:{port}/thursday"


def running() -> list[threading.Thread]:
    """Threads of this side that wait for a machine, once those that end have done so."""
    ours = [
        thread
        for thread in threading.enumerate()
        if thread.name == "far place"
        or (isinstance(thread, paramiko.Transport) and not thread.server_mode)
    ]
    for thread in ours:
        thread.join(10)
    return [thread for thread in ours if thread.is_alive()]


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"refuses": "key"}, "does not let you in"),
        ({"refuses": "channel"}, "could not be spoken with by ssh"),
        ({"refuses": "files"}, "could not be spoken with by ssh"),
        ({"unknown": True}, "this machine does not know the key of that one"),
        ({"answers": {OPEN_FOLDER: status(FAILURE)}}, "could not do what was asked of it"),
        ({"answers": {OPEN_FOLDER: "ff"}}, "does not answer as a place for files does"),
        ({"answers": {READ_FOLDER: "ff"}}, "sends more than was asked for"),
        ({"files": ENDLESS}, "sends more than was asked for"),
        (None, "did not answer within 1 s"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_nothing_waits_for_a_machine_that_failed(
    home: Path, told: dict[str, Any] | None, said: str
) -> None:
    """Neither a thread nor its line, while the machine itself goes on."""
    place = silent(home) if told is None else machine(home, **told)
    with place as address:
        if told and "unknown" in told:
            (home / ".ssh" / "known_hosts").write_text("", "ascii")
        with contextlib.closing(FarPlace(address, patience_s=1 if told is None else 30)) as far:
            with pytest.raises(Unreachable, match=said):
                far.files()
            opened = far._place is not None
            assert opened or running() == []
        assert running() == []


def test_a_line_that_is_opened_too_late_is_closed_at_once() -> None:
    """Where nobody waits for it any more."""
    closed: list[str] = []
    allowance = Allowance()
    allowance.closed_by(lambda: closed.append("first"))
    allowance.end()
    allowance.closed_by(lambda: closed.append("late"))
    assert closed == ["first", "late"]
