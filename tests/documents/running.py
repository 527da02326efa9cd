"""Takes the steps of a page in a folder of their own, in this process, and says what differs."""

import contextlib
import json
import os
import re
import shlex
import shutil
from dataclasses import dataclass, field
from pathlib import Path

import click
from click.testing import CliRunner
from tests.documents.likeness import Names, json_differences, text_agrees
from tests.documents.page import ROOT, Step

from platebook.cli.main import main

NEVER_ENDS: tuple[list[str], ...] = (["serve"], ["demo"], [])
"""Commands that open the app or a server where the page does not say so."""


@dataclass
class Reader:
    """Somebody who types what a page says, beginning with nothing.

    `folder` is where they are; it holds their logbook and their home. `kept` is what `demo --keep`
    made for all tests: a page that asks for it has it copied. `written` gathers what the
    page would say if it were written anew: the place in its text, and the text.
    """

    folder: Path
    kept: Path | None = None
    names: Names = field(default_factory=Names)
    environment: dict[str, str] = field(default_factory=dict)
    written: list[tuple[int, int, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """The reader has the examples that lie beside the pages."""
        shutil.copytree(ROOT / "docs" / "examples", self.folder / "docs" / "examples")

    def takes(self, step: Step) -> list[str]:
        """What is wrong with this step, each in a sentence; nothing where it is as it says."""
        words = shlex.split(step.command, comments=True)
        if not words:
            return []
        problems = self._runs(step, words) if step.run else _words_wrong(words)
        return [f"line {step.line}: {step.command}\n  {problem}" for problem in problems]

    def _runs(self, step: Step, words: list[str]) -> list[str]:
        words = [re.sub(r"^~(?=/)", str(self.folder), word) for word in words]
        if "|" in words:
            words = words[: words.index("|")]
        problems: list[str] = []
        match words:
            case ["sed", "-i", change, file]:
                problems = self._changes_a_line(self.folder / file, change)
            case ["cat", file]:
                problems = self._shows(step, file)
            case ["export", assignment]:
                name, _, value = assignment.partition("=")
                self.environment[name] = value
            case ["mkdir", folder]:
                (self.folder / folder).mkdir()
            case ["platebook", "demo", "--keep", folder] if self.kept is not None:
                shutil.copytree(self.kept, self.folder / folder)
                printed = self.kept.with_suffix(".said").read_text("utf-8")
                problems = [] if self._same(step, printed) else [f"printed\n{printed}"]
            case ["platebook", *asked] if asked[:1] not in NEVER_ENDS or "--keep" in asked:
                problems = self._asks(step, [self.names.in_command(word) for word in asked])
            case _:
                problems = _words_wrong(words)
        return problems

    def _changes_a_line(self, place: Path, change: str) -> list[str]:
        """`NUMBERs/OLD/NEW/`, as the stream editor does it."""
        number, old, new, _ = re.split("s?/", change)
        lines = place.read_text("utf-8").splitlines(keepends=True)
        found = lines[int(number) - 1]
        lines[int(number) - 1] = found.replace(old, new.replace("\\n", "\n"))
        place.write_text("".join(lines), encoding="utf-8")
        return [] if old in found else [f"line {number} is {found!r}"]

    def _shows(self, step: Step, file: str) -> list[str]:
        """A file that is shown is there, and is made where only the reader can have it."""
        place, said = self.folder / file, step.printed or ""
        if not place.exists():
            place.write_text(said, encoding="utf-8")
        printed = place.read_text("utf-8")
        return [] if self._same(step, printed) else [f"the file holds\n{printed}"]

    def _asks(self, step: Step, words: list[str]) -> list[str]:
        target: Path | None = None
        if ">" in words:
            at = words.index(">")
            words, target = words[:at], self.folder / words[at + 1]
        env = {
            "PLATEBOOK_LOGBOOK": "logbook.sqlite",
            "HOME": str(self.folder),
            "TERM": "dumb",
            "TZ": "UTC",
            **self.environment,
        }
        with contextlib.chdir(self.folder):
            done = CliRunner().invoke(main, words, "y\n", env, catch_exceptions=False)
        code = 1 if "refused" in step.marks else 0
        if done.exit_code != code:
            return [f"ended with {done.exit_code}, not {code}: {done.output}"]
        if target is not None:
            target.write_text(done.stdout, encoding="utf-8")
            return [] if self._same(step, done.stderr) else [f"printed\n{done.stderr}"]
        if "--json" in words and step.printed is not None:
            return self._same_json(step, done.stdout)
        return [] if self._same(step, done.output) else [f"printed\n{done.output}"]

    def _same(self, step: Step, printed: str) -> bool:
        if step.printed is None or text_agrees(step.printed, printed, step.marks, self.names):
            return True
        text = self.names.on_page(printed)
        self.written.append((step.begins, step.ends, text.rstrip("\n") + "\n"))
        return False

    def _same_json(self, step: Step, printed: str) -> list[str]:
        assert step.printed is not None
        said, found = json.loads(step.printed), json.loads(printed)
        problems = json_differences(said, found, step.marks, self.names)
        if problems:
            text = json.dumps(_cut_like(said, found), ensure_ascii=False, indent=2)
            self.written.append((step.begins, step.ends, self.names.on_page(text) + "\n"))
        return problems


def _cut_like(said: object, printed: object) -> object:
    """What was printed, shortened to the keys and to as many elements as the page has."""
    match said, printed:
        case dict(), dict():
            return {key: _cut_like(said[key], printed[key]) for key in said if key in printed}
        case list(), list():
            return [_cut_like(one, other) for one, other in zip(said, printed, strict=False)]
        case _, float():
            return round(printed, 4)
    return printed


def _words_wrong(words: list[str]) -> list[str]:
    """What is wrong with words that are not run: no such command, or no such option."""
    match words:
        case ["make", *targets]:
            text = (ROOT / "Makefile").read_text("utf-8")
            return [f"no target {one}" for one in targets if f"\n{one}:" not in text]
        case [name, *rest] if name.rpartition("/")[2] == "platebook":
            return _options_wrong(rest)
    return []


def _options_wrong(words: list[str]) -> list[str]:
    command: click.Command = main
    ctx = click.Context(main)
    rest = list(words)
    while isinstance(command, click.Group) and rest and re.match(r"[a-z]", rest[0]):
        inner = command.get_command(ctx, rest.pop(0))
        if inner is None:
            return [f"there is no command {' '.join(words)}"]
        command = inner
    known = {o for p in command.params for o in (*p.opts, *p.secondary_opts)} | {"--help"}
    return [f"no option {one}" for one in rest if one.startswith("--") and one not in known]


def written_anew(text: str, changes: list[tuple[int, int, str]]) -> str:
    """A page with what it says was printed replaced by what was."""
    for begins, ends, printed in sorted(changes, reverse=True):
        text = text[:begins] + printed + text[ends:]
    return text


WRITES = os.environ.get("PLATEBOOK_PICTURES") == "write"
