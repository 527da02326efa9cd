"""What analysis answers, in words: findings, a thought a line; progress, a paragraph a grade."""

from collections.abc import Iterable, Sequence

from platebook.analysis.findings.deciding.support import SHARE
from platebook.analysis.findings.telling.raw_values import RawValues
from platebook.analysis.findings.telling.results import ClassFinding, Finding, Findings
from platebook.analysis.findings.trials import Trial
from platebook.analysis.grades.own_work import NotWhole
from platebook.analysis.grades.progress import GradeProgress, Progress
from platebook.analysis.success.change import change_words
from platebook.analysis.success.share_good import share_words
from platebook.analysis.success.tally import Tally
from platebook.analysis.variables.columns import variable
from platebook.reports.text.figures import (
    FINDINGS,
    GRADES,
    RETIRED,
    SLIPPING,
    good_of_line,
    outlook_words,
    waits_for_sign_off,
)
from platebook.trade.phrases import as_sentence, count_of, days_ago, may_be, of_hundred, several


def findings_lines(findings: Findings, values: Sequence[RawValues | None] = ()) -> tuple[str, ...]:
    """The whole answer, one thought a line; `values` go with the findings, in their order."""
    lines = list(findings.answer)
    behind = [*values, *[None] * (len(findings.findings) - len(values))]
    pairs = list(zip(findings.findings, behind, strict=True))
    for status, sign in FINDINGS.items():
        of_status = [(finding, raw) for finding, raw in pairs if finding.status == status]
        if of_status:
            lines += ["", f"{sign.title}:"]
        for finding, raw in of_status:
            lines += _finding(finding, sign.plain)
            lines += [f"  {values_line(raw)}"] if raw is not None else []
    if findings.retired:
        lines += ["", f"{RETIRED.title}:"]
        lines += [line for finding in findings.retired for line in _retired(finding)]
    if findings.not_judged and findings.evidence != "counts only":
        lines += ["", "Could not be judged:"]
        lines += _reasons((n.reason, n.variable) for n in findings.not_judged)
    return tuple(lines)


def values_line(values: RawValues) -> str:
    """Both groups by number, middle, lowest and highest: "loose: 7, middle 0.07 (0.02 to 0.11) mm".

    The middle of an even number of values is the lower one of the two: a value that was measured.
    A choice is counted instead: "loose: 3 drops in, 4 drops in and moves".
    """
    tell = _choices if values.names else _spread
    parts = [f"{word}: {tell(values, group)}" for word, group in values.sides]
    parts += [f"not written down on {values.unmeasured}"] if values.unmeasured else []
    return "; ".join(parts)


def _spread(values: RawValues, group: Sequence[float]) -> str:
    if not group:
        return "none measured"
    middle, low, high = (values.value_text(group[at]) for at in ((len(group) - 1) // 2, 0, -1))
    unit = f" {values.unit}" if values.unit else ""
    return f"{len(group)}, middle {middle} ({low} to {high}){unit}"


def _choices(values: RawValues, group: Sequence[float]) -> str:
    counts = ((group.count(rank), name) for rank, name in values.names)
    return ", ".join(_so_many(count, name) for count, name in counts if count) or "none"


def _so_many(count: int, name: str) -> str:
    """Such as "3 drops in", and "9 at 1-2": two numbers never stand beside each other."""
    return f"{count} at {name}" if name[:1].isdecimal() else f"{count} {name}"


def _finding(finding: Finding, sign: str) -> list[str]:
    told = support_line(finding)
    lines = [f"{sign} {finding.sentence}", *([f"  {told}"] if told else [])]
    return lines + [f"  {note}" for note in finding.notes]


def support_line(finding: Finding | ClassFinding) -> str:
    """How much stands behind a finding: "62 more in 100 (may be 35 to 78)".

    It names the sides where the sentence counts level by level. Empty where the sentence says by
    itself how far something measured moved.
    """
    support = finding.support
    if support is None or support.unit != SHARE:
        return ""
    between = f", {finding.between}." if finding.between else ""
    by = f"{of_hundred(support.difference)} more in 100"
    return f"{by} ({may_be(support.low, support.high)}){between}"


def _retired(finding: Finding) -> list[str]:
    told = [f"  {finding.retired.sentence}"] if finding.retired is not None else []
    return [f"{RETIRED.plain} {finding.sentence}", *told]


def _reasons(pairs: Iterable[tuple[str, str]]) -> list[str]:
    by_reason: dict[str, list[str]] = {}
    for reason, name in pairs:
        by_reason.setdefault(reason, []).append(variable(name).spoken)
    return [f"- {', '.join(names)}: {reason}" for reason, names in by_reason.items()]


def trial_lines(trials: Sequence[Trial]) -> tuple[str, ...]:
    """What balanced blocks say, a trial a line; nothing where there was none."""
    if not trials:
        return ()
    said = (f"- {variable(t.variable).spoken}, {t.defect}: {t.sentence}" for t in trials)
    return ("", "Balanced blocks:", *said)


def progress_lines(progress: Progress) -> tuple[str, ...]:
    """The whole answer; begun grades in full, those ahead in a line, then work of one's own."""
    head = count_of(progress.settings, "whole setting") + " counted"
    if progress.left_out:
        head += f"; no points for {not_whole_words(progress.not_whole)}"
    if progress.days_since_practice is not None:
        head += f"; last practice {days_ago(progress.days_since_practice)}"
    lines = [f"{head}.", *(grade_line(grade) for grade in progress.grades)]
    if progress.own_work:
        lines += ["", "Outside the course, counted for findings and not for points:"]
        lines += [f"{line.title}: {' '.join(_shares(line))}" for line in progress.own_work]
    if progress.together.attempts > progress.settings:
        lines.append(f"{progress.together.title}: {' '.join(_shares(progress.together))}")
    if progress.rows:
        lines += ["", "Exercises in rows:", *(row.sentence for row in progress.rows)]
    return tuple(lines)


def not_whole_words(others: NotWhole) -> str:
    """What is no judged whole setting: "12 part exercises, 8 in blocks and 2 not judged"."""
    parts = [count_of(others.parts, "part exercise")] if others.parts else []
    parts += [f"{others.blocks} in blocks"] if others.blocks else []
    parts += [f"{others.not_judged} not judged"] if others.not_judged else []
    return several(parts)


def _shares(line: Tally) -> list[str]:
    """Counts, the share now and its change, the longest row of good ones, a sentence each."""
    sentences = []
    if line.attempts:
        sentences.append(f"{good_of_line(line.good, line.attempts)}.")
    if share := share_words(line.now, line.now_low, line.now_high):
        sentences.append(as_sentence(share))
    if change := change_words(line.change):
        sentences.append(change)
    if line.longest_run > 1:
        sentences.append(f"Longest row of good ones: {line.longest_run}.")
    return sentences


def grade_line(grade: GradeProgress) -> str:
    """One grade in a paragraph, with its sign first."""
    state = GRADES[grade.state]
    sentences = [f"{state.plain} {grade.title}: {state.words}.", *_shares(grade)]
    sentences += _points(grade)
    if grade.not_enough:
        sentences.append(as_sentence(grade.not_enough))
    return " ".join(sentences)


def _points(grade: GradeProgress) -> list[str]:
    if grade.state in {"practised", "tried"}:
        to_go = count_of(grade.good_to_go, "good one")
        points = f"{grade.points} of {count_of(grade.promote_at, 'point')}: {to_go} to go."
        ahead = outlook_words(grade.forecast) if grade.forecast else ""
        return [points, ahead] if ahead else [points]
    if grade.state == "to be signed off":
        return [waits_for_sign_off(grade.points, grade.promote_at)]
    if grade.state == "passed" and grade.signed_by is not None:
        return [f"Signed off by {grade.signed_by}."]
    if grade.state == "slipping":
        return [SLIPPING]
    return []
