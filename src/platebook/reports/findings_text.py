"""Findings in words: what is worth watching, what is well supported, what could not be judged."""

from collections.abc import Iterable

from platebook.analysis.findings import Finding, Findings
from platebook.reports.figures import percent

STATUS = {
    "claim": ("Well supported", "*"),
    "lead": ("Worth watching", ">"),
    "mechanism": ("How it came about", "-"),
}


def findings_lines(found: Findings) -> tuple[str, ...]:
    """The whole answer, one thought a line."""
    lines = list(found.answer)
    for status, (title, sign) in STATUS.items():
        some = [f for f in found.findings if f.status == status]
        if some:
            lines += ["", f"{title}:", *(line for f in some for line in _finding(f, sign))]
    if found.not_judged and found.evidence != "counts only":
        lines += ["", "Could not be judged:"]
        lines += _reasons((n.reason, n.variable) for n in found.not_judged)
    return tuple(lines)


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
