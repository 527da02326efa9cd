"""What others said of a setter's work, in words: looks beside the setter's own, and messages."""

from datetime import date

from platebook.practice.people.received import Received, SeenLook, Word
from platebook.practice.results import verdict
from platebook.reports.text.figures import place_on_plate
from platebook.trade.phrases import count_of, full_day


def look_head(look: SeenLook) -> str:
    """Who looked, when, and at what."""
    where = place_on_plate(look.plate, look.position)
    parts = (f"{look.by} looked", _dated(look.looked), where, look.grade_title or look.grade)
    return ", ".join(part for part in parts if part)


def theirs(look: SeenLook) -> str:
    """What the other one saw, and where on the rim."""
    clock = f", at {look.clock} o'clock" if look.clock is not None else ""
    return verdict(look.result, look.severity) + clock


def side_by_side(look: SeenLook) -> str:
    """Both verdicts: "yours: good; theirs: high, clearly"."""
    return f"yours: {verdict(look.own_result, look.own_severity)}; theirs: {theirs(look)}"


def word_head(word: Word) -> str:
    """Who wrote, when, and to whom."""
    parts = (word.by, _dated(word.written), f"to {word.to}" if word.to else "")
    return ", ".join(part for part in parts if part)


def received_lines(received: Received) -> tuple[str, ...]:
    """Messages, then looks, newest first, a few lines each; a sentence for none."""
    lines: list[str] = []
    for word in received.words:
        lines += [word_head(word), f"    {word.text}"]
    for look in received.looks:
        lines += [look_head(look), f"    {side_by_side(look)}"]
        lines += [f"    {look.comment}"] if look.comment else []
    return tuple(lines) or (NOTHING,)


def looks_line(received: Received) -> str:
    """How many looks by others there are, how many with a comment, how often alike, and where.

    Empty for none. Alike says no more than the same result; the agreement of eyes rests on drawn
    ones alone and is told elsewhere.
    """
    looks = received.looks
    if not looks:
        return ""
    said = sum(bool(look.comment) for look in looks)
    alike = sum(look.result == look.own_result for look in looks)
    counted = f"{count_of(len(looks), 'look')} by others, {said} with a comment, {alike} as yours"
    return f"{counted}: l then v shows them"


NOTHING = "Nobody else has looked at your work or written to you yet."


def _dated(day: str) -> str:
    """A day as a person says it: "3 March 2026"; empty for none."""
    return full_day(date.fromisoformat(day)) if day else ""
