"""Support: the one measure of how much stands behind a finding, from the counts it shows.

| function | gives |
|---|---|
| `support_of` | the difference of two shares with its interval, and one word |
| `supported` | the findings that their own counts bear out, each with its support |

A sentence says "8 of 10, against 6 of 48", so what is said of its strength is what these counts
say: the difference of the shares with Newcombe's interval. A claim whose interval holds no
difference is worth watching at most, however strong the engine finds it beside everything else it
adjusts for; a finding whose counts point the other way is not shown.

At 0 counted on a side the interval is everything that is possible, so nothing is well supported
there. A finding that rests on measured seats or tables is supported by how far those moved: few
of them need have come out high. Source of the interval: Newcombe, Stat Med 1998;17:873 (method 10).
"""

from collections.abc import Iterable, Sequence

from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.results import WORDS, Count, Finding, Status, Support
from platebook.analysis.models.intervals import newcombe_difference

SHARE = "share of attempts"


def support_of(counts: Sequence[Count], status: Status) -> Support:
    """The difference of the two sides' shares; ValueError for other than two sides."""
    if len(counts) != 2:
        raise ValueError(f"{len(counts)} sides: two are compared")
    first, second = ((count.failed, count.of) for count in counts)
    low, high = newcombe_difference(first, second)
    share, other = (failed / of if of else 0.0 for failed, of in (first, second))
    difference = share - other
    return Support(difference=difference, low=low, high=high, unit=SHARE, word=WORDS[status])


def supported(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings with their support, those left out that their own counts contradict.

    A claim becomes worth watching where the shown interval holds no difference. They stand in the
    order in which they are told everywhere: what is well supported, what is worth watching, how it
    came about, each strongest first.
    """
    pairs = ((finding, _support(finding)) for finding in findings)
    told = [_with_support(f, s) for f, s in pairs if s.difference > 0.0]
    return tuple(sorted(told, key=lambda finding: tuple(WORDS).index(finding.status)))


def _support(finding: Finding) -> Support:
    moved = next((shift for shift in finding.shifts if shift.variable == finding.variable), None)
    if moved is None:
        return support_of(finding.counts, finding.status)
    return Support(
        difference=moved.by,
        low=moved.low,
        high=moved.high,
        unit=moved.unit,
        word=WORDS[finding.status],
    )


def _with_support(finding: Finding, support: Support) -> Finding:
    if finding.status != "claim" or support.low > 0.0:
        return finding.model_copy(update={"support": support})
    notes = [sentences.holds_no_difference()]
    if finding.share is not None:
        notes.append(sentences.chance(finding.share))
    return finding.model_copy(
        update={
            "status": "lead",
            "support": support.model_copy(update={"word": WORDS["lead"]}),
            "notes": (*notes, *finding.notes),
        }
    )
