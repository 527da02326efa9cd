"""Findings in words: what is worth watching, what is well supported, what could not be judged."""

from collections.abc import Iterable, Sequence

from platebook.analysis.findings.cutoffs import RawValues
from platebook.analysis.findings.results import Finding, Findings
from platebook.reports.signs import FINDINGS
from platebook.reports.text.figures import percent


def findings_lines(found: Findings, values: Sequence[RawValues | None] = ()) -> tuple[str, ...]:
    """The whole answer, one thought a line; `values` go with the findings, in their order."""
    lines = list(found.answer)
    behind = [*values, *[None] * (len(found.findings) - len(values))]
    pairs = list(zip(found.findings, behind, strict=True))
    for status, sign in FINDINGS.items():
        some = [(one, raw) for one, raw in pairs if one.status == status]
        if some:
            lines += ["", f"{sign.title}:"]
        for one, raw in some:
            lines += _finding(one, sign.plain)
            lines += [f"  {values_line(raw)}"] if raw is not None else []
    if found.not_judged and found.evidence != "counts only":
        lines += ["", "Could not be judged:"]
        lines += _reasons((n.reason, n.variable) for n in found.not_judged)
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
    return ", ".join(f"{count} {name}" for count, name in counts if count) or "none"


def _finding(finding: Finding, sign: str) -> list[str]:
    lines = [f"{sign} {finding.sentence}"]
    if finding.odds_ratio is not None and finding.low is not None and finding.high is not None:
        numbers = (
            f"odds ratio {finding.odds_ratio:.1f} "
            f"(95 % interval {finding.low:.1f} to {finding.high:.1f})"
        )
        if finding.posterior is not None:
            numbers += f", probability {percent(finding.posterior)}"
        lines.append(f"  {numbers}")
    return lines + [f"  {note}" for note in finding.notes]


def _reasons(pairs: Iterable[tuple[str, str]]) -> list[str]:
    by_reason: dict[str, list[str]] = {}
    for reason, variable in pairs:
        by_reason.setdefault(reason, []).append(variable.removesuffix("_mm").replace("_", " "))
    return [f"- {', '.join(names)}: {reason}" for reason, names in by_reason.items()]
