"""What Findings says where nothing is found: how far off it is, and what could not be judged."""

from typing import TYPE_CHECKING

from textual.content import Content

from platebook.practice.reading.questions import label_of
from platebook.tui.parts.headline import bar
from platebook.tui.parts.text import line, stack, txt

if TYPE_CHECKING:
    from platebook.analysis.findings.telling.results import Findings

HOW = (
    "What is looked for is what you log before the result: readings, tools, how it was held. Log "
    "failures too, with what they are and how bad; there is nothing to find without them."
)


def on_the_way(findings: "Findings") -> Content:
    """How far a short log is from the first lead, as bars; and what to do."""
    from platebook.analysis.findings.telling.results import (
        LEAST_FAILURES,
        LEAST_FOR_LEADS,
        LEAST_GOOD,
    )

    good = findings.attempts - findings.failures
    rows = (
        ("judged", findings.attempts, LEAST_FOR_LEADS),
        ("good", good, LEAST_GOOD),
        ("failed", findings.failures, LEAST_FAILURES),
    )
    bars = (
        Content.assemble(f"{name:<8}", bar(done, of), f" {min(done, of)} of {of}")
        for name, done, of in rows
    )
    return stack(
        txt("Until the first thing worth watching:", "bold"), txt(""), *bars, txt(""), txt(HOW)
    )


def not_judged_part(findings: "Findings") -> Content:
    """What could not be judged, by the reason why."""
    by_reason: dict[str, list[str]] = {}
    for variable in findings.not_judged:
        names = by_reason.setdefault(line(variable.reason), [])
        names.append(line(label_of(variable.variable)))
    rows = [
        Content.assemble((f"{reason}: ", "$muted"), ", ".join(names))
        for reason, names in by_reason.items()
    ]
    head = [txt("could not be judged", "$muted")] if rows else []
    return stack(*head, *rows)


def nothing_found(findings: "Findings") -> str:
    """What is missing until something is found, in a sentence."""
    more = findings.more_needed
    if not findings.attempts:
        return "Whole settings count here, and none is judged yet: n is the next exercise."
    if more.low is None or more.high is None:
        return "No one thing stands out."
    from platebook.analysis.findings.telling.sentences import more_attempts

    are = "is" if more.high == 1 else "are"
    return f"About {more_attempts(more)} {are} needed. Log readings where asked."
