"""How each shell is told what completes a word, so that the line it makes means just that word.

A name may hold whatever a person typed, and may come from somebody else's bundle: a sign that a
shell obeys is marked, or it would be obeyed at the next Enter. zsh and fish mark what they insert
by themselves; bash puts it into the line as it is. `--setter=Ad` is one word to zsh and fish, so
what completes it begins with the option too.
"""

import os
import re
from typing import Any

from click import shell_completion
from click.shell_completion import CompletionItem

_OBEYED = re.compile(r"([^\w./:+,@%-])")
"""What may mean something to bash outside quotes."""

_OBEYED_IN_DOUBLE = re.compile(r'(["$`\\])')


def for_bash(word: str, line: str) -> str:
    """The word as it has to stand at the end of the line, for click's script to read.

    That script takes one backslash away from each pair, so all are doubled.
    """
    quote = open_quote(line)
    if quote == "'":
        marked = word.replace("'", r"'\''")
    elif quote:
        marked = _OBEYED_IN_DOUBLE.sub(r"\\\1", word)
    else:
        marked = _OBEYED.sub(r"\\\1", word)
    return marked.replace("\\", r"\\")


def open_quote(line: str) -> str:
    """The quote that is open at the end of a line; empty for none."""
    quote, marked = "", False
    for sign in line:
        if marked:
            marked = False
        elif sign == "\\" and quote != "'":
            marked = True
        elif sign == quote:
            quote = ""
        elif not quote and sign in "'\"":
            quote = sign
    return quote


class Bash(shell_completion.BashComplete):
    """Marks what bash would obey, and knows `--setter=Ad`, three words to it, for an option."""

    def get_completion_args(self) -> tuple[list[str], str]:
        """The words before the one that is completed, and that one."""
        args, begun = super().get_completion_args()
        kept = [
            word
            for before, word in zip(["", *args], args, strict=False)
            if word != "=" or not before.startswith("--")
        ]
        return (kept, "") if begun == "=" and kept and kept[-1].startswith("--") else (kept, begun)

    def format_completion(self, item: "CompletionItem[Any]") -> str:
        """The line by which click's script is told of it."""
        if item.type != "plain":
            return super().format_completion(item)
        return f"plain,{for_bash(item.value, os.environ.get('COMP_WORDS', ''))}"


class _OneWord(shell_completion.ShellComplete):
    """An option with what is given to it is one word of the line."""

    def get_completions(self, args: list[str], incomplete: str) -> "list[CompletionItem[Any]]":
        """What completes the word that begins so."""
        found = super().get_completions(args, incomplete)
        option, is_given, _ = incomplete.partition("=")
        if not is_given or not option.startswith("--"):
            return found
        return [
            CompletionItem(f"{option}={item.value}", type=item.type, help=item.help)
            if item.type == "plain"
            else item
            for item in found
        ]


class Zsh(_OneWord, shell_completion.ZshComplete):
    """As click's, with the option before what is given to it."""


class Fish(_OneWord, shell_completion.FishComplete):
    """The same."""


def complete_by_these() -> None:
    """From now on click asks these classes for what it says to a shell."""
    for kind in (Bash, Zsh, Fish):
        shell_completion.add_completion_class(kind)
