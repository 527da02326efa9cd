"""Places where a logbook cannot lie, and files that are no files: each is one sentence, at once."""

import contextlib
import json
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner
from tests.torture.outcome import Outcome

from platebook.cli.main import main

UNUSABLE = 3
SAYS_NO = 1


def odd_logbooks(folder: Path) -> dict[str, str]:
    """Names under which no logbook can be, by what is odd about each."""
    circle, pipe, empty = folder / "circle", folder / "pipe", folder / "empty.sqlite"
    circle.symlink_to(circle)
    os.mkfifo(pipe)
    empty.touch()
    text = folder / "text.sqlite"
    text.write_text("no logbook\n" * 20, encoding="utf-8")
    return {
        "a circle of links": str(circle),
        "a pipe": str(pipe),
        "a device": "/dev/null",
        "a folder": str(folder),
        "a name too long": str(folder / ("x" * 300)),
        "a home of nobody": "~nobody_such/book.sqlite",
        "an empty file": str(empty),
        "another file": str(text),
        "a file taken for a folder": str(text / "book.sqlite"),
    }


COMMANDS = (
    ("log",),
    ("record", "--result", "good"),
    ("next",),
    ("check",),
    ("where",),
    ("undo",),
    ("share", "."),
    ("backup", "copy.sqlite"),
    ("setter", "add", "Ada Quill"),
)

INPUTS: tuple[tuple[str, ...], ...] = (
    ("import", "{file}"),
    ("record", "--from", "{file}"),
    ("course", "check", "{file}"),
    ("course", "use", "{file}"),
    ("restore", "{file}"),
    ("begin", "{file}"),
    ("class", "new", "Thursday", "--from", "{file}"),
)


NOBODY = 65534
"""The user of a system who owns nothing."""


@contextlib.contextmanager
def folders_without_rights() -> Iterator[dict[str, str]]:
    """Logbooks that their owner may not read or write, by what may not be done."""
    with tempfile.TemporaryDirectory(prefix="rights-") as place:
        top = Path(place)
        top.chmod(0o755)
        good = top / "book.sqlite"
        CliRunner().invoke(main, ["--logbook", str(good), "setter", "add", "Ada Quill"])
        for command in COMMANDS:  # what they need is read while it may be
            CliRunner().invoke(main, ["--logbook", str(good), *command])
        odd: dict[str, str] = {}
        for what, rights in {"closed": 0o000, "without a list": 0o300, "read only": 0o500}.items():
            folder = top / what
            folder.mkdir()
            (folder / "book.sqlite").write_bytes(good.read_bytes())
            folder.chmod(rights)
            odd[f"a folder that is {what}"] = str(folder / "book.sqlite")
        shut = top / "shut" / "book.sqlite"
        shut.parent.mkdir(mode=0o700)
        shut.write_bytes(good.read_bytes())
        shut.chmod(0o000)
        odd["a file that is closed"] = str(shut)
        if os.geteuid() == 0:
            for folder in (f for f in top.iterdir() if f.is_dir()):
                for one in (*folder.iterdir(), folder):
                    os.chown(one, NOBODY, NOBODY)
        yield odd
        for folder in (f for f in top.iterdir() if f.is_dir()):
            folder.chmod(0o700)


def without_rights(outcome: Outcome) -> None:
    """Every command on them, in a process that is nobody where this one may do everything."""
    with folders_without_rights() as odd:
        read_end, write_end = os.pipe()
        pid = os.fork()
        if pid == 0:
            os.close(read_end)
            with contextlib.suppress(BaseException):
                if os.geteuid() == 0:
                    os.setgid(NOBODY)
                    os.setuid(NOBODY)
                mine = Outcome("places")
                for what, place in odd.items():
                    for words in COMMANDS:
                        mine.count("closed logbooks")
                        _ask(mine, what, ("--logbook", place, *words), None)
                said = {"counts": mine.counts, "found": mine.found}
                os.write(write_end, json.dumps(said).encode())
            os._exit(0)
        os.close(write_end)
        with os.fdopen(read_end, encoding="utf-8") as answer:
            said = json.loads(answer.read() or '{"counts": {}, "found": ["no answer"]}')
        os.waitpid(pid, 0)
    outcome.counts.update(said["counts"])
    outcome.found += said["found"]


def torture(folder: Path) -> Outcome:
    """Every command at every odd place, and every door with a pipe, a device and a folder."""
    outcome = Outcome("places")
    folder.mkdir(parents=True)
    for what, place in odd_logbooks(folder).items():
        for words in COMMANDS:
            outcome.count("odd logbooks")
            # What cannot be read may have copies all the same, and `where` says where.
            code = None if words == ("where",) else UNUSABLE
            _ask(outcome, what, ("--logbook", place, *words), code)
    good = folder / "book.sqlite"
    CliRunner().invoke(main, ["--logbook", str(good), "setter", "add", "Ada Quill"])
    pipes = {"a pipe": folder / "pipe", "nothing": folder / "none.csv", "a folder": folder}
    for what, file in pipes.items():
        for command in INPUTS:
            outcome.count("odd inputs")
            filled = [word.format(file=file) for word in command]
            _ask(outcome, what, ("--logbook", str(good), *filled), SAYS_NO)
    without_rights(outcome)
    return outcome


def _ask(outcome: Outcome, what: str, words: tuple[str, ...], code: int | None) -> None:
    """Type it; found is what raises, and where a code is expected another one."""
    done = CliRunner().invoke(main, words)
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        outcome.found.append(f"{what}: {' '.join(words)[:120]}: {done.exception!r}")
    elif done.exit_code not in ({0, UNUSABLE, SAYS_NO} if code is None else {code}):
        said = " ".join(done.output.split())[:160]
        outcome.found.append(f"{what}: {' '.join(words)[:120]}: {done.exit_code}, {said}")
