"""Whether what was printed is what a page says, and the page's ids as the run had them."""

import json
import re
from dataclasses import dataclass, field

_LONG = r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
_SHORT = r"(?<![0-9a-z.-])(?=[a-f]*[0-9])[0-9a-f]{6}(?![0-9a-z-])"
ID = re.compile(f"{_LONG}|{_SHORT}")
_DAY = re.compile(
    r"\d{4}-\d{2}-\d{2}(?:T[0-9:.+]+)?|\b\d\d:\d\d\b"
    r"|\b\d{1,2} (?:January|February|March|April|May|June|July|August|September|October"
    r"|November|December)\b"
)
_ANY_DAY = r"[0-9A-Za-z:.+ -]{4,40}?"


@dataclass
class Names:
    """The page's ids, and which ids of this run they stand for."""

    of_run: dict[str, str] = field(default_factory=dict)

    def in_command(self, words: str) -> str:
        """The words of a page with this run's ids in them."""
        return ID.sub(lambda found: self.of_run.get(found[0], found[0]), words)

    def on_page(self, text: str) -> str:
        """What was printed with the page's ids in it, where the page has shown them."""
        known = {in_run: on_page for on_page, in_run in self.of_run.items()}
        return ID.sub(lambda found: known.get(found[0], found[0]), text)

    def same(self, on_page: str, in_run: str) -> bool:
        """Whether the page's id stands for this one, as from now on it does if it is new.

        Its last six characters stand for that one's too.
        """
        self.of_run.setdefault(on_page[-6:], in_run[-6:])
        return self.of_run.setdefault(on_page, in_run) == in_run


def text_agrees(said: str, printed: str, marks: frozenset[str], names: Names) -> bool:
    """Whether the lines printed are the lines said, but for what the marks let differ."""
    pattern, ids = "", list[str]()
    for line in _tidy(said):
        if line == "...":
            pattern += r"(?:.*\n)*?"
            continue
        pattern += _line_pattern(line, marks, ids) + r"\n"
    found = re.fullmatch(pattern, "".join(f"{line}\n" for line in _tidy(printed)))
    if found is None:
        return False
    return all(
        names.same(on_page, in_run) for on_page, in_run in zip(ids, found.groups(), strict=True)
    )


def _tidy(text: str) -> list[str]:
    lines = [line.rstrip() for line in text.splitlines()]
    while lines and not lines[-1]:
        lines.pop()
    return lines


def _line_pattern(line: str, marks: frozenset[str], ids: list[str]) -> str:
    """A line as a pattern; the ids in it are added to `ids`, a group each."""
    kinds = [r"\.\.\."]
    kinds += [_DAY.pattern] if "days" in marks else []
    kinds += [ID.pattern] if "ids" in marks else []
    pattern, done = "", 0
    for piece in re.finditer("|".join(kinds), line):
        pattern += re.escape(line[done : piece.start()])
        if piece[0] == "...":
            pattern += ".*?"
        elif "ids" in marks and ID.fullmatch(piece[0]):
            ids.append(piece[0])
            pattern += f"({_LONG}|[0-9a-f]{{6}})"
        else:
            pattern += _ANY_DAY
        done = piece.end()
    return pattern + re.escape(line[done:])


def json_differences(
    said: object, printed: object, marks: frozenset[str], names: Names, at: str = ""
) -> list[str]:
    """Where the shortened JSON of a page says something else than was printed.

    Keys may be left out, and elements of a list; what is left stands in the order it was printed.
    """
    match said, printed:
        case dict(), dict():
            return [
                problem
                for key, value in said.items()
                for problem in (
                    json_differences(value, printed[key], marks, names, f"{at}.{key}")
                    if key in printed
                    else [f"{at}.{key}: not printed"]
                )
            ]
        case list(), list() if said:
            rest = iter(printed)
            return [
                f"{at}[]: {json.dumps(one)} is not printed, or not in this order"
                for one in said
                if not any(not json_differences(one, other, marks, names, at) for other in rest)
            ]
        case str(), str() if text_agrees(said, printed, marks, names):
            return []
        case float(), float():
            decimals = len(repr(said).partition(".")[2])
            printed = round(printed, decimals)
    return [] if said == printed else [f"{at}: said {said!r}, printed {printed!r}"]
