"""A far place by ssh whose machine answers as none should: listings, attributes, sizes, contents.

What it answers stands in the file of a try as JSON: `files` that it lists, each with a name and its
attributes, the `content` of each that is read, and `answers`, by the number of a kind of request
(draft-ietf-secsh-filexfer-02, section 3), that are sent as they are; and what it `refuses`: who
comes in by the key, a channel, or to be asked for files. "{name}", "{long}" and
"{bundle}" stand for a bundle that is right, "endless" for what does not end.
"""

import contextlib
import functools
import json
import random
import socket
import threading
import time
from collections.abc import Mapping
from typing import Any

from tests.torture.bending import bent_json
from tests.torture.doors import Door
from tests.torture.doors_far import (
    FINISHED_S,
    IDLE_S,
    a_bundle,
    an_environment,
    faults_in,
    replica_in,
    stop_listening,
    without_rests,
)
from tests.torture.typing_in import TEACHER, Bench, WrongAnswerError

PLAIN = 0o100644
RIGHT = {
    "files": [
        {"name": "{name}", "size": "{long}", "mtime": 1795200000, "mode": PLAIN},
        {"name": "notes.txt", "size": 3, "mtime": 1795200000, "mode": PLAIN},
    ],
    "content": "{bundle}",
    "answers": {},
    "refuses": "",
}
REFUSED = ("key", "channel", "files")
ENDLESS = "endless"
KINDS = (3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 16, 17, 18, 200)
"""Kinds of request: open, close, read, write, stat, opendir, readdir, rename and others."""

ANSWERED = (101, 102, 103, 104, 105, 2, 0, 255)
"""Kinds of answer: status, handle, data, names, attributes, and some that are none."""


def doors_ssh() -> Mapping[str, Door]:
    """The door, with what is right for it."""
    right = json.dumps(RIGHT).encode()
    return {"far-ssh": Door("far-ssh", ".json", (right,), _shares, bent_machine)}


def bent_machine(data: bytes, rng: random.Random) -> bytes:
    """The JSON bent in a value, or one kind of request with an answer of bytes."""
    if rng.random() < 0.6:
        return bent_json(data, rng)
    try:
        told = json.loads(data)
        draw = rng.random()
        if draw < 0.05:
            told["files"] = ENDLESS
        elif draw < 0.1:
            told["content"] = ENDLESS
        elif draw < 0.2:
            told["refuses"] = rng.choice(REFUSED)
        else:
            size = rng.choice((0, 1, 4, 8, 24, 300))
            answer = bytes((rng.choice(ANSWERED),)) + rng.randbytes(size)
            told["answers"] |= {str(rng.choice(KINDS)): answer.hex()}
        return json.dumps(told).encode()
    except (ValueError, TypeError, KeyError):
        return bent_json(data, rng)


@functools.cache
def machine_keys() -> tuple[Any, Any]:
    """The machine's key, and the one of who comes in."""
    import paramiko

    return paramiko.ECDSAKey.generate(), paramiko.ECDSAKey.generate()


class Machine:
    """A machine that lets in who has the key, for the files of one try."""

    def __init__(self, data: bytes, *more_keys: Any) -> None:
        a_bundle()  # made here: commands of two threads at once take each other's answers
        self.keys = (machine_keys()[0], *more_keys)
        self.listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self.listening.getsockname()[1])
        with contextlib.suppress(ValueError, RecursionError):
            self.told = json.loads(data)
        if not isinstance(getattr(self, "told", None), dict):
            self.told = {}
        self.put: dict[str, int] = {}
        self.transports: list[Any] = []
        self.served = 0
        self.faults: list[str] = []
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        import paramiko

        with faults_in(self.faults):
            while True:
                line, _ = self.listening.accept()
                transport = paramiko.Transport(line)
                for key in self.keys:
                    transport.add_server_key(key)
                if self.told.get("refuses") != "files":
                    transport.set_subsystem_handler("sftp", _server_class(self), _files_class(self))
                self.transports.append(transport)
                with contextlib.suppress(paramiko.SSHException, EOFError, OSError):
                    door = _door_class(str(self.told.get("refuses")))()
                    transport.start_server(server=door, event=threading.Event())

    @property
    def content(self) -> bytes:
        """What each file says."""
        said = self.told.get("content", "")
        return str(said).replace("{bundle}", a_bundle().decode()).encode("utf-8", "replace")

    def end(self) -> None:
        """Nothing is answered any more."""
        stop_listening(self.listening)
        for transport in self.transports:
            transport.close()


def _door_class(refused: str) -> Any:
    import paramiko

    class LetIn(paramiko.ServerInterface):  # type: ignore[misc] # it has no types
        def check_auth_publickey(self, username: str, key: Any) -> int:
            del username
            known = key.get_base64() == machine_keys()[1].get_base64() and refused != "key"
            return int(paramiko.AUTH_SUCCESSFUL if known else paramiko.AUTH_FAILED)

        def get_allowed_auths(self, username: str) -> str:
            del username
            return "publickey"

        def check_channel_request(self, kind: str, chanid: int) -> int:
            del kind, chanid
            no = paramiko.OPEN_FAILED_ADMINISTRATIVELY_PROHIBITED
            return int(no if refused == "channel" else paramiko.OPEN_SUCCEEDED)

    return LetIn


def _server_class(machine: Machine) -> Any:
    import paramiko

    class Server(paramiko.SFTPServer):  # type: ignore[misc] # it has no types
        """Answers some kinds of request by bytes as they are."""

        def _process(self, kind: int, number: int, message: Any) -> None:
            machine.served += 1
            answers = machine.told.get("answers")
            said = answers.get(str(kind)) if isinstance(answers, dict) else None
            try:
                raw = bytes.fromhex(said) if isinstance(said, str) else b""
            except ValueError:
                raw = b""
            if raw:
                self._send_packet(raw[0], paramiko.Message(number.to_bytes(4, "big") + raw[1:]))
            else:
                super()._process(kind, number, message)

    return Server


class _EndlessFiles(list[Any]):
    """As many as anybody asks for."""

    def __init__(self, one: Any) -> None:
        super().__init__([one])

    def __getitem__(self, part: Any) -> Any:
        return [super().__getitem__(0)] * 16 if part.start is None else self

    def __len__(self) -> int:
        return 16


def _attributes(said: Any) -> Any:
    """What the machine says of a file, as far as the protocol can carry it."""
    import paramiko

    said = said if isinstance(said, dict) else {}
    one = paramiko.SFTPAttributes()
    bundle = a_bundle()
    name = str(said.get("name", "x")).replace("{name}", replica_in(bundle) + ".platebook")
    one.filename = name.encode("utf-8", "replace").decode()
    one.longname = one.filename
    size = len(bundle) if said.get("size") == "{long}" else _number(said.get("size"))
    one.st_size = None if size is None else size % 2**63
    one.st_uid = one.st_gid = 0
    mode, mtime = _number(said.get("mode")), _number(said.get("mtime"))
    one.st_mode = None if mode is None else mode % 2**32
    one.st_mtime = one.st_atime = None if mtime is None else mtime % 2**32
    return one


def _handle_class(machine: Machine) -> Any:
    import paramiko

    class Handle(paramiko.SFTPHandle):  # type: ignore[misc] # it has no types
        """A file that is read or written."""

        def __init__(self, path: str, flags: int) -> None:
            super().__init__(flags)
            self.path = path

        def read(self, offset: int, length: int) -> bytes:
            if machine.told.get("content") == ENDLESS:
                return b"x" * length
            return machine.content[offset : offset + length]

        def write(self, offset: int, data: bytes) -> int:
            machine.put[self.path] = max(machine.put.get(self.path, 0), offset + len(data))
            return int(paramiko.SFTP_OK)

        def stat(self) -> Any:
            return _attributes({"size": machine.put.get(self.path, 0), "mode": PLAIN, "mtime": 1})

    return Handle


def _files_class(machine: Machine) -> Any:
    import paramiko

    handle = _handle_class(machine)

    class Files(paramiko.SFTPServerInterface):  # type: ignore[misc] # it has no types
        """The files that are told of."""

        def list_folder(self, path: str) -> Any:
            del path
            files = machine.told.get("files")
            if files == ENDLESS:
                return _EndlessFiles(_attributes(RIGHT["files"][0]))  # type: ignore[index]
            return [_attributes(one) for one in files] if isinstance(files, list) else []

        def stat(self, path: str) -> Any:
            size = machine.put.get(path, len(machine.content))
            return _attributes({"name": path, "size": size, "mode": PLAIN, "mtime": 1795200000})

        lstat = stat

        def open(self, path: str, flags: int, attr: Any) -> Any:
            del attr
            return handle(path, flags)

        def posix_rename(self, before: str, after: str) -> int:
            machine.put[after] = machine.put.pop(before, 0)
            return int(paramiko.SFTP_OK)

        def remove(self, path: str) -> int:
            machine.put.pop(path, None)
            return int(paramiko.SFTP_OK)

    return Files


def _number(said: Any) -> int | None:
    if isinstance(said, bool) or not isinstance(said, int | float):
        return None
    try:
        return abs(int(said))
    except (OverflowError, ValueError):
        return None


def _shares(bench: Bench, data: bytes) -> None:
    """A teacher shares through the machine, twice; then the logbook is as whole as before."""
    machine = Machine(data)
    keys = bench.folder / ".ssh"
    keys.mkdir()
    machine_keys()[1].write_private_key_file(str(keys / "id_ecdsa"))
    shown = machine_keys()[0]
    known = f"[127.0.0.1]:{machine.port} {shown.get_name()} {shown.get_base64()}\n"
    (keys / "known_hosts").write_text(known, "ascii")
    with an_environment(HOME=str(bench.folder)), without_rests():
        try:
            bench.types("teacher", "use", TEACHER)
            for more in ((), ("--all",)):
                bench.types("share", f"sftp://march@127.0.0.1:{machine.port}/thursday", *more)
            _no_longer_asked(machine)
        finally:
            machine.end()
    if machine.faults:
        raise WrongAnswerError(f"the fuzz's own machine: {machine.faults[0]}")
    bench.types("log", "--all")


def _no_longer_asked(machine: Machine) -> None:
    """WrongAnswerError where the machine is asked still after the command."""
    end = time.monotonic() + FINISHED_S
    while time.monotonic() < end:
        before = machine.served
        time.sleep(IDLE_S / 20)
        if machine.served == before:
            return
    raise WrongAnswerError("a request goes on once the command is done")
