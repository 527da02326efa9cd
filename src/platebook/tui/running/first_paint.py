"""The first sight of Now: its words as they were last shown, there before anything is worked out.

The words lie beside the logbook with a mark of what they rest on: the logbook's file as it was, the
day, the program's version. They are painted only where the mark still holds, and give way to the
answer of the logbook, which alone opens an attempt. What cannot be read or kept is left out.
"""

import contextlib
import json
import os
from collections.abc import Callable, Mapping
from datetime import date, datetime
from pathlib import Path

from textual.content import Content, Span

from platebook import __version__
from platebook.logbook.file.place import answers_folder, first_sight_file, stamps
from platebook.practice.text import json_in
from platebook.values import Value


def today_here() -> date:
    """The day by this computer's clock and zone."""
    return datetime.now().astimezone().date()


class Sight(Value):
    """Who is at the bench, whether they are invented, and the words of each part."""

    who: str
    invented: bool
    parts: Mapping[str, Content]


class FirstSight:
    """Keeps the last sight of one logbook's Now."""

    def __init__(self, logbook: Path, today: Callable[[], date] = today_here) -> None:
        self._logbook = logbook
        self._today = today

    def mark(self) -> str:
        """What a sight rests on, at this moment; empty without a logbook."""
        files = stamps(self._logbook)
        return json.dumps([__version__, self._today().isoformat(), *files]) if files else ""

    def is_new(self) -> bool:
        """Whether no sight of this logbook was ever kept: it may well be the first start."""
        return not first_sight_file(self._logbook).exists()

    def last(self) -> Sight | None:
        """The last sight, where all that it rests on is as it was."""
        damaged = (ValueError, KeyError, TypeError, AttributeError, OverflowError)
        with contextlib.suppress(OSError, *damaged):
            kept = json_in(first_sight_file(self._logbook).read_bytes())
            if kept["mark"] and kept["mark"] == self.mark():
                parts = {name: _content(words) for name, words in kept["parts"].items()}
                return Sight(str(kept["who"]), bool(kept["invented"]), parts)
        return None

    def keep(self, sight: Sight, mark: str) -> None:
        """Keep this sight; `mark` was taken before the logbook was asked."""
        if not mark:
            return
        kept = {
            "mark": mark,
            "who": sight.who,
            "invented": sight.invented,
            "parts": {name: _words(content) for name, content in sight.parts.items()},
        }
        file = first_sight_file(self._logbook)
        partial = file.with_name(f"{file.name}.{os.getpid()}.part")
        with contextlib.suppress(OSError):
            answers_folder(self._logbook).mkdir(mode=0o700, exist_ok=True)
            partial.write_text(json.dumps(kept), encoding="utf-8")
            partial.replace(file)


def _words(content: Content) -> list[object]:
    return [content.plain, [[s.start, s.end, str(s.style)] for s in content.spans]]


def _content(words: list[object]) -> Content:
    plain, spans = words
    if not isinstance(plain, str) or not isinstance(spans, list):
        raise TypeError("words")
    return Content(plain, spans=[Span(int(s), int(e), str(style)) for s, e, style in spans])
