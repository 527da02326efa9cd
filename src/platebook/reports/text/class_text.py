"""The class in words: a line a setter, the queue, what all share, what was practised."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta

from platebook.advice.class_standing import QueueRow, SetterLine
from platebook.analysis.findings.telling.results import ClassFindings
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.periods.practice_by_week import Practice, Used
from platebook.analysis.success.share_good import share_words
from platebook.practice.records import Inspection
from platebook.practice.results import verdict
from platebook.reports.text.analysis_text import support_line
from platebook.reports.text.figures import FINDINGS, GRADES, PERSONAL, place_in_queue
from platebook.trade.phrases import count_of

Verdict = tuple[Sequence[str], Sequence[int]]
"""Results with their severities; fewer of these where none was said."""

MOST = 6
"""Kinds of stone or bur that one line names; the rest is counted."""


def practice_line(practice: Practice) -> str:
    """Attempts a week on average and in each of the last weeks; a sentence for none dated."""
    if practice.a_week is None:
        return "No dated practice yet."
    weeks = " ".join(str(week.attempts) for week in practice.weeks)
    shown = f"last {count_of(len(practice.weeks), 'week')}"
    if not practice.recent:
        until = date.fromisoformat(practice.weeks[-1].monday) + timedelta(days=6)
        shown = f"none lately; {count_of(len(practice.weeks), 'week')} to {until.day} {until:%b %Y}"
    return f"{practice.a_week:.1f} attempts a week; {shown}: {weeks}"


def used_lines(practice: Practice) -> tuple[str, ...]:
    """Stones by size and seats cut by bur, a line each; nothing where none is noted."""
    kinds = (("stones used", practice.stones), ("seats cut by bur", practice.burs))
    return tuple(f"{words}: {_listed(used)}" for words, used in kinds if used)


def _listed(used: Sequence[Used]) -> str:
    """The kinds in their order; of many, those used most, and how many more there are."""
    most = sorted(used, key=lambda kind: -kind.count)[:MOST]
    named = ", ".join(f"{kind.what} × {kind.count}" for kind in used if kind in most)
    more = sum(kind.count for kind in used) - sum(kind.count for kind in most)
    return f"{named}, others × {more}" if more else named


def standing_lines(standings: Sequence[SetterLine], topic: str) -> tuple[str, ...]:
    """The group's topic, then a few lines a setter."""
    lines = [topic, ""] if topic else []
    for setter in standings:
        if not setter.attempts:
            gone = "left, with nothing logged" if setter.left else "nothing logged yet"
            lines.append(f"{setter.name}: {gone}.")
            continue
        where = grade_and_state(setter) or "no grade"
        if setter.state in TO_BE_PASSED:
            where += f", {count_of(setter.good_to_go, 'good one')} to go"
        where += f"{sign_off_due(setter)}{'; left' if setter.left else ''}"
        lines.append(f"{setter.name:<24} {setter.signs:<8}  {where}")
        share = share_words(setter.lately, setter.lately_low, setter.lately_high)
        about = [share] if share else []
        if setter.defect:
            about.append(f"mostly {main_defect(setter)}")
        about.append(f"eye: {setter.eye}")
        lines.append(f"{'':<4}{'; '.join(about)}")
        if setter.practice is not None:
            practice = (practice_line(setter.practice), *used_lines(setter.practice))
            lines += [f"{'':<4}{line}" for line in practice]
    return tuple(lines)


def grade_and_state(setter: SetterLine) -> str:
    """The grade worked at, and its state where that says more than this; empty without a grade."""
    if not setter.grade or setter.state == "practised":
        return setter.grade or ""
    return f"{setter.grade}, {GRADES[setter.state].words}"


def main_defect(setter: SetterLine) -> str:
    """The defect met most, and on which side of the rim where it keeps to one; empty for none."""
    at = f" at {setter.clock} o'clock" if setter.clock is not None else ""
    return f"{setter.defect}{at}" if setter.defect else ""


def lately_words(setter: SetterLine) -> list[str]:
    """How it goes lately: the share that comes out good, and the defect met most; what there is."""
    share = share_words(setter.lately, setter.lately_low, setter.lately_high)
    return list(filter(None, (share, f"mostly {main_defect(setter)}" if setter.defect else "")))


def sign_off_due(setter: SetterLine) -> str:
    """Which other grade waits for a sign-off, to stand behind the one worked at and its state."""
    other = setter.sign_off and setter.sign_off_title != setter.grade
    return f"; {setter.sign_off_title} waits for a sign-off" if other else ""


def together_lines(practice: Practice) -> tuple[str, ...]:
    """What the class practised and used all together."""
    about = (practice_line(practice), *used_lines(practice))
    return ("", "All together:", *(f"{'':<4}{line}" for line in about))


def queue_lines(rows: Sequence[QueueRow]) -> tuple[str, ...]:
    """An attempt's id ending, whose it is and where it lies; its reasons under it, a line each."""
    lines, reasoned = [], who_has_reasons(rows)
    for row in rows:
        short = f"plate {row.plate} {row.position}".strip()
        where = short if row.plate else place_in_queue(row)
        lines.append(f"{row.attempt_id[-6:]}  {row.setter}, {where}")
        lines += [f"{'':<8}{sentence}" for sentence in why_lines(row, reasoned)]
    return (*lines, "", "Look first, then: platebook class inspect ID RESULT --severity 2")


def why_lines(row: QueueRow, reasoned: Collection[str]) -> tuple[str, ...]:
    """Why to look at a position: each reason, the weightiest first, and whether it was drawn.

    Of one that was only drawn, that its setter has a row for a reason (`who_has_reasons`) too.
    """
    reasons = tuple(reason.sentence for reason in row.reasons)
    if not reasons:
        again = row.setter_id in reasoned
        return (f"{row.sentence}; {REASON_TOO}" if again else row.sentence,)
    return (*reasons, "drawn at random too") if row.drawn else reasons


REASON_TOO = "has a reason too"
"""Stands beside who is drawn at random and has a row of their own for a reason."""


def who_has_reasons(rows: Iterable[QueueRow]) -> frozenset[str]:
    """The ids of the setters who have a row for a reason."""
    return frozenset(row.setter_id for row in rows if row.reasons)


def comment_lines(comments: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """The stock comments by result, each with its digit."""
    lines: list[str] = []
    for result, stock in comments.items():
        lines += [f"{result}:", *(f"  {key} {comment}" for key, comment in enumerate(stock, 1))]
    return tuple(lines)


def verdicts_line(inspection: Inspection, setter: str, own: Verdict) -> str:
    """What the inspector saw, and what the setter had written down, each with how bad it was."""
    mine = verdict(inspection.result or (), inspection.severity or ())
    return f"Yours: {mine}. {setter}'s own: {verdict(*own)}."


def inspected_lines(inspection: Inspection, setter: str, own: Verdict) -> tuple[str, ...]:
    """Both verdicts, side by side."""
    verdicts = verdicts_line(inspection, setter, own)
    if not inspection.drawn_at_random:
        return (verdicts,)
    return verdicts, "It was drawn at random, so it counts for the agreement of eyes."


def class_findings_lines(findings: ClassFindings, eyes: Mapping[str, str]) -> tuple[str, ...]:
    """What the class shares, what is personal, what could not be judged, and whose eye is kind."""
    lines = list(findings.answer)
    for status, sign in FINDINGS.items():
        of_status = [finding for finding in findings.common if finding.status == status]
        if of_status:
            lines += ["", f"{sign.title}, in the class:"]
        for finding in of_status:
            lines += [f"{sign.plain} {finding.sentence}", f"  {support_line(finding)}"]
            lines += [f"  {note}" for note in finding.notes]
    if findings.personal:
        lines += ["", PERSONAL]
        lines += [f"> {lead.setter}: {lead.sentence}" for lead in findings.personal]
    if eyes:
        lines += ["", "Eyes:"]
        lines += [f"- {name}: {sentence}" for name, sentence in eyes.items()]
    return tuple(lines)
