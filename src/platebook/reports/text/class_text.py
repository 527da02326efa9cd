"""The class in words: a line a setter, the queue, what all share, what was practised."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from platebook.advice.class_standing import QueueRow, SetterLine
from platebook.analysis.classes.results import ClassFindings
from platebook.analysis.grades.practice_by_week import Practice, Used
from platebook.practice.records import Inspection
from platebook.reports.text.figures import PERSONAL, counted, interval, percent

MOST = 6
"""Kinds of stone or bur that one line names; the rest is counted."""


def practice_line(practice: Practice) -> str:
    """Attempts a week on average and in each of the last weeks; a sentence for none dated."""
    if practice.a_week is None:
        return "No dated practice yet."
    weeks = " ".join(str(week.attempts) for week in practice.weeks)
    shown = f"last {len(practice.weeks)} weeks"
    if not practice.recent:
        until = date.fromisoformat(practice.weeks[-1].monday)
        shown = f"none lately; {len(practice.weeks)} weeks to {until:%-d %B %Y}"
    return f"{practice.a_week:.1f} attempts a week; {shown}: {weeks}"


def used_lines(practice: Practice) -> tuple[str, ...]:
    """Stones by size and seats by bur, a line each; nothing where none is noted."""
    kinds = (("stones used", practice.stones), ("seats by bur", practice.burs))
    return tuple(f"{words}: {_listed(used)}" for words, used in kinds if used)


def _listed(used: Sequence[Used]) -> str:
    """The kinds in their order; of many, those used most, and how many more there are."""
    most = sorted(used, key=lambda one: -one.count)[:MOST]
    named = ", ".join(f"{one.what} × {one.count}" for one in used if one in most)
    more = sum(one.count for one in used) - sum(one.count for one in most)
    return f"{named}, others × {more}" if more else named


def standing_lines(standings: Sequence[SetterLine], topic: str) -> tuple[str, ...]:
    """The group's topic, then a few lines a setter."""
    lines = [topic, ""] if topic else []
    for one in standings:
        if not one.attempts:
            lines.append(f"{one.name}: nothing logged yet.")
            continue
        where = f"{one.grade}, {one.state}" if one.grade else "no grade"
        if one.state == "working":
            where += f", {counted(one.good_to_go, 'good one')} to go"
        if one.sign_off:
            where += f"; {one.sign_off_title} waits for a sign-off"
        lines.append(f"{one.name:<24} {one.signs:<8}  {where}")
        told = []
        if one.lately is not None and one.lately_low is not None and one.lately_high is not None:
            told.append(
                f"lately {percent(one.lately)} ({interval(one.lately_low, one.lately_high)})"
            )
        if one.defect:
            at = f" at {one.clock} o'clock" if one.clock is not None else ""
            told.append(f"mostly {one.defect}{at}")
        told.append(f"eye: {one.eye}")
        lines.append(f"{'':<4}{'; '.join(told)}")
        if one.practice is not None:
            about = (practice_line(one.practice), *used_lines(one.practice))
            lines += [f"{'':<4}{line}" for line in about]
    return tuple(lines)


def together_lines(practice: Practice) -> tuple[str, ...]:
    """What the class practised and used all together."""
    about = (practice_line(practice), *used_lines(practice))
    return ("", "All together:", *(f"{'':<4}{line}" for line in about))


def queue_lines(rows: Iterable[QueueRow]) -> tuple[str, ...]:
    """A line an attempt: its id's ending, where it lies, whose it is, and why."""
    lines = []
    for row in rows:
        where = f"plate {row.plate} {row.position}".strip() if row.plate else "no plate noted"
        drawn = (
            "" if not row.drawn or row.sentence == "drawn at random" else "; drawn at random too"
        )
        lines.append(f"{row.attempt_id[-6:]}  {row.setter}, {where}: {row.sentence}{drawn}")
    return (*lines, "", "Look first, then: platebook class inspect ID RESULT --severity 2")


def comment_lines(comments: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """The stock comments by result, each with its digit."""
    lines: list[str] = []
    for result, said in comments.items():
        lines += [f"{result}:", *(f"  {key} {one}" for key, one in enumerate(said, 1))]
    return tuple(lines)


def inspected_lines(inspection: Inspection, setter: str, own: Sequence[str]) -> tuple[str, ...]:
    """Both verdicts, side by side."""
    mine = " + ".join(inspection.result or ()) or "not judged"
    theirs = " + ".join(own) or "not judged"
    drawn = " It was drawn at random, so it counts for the agreement of eyes."
    return (
        f"Yours: {mine}. {setter}'s own: {theirs}.",
        *([drawn.strip()] if inspection.drawn_at_random else []),
    )


def class_findings_lines(found: ClassFindings, eyes: Mapping[str, str]) -> tuple[str, ...]:
    """What the class shares, what is personal, what could not be judged, and whose eye is kind."""
    lines = list(found.answer)
    if found.common:
        lines += ["", "What the class shares:"]
        for one in found.common:
            first = "" if one.stays_first else " Without one setter it is not first any more."
            lines.append(f"* {one.sentence}{first}")
            lines.append(f"  it holds for {one.holds_for} of {one.of_setters} setters")
            lines += [f"  {note}" for note in one.notes]
    if found.personal:
        lines += ["", PERSONAL]
        lines += [f"> {one.setter}: {one.sentence}" for one in found.personal]
    if eyes:
        lines += ["", "Eyes:"]
        lines += [f"- {name}: {sentence}" for name, sentence in eyes.items()]
    return tuple(lines)
