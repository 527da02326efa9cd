"""A page of the documentation as the steps that a reader takes, in the order they meet them.

A block that begins with three backticks and `console` shows a terminal: `$ ` and a command, below
it what is printed. A block `sh` holds commands alone, and says nothing about what they print.
Commands that stand in the text or in a table, between backticks, are steps too; one without
anything behind its name is only named in a sentence, and one with a WORD in capitals stands for
many. Behind `console` or `sh`, where no reader sees it, words say what the page cannot promise:

| word | means |
|---|---|
| `ids` | an id differs from run to run; the page's own stands for the one that was printed |
| `days` | days and times of day are those of the run |
| `refused` | the command ends with exit code 1 |
| `terminal` | it asks, or opens the app: only its name and options are looked at |
| `network` | it needs another machine, or what is not this program: likewise |

`...` on a line of its own stands for any lines, and inside a line for anything. `$ cat FILE` shows
a file that the reader has by then. A comment `<!-- by now: -->` holds commands of pages read
before.
"""

import re
from dataclasses import dataclass
from pathlib import Path

from platebook.cli.main import COMMANDS

ROOT = Path(__file__).parents[2]
MARKS = frozenset({"ids", "days", "refused", "terminal", "network"})

_PIECE = re.compile(
    r"^```(?P<info>[^\n]*)\n(?P<block>.*?)^```$"
    r"|^<!-- by now:\n(?P<before>.*?)-->"
    r"|<!--.*?-->"
    r"|(?P<cell>\| )?`(?P<inline>platebook [^`]+)`"
    r"|`(?P<bare>[a-z-]+ [^`]+)`",
    re.DOTALL | re.MULTILINE,
)
_PLACEHOLDER = re.compile(r"(?<![A-Za-z0-9_.\"-])[A-Z]{2,}\b")


@dataclass(frozen=True)
class Step:
    """One command on a page.

    `printed` is what the page says it prints, None where the page says nothing; `begins` and `ends`
    say where that stands in the page's text. `run` is false where only the words can be looked at.
    """

    line: int
    command: str
    marks: frozenset[str] = frozenset()
    printed: str | None = None
    begins: int = 0
    ends: int = 0
    run: bool = True


def pages() -> list[Path]:
    """Every page that a reader may type from, the first one first."""
    return [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]


def steps_of(text: str) -> list[Step]:
    """The commands on a page, in the order they stand there."""
    found: list[Step] = []
    for piece in _PIECE.finditer(text):
        line = text.count("\n", 0, piece.start()) + 1
        if piece["before"] is not None:
            reads = _console if piece["before"].startswith("$ ") else _bare
            found += reads(piece["before"], line, frozenset({"ids"}), piece.start("before"))
        elif piece["inline"] is not None:
            command = " ".join(piece["inline"].replace("\\|", "|").split())
            named = piece["cell"] is None and re.fullmatch(r"[a-z -]+", command)
            runs = not named and not _PLACEHOLDER.search(command)
            found.append(Step(line, command, run=runs))
        elif piece["bare"] is not None:
            command = " ".join(piece["bare"].split())
            if command.split()[0] in COMMANDS:
                found.append(Step(line, f"platebook {command}", run=False))
        elif piece["info"] is not None:
            found += _block(piece, line)
    return found


def _block(piece: re.Match[str], line: int) -> list[Step]:
    language, *words = piece["info"].split() or [""]
    marks = frozenset(words)
    if language == "sh":
        return _bare(piece["block"], line, marks)
    if language == "console":
        return _console(piece["block"], line, marks, piece.start("block"))
    return []


def _bare(block: str, line: int, marks: frozenset[str], _: int = 0) -> list[Step]:
    """The commands of a block that says nothing of what they print."""
    commands = block.replace("\\\n", " ").splitlines()
    runs = not marks & {"terminal", "network"}
    return [Step(line, words, marks, run=runs) for words in commands if words.strip()]


def _console(block: str, line: int, marks: frozenset[str], start: int) -> list[Step]:
    """The commands of a block with what stands below each."""
    found = []
    heads = list(re.finditer(r"^\$ ((?:[^\n]*\\\n)*[^\n]*)\n", block, re.MULTILINE))
    for head, following in zip(heads, [*heads[1:], None], strict=True):
        ends = following.start() if following else len(block)
        found.append(
            Step(
                line + 1 + block.count("\n", 0, head.start()),
                head[1].replace("\\\n", " "),
                marks,
                block[head.end() : ends],
                start + head.end(),
                start + ends,
                run=not marks & {"terminal", "network"},
            )
        )
    return found
