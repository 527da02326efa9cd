"""The sentences with which commands end in an error, collected from the source by its syntax.

A message is a text given to one of the errors that are told instead of traced. What is filled in
is `...`, and so is what another function words; a message of which nothing is fixed is left out.
"""

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from tests.documents.page import ROOT

LEFT_OUT = "..."
SHORTEST = 9
"""Letters of a piece of a message that tell it from others."""

TOLD = frozenset(
    {
        "CourseError",
        "LogbookError",
        "LogbookUnusable",
        "NotABundle",
        "NotHad",
        "NotPlain",
        "Refused",
        "TradeError",
        "Unreachable",
    }
)
"""Errors that end a command in a sentence. Wrong use is told with the usage, and is not here."""


@dataclass(frozen=True)
class Message:
    """What is said, and the file and line where it is."""

    words: str
    where: str


def texts() -> Iterator[str]:
    """Every text in the program, with `...` for what is filled in."""
    for tree in _trees().values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant | ast.JoinedStr):
                words = _words(node, {})
                if words != LEFT_OUT:
                    yield words


def messages() -> tuple[Message, ...]:
    """Every message that ends a command, in the order of the files."""
    found = []
    for name, tree in _trees().items():
        constants = _known_in(name)
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef):
                found += [
                    Message(" ".join(words.split()), f"{name}:{line}")
                    for line, words in _raised(node, constants)
                ]
    return tuple(one for one in found if _says_something(without_tail(one.words)))


def _known_in(name: str) -> dict[str, str]:
    """The constants of one file, those that it imports too."""
    known: dict[str, str] = {}
    for node in _trees()[name].body:
        match node:
            case ast.ImportFrom(module=str(module), names=names) if module.startswith("platebook"):
                made_in = _trees().get(module.replace(".", "/") + ".py")
                there = dict(_constants(made_in)) if made_in is not None else {}
                known |= {one.name: there[one.name] for one in names if one.name in there}
    return known | dict(_constants(_trees()[name]))


def without_tail(words: str) -> str:
    """A message without what so many end with that it tells none from others."""
    return re.sub(
        r"[Nn]othing (?:of it )?(?:was )?(?:changed|erased|added|taken in)\.?$", "", words
    )


@cache
def _trees() -> Mapping[str, ast.Module]:
    files = sorted((ROOT / "src" / "platebook").rglob("*.py"))
    return {
        str(file.relative_to(ROOT / "src")): ast.parse(file.read_text("utf-8")) for file in files
    }


def _constants(tree: ast.Module) -> Iterator[tuple[str, str]]:
    for node in tree.body:
        match node:
            case ast.Assign(targets=[ast.Name(id=name)], value=value) if name.isupper():
                yield name, _words(value, {})


def _raised(function: ast.FunctionDef, constants: Mapping[str, str]) -> Iterator[tuple[int, str]]:
    """The messages of one function, with what its names stand for where they are given."""
    names = dict(constants)
    inside = (node for node in ast.walk(function) if isinstance(node, ast.Assign | ast.Call))
    for node in sorted(inside, key=lambda node: (node.lineno, node.col_offset)):
        match node:
            case ast.Assign(targets=[ast.Name(id=name)], value=value):
                names[name] = _words(value, names)
            case ast.Call(func=ast.Name(id=error), args=args) if error in TOLD and args:
                yield node.lineno, _words(args[-1 if error == "LogbookError" else 0], names)


def _words(node: ast.expr, names: Mapping[str, str]) -> str:  # noqa: PLR0911 - a case a form
    """The text that an expression stands for, with `...` for what only the run knows."""
    match node:
        case ast.Constant(value=str(text)):
            return re.sub(r"\{[a-z_]*\}", LEFT_OUT, text)
        case ast.JoinedStr(values=parts):
            return "".join(_words(part, names) for part in parts)
        case ast.FormattedValue(value=ast.Name() as name):
            return _words(name, names)
        case ast.Name(id=name):
            return names.get(name, LEFT_OUT)
        case ast.Call(func=ast.Attribute(value=text, attr="format")):
            return _words(text, names)
        case ast.Call(func=ast.Name(id=function)):
            return _answers().get(function, LEFT_OUT)
        case ast.FormattedValue(value=ast.Call() as call):
            return _words(call, names)
    return LEFT_OUT


@cache
def _answers() -> Mapping[str, str]:
    """What functions that word a part of a message give, where that is one text."""
    found = {}
    for tree in _trees().values():
        for node in tree.body:
            match node:
                case ast.FunctionDef(
                    name=name, body=[*_, ast.Return(value=ast.JoinedStr() as text)]
                ):
                    # What it calls itself is left out.
                    found[name] = "".join(
                        str(part.value) if isinstance(part, ast.Constant) else LEFT_OUT
                        for part in text.values
                    )
    return found


def pieces(words: str) -> list[str]:
    """What is fixed in a message, in its order."""
    bare = (piece.strip(" .") for piece in words.split(LEFT_OUT))
    return [piece for piece in bare if piece.strip(" ,:;")]


def _says_something(words: str) -> bool:
    return any(len(piece) >= SHORTEST for piece in pieces(words))


def has_pieces(words: str, of: str) -> bool:
    """Whether a text has the fixed pieces of another one, in their order; case is no difference."""
    text, place = " ".join(words.split()).lower(), 0
    for piece in pieces(of):
        found = text.find(piece.lower(), place)
        if found < 0:
            return False
        place = found + len(piece)
    return True
