"""What people typed is never a command to the terminal, on stdout or stderr.

The characters are those that terminals and readers obey: escapes (ECMA-48), C1 control characters,
direction overrides (Unicode Standard Annex 9) and zero-width ones. Output is looked at as a
terminal gets it, nothing stripped on the way.
"""

import json
import unicodedata

import pytest
from tests.cli.shell import Shell

HOSTILE = "wax\x1b[31m\x1b]0;title\x07 ran\u202e out\u200b \u2066of\x9b2J it\x00"
READING = [
    ("log",),
    ("log", "--everyone"),
    ("findings",),
    ("progress",),
    ("next",),
    ("setter", "list"),
    ("drawer", "list"),
    ("check",),
]


def _obeyed(text: str) -> set[str]:
    """Characters of the text that do something other than show themselves."""
    return {c for c in text if c != "\n" and unicodedata.category(c) in {"Cc", "Cf", "Cs", "Co"}}


def _hostile_shell(shell: Shell) -> Shell:
    shell.runs("setter", "add", f"Ada{HOSTILE}", "--group", HOSTILE)
    shell.runs("drawer", "add", "bur", "1.9", "--name", HOSTILE, "--shape", "setting")
    row = {"result": "good", "note": HOSTILE, "plate": HOSTILE, "metal": HOSTILE}
    for given, code in (({**row, HOSTILE: "x"}, 1), (row, 0)):
        done = shell.runs("record", "--from", "-", stdin=json.dumps(given), code=code)
        assert _obeyed(done.stdout + done.stderr) == set()
    return shell


def test_nothing_that_a_terminal_obeys_is_printed(shell: Shell) -> None:
    """Neither a note nor a name, a tool, a heading or an unknown field gets through."""
    _hostile_shell(shell)
    shown = ("show", shell.attempts()[0]["attempt_id"])
    for words in (*READING, shown):
        for json_too in ((), ("--json",)):
            done = shell.runs(*words, *json_too)
            assert _obeyed(done.stdout + done.stderr) == set(), words


def test_the_words_of_a_note_are_kept(shell: Shell) -> None:
    """Only what is no text is taken out."""
    note = _hostile_shell(shell).attempts()[0]["note"]
    assert note == "wax[31m]0;title ran out of2J it"


@pytest.mark.parametrize(
    "words",
    [
        ("sizes", f"1.98{HOSTILE.replace(chr(0), '')}"),
        ("show", HOSTILE),
        ("findings", "--setter", HOSTILE),
        ("course", "show", HOSTILE),
        ("import", "hostile.csv"),
        ("course", "check", "hostile.toml"),
    ],
    ids=["size", "id", "name", "course", "heading", "key"],
)
def test_a_refusal_repeats_nothing_that_a_terminal_obeys(
    ada: Shell, words: tuple[str, ...]
) -> None:
    """What was read is told back in a form that shows."""
    csv = f"Result,{HOSTILE}\nglued,1\ngood;loose,2\n"
    (ada.folder / "hostile.csv").write_text(csv, encoding="utf-8")
    key = json.dumps(f"x{HOSTILE}")
    (ada.folder / "hostile.toml").write_text(f'{key} = "{key[1:-1]}"\n', encoding="utf-8")
    done = ada.runs(*words, code=1)
    assert (_obeyed(done.stdout + done.stderr), bool(done.stderr)) == (set(), True)


def test_json_keeps_what_does_not_show_as_an_escape(ada: Shell) -> None:
    """A file's name reads back whole from JSON, and neither form of the answer obeys it."""
    name = "ada\u202evsc\x9b.csv"
    printed = ada.runs("export", name, "--json").stdout
    assert (json.loads(printed)["file"], _obeyed(printed)) == (name, set())
    (ada.folder / name).unlink()
    assert _obeyed(ada.runs("export", name).stdout) == set()
