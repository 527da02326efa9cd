"""Shifts: how far what was measured of seats and tables moved with what went with it.

A shift stands alone as a finding, or follows a finding that it explains: loose went with wide
seats, and the seats were cut wider with a worn bur. A pair that is true by definition is followed
by what went with it, and is never itself a discovery.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from platebook.analysis import shown, words
from platebook.analysis.claims import FoundFamily
from platebook.analysis.counted import Counted
from platebook.analysis.difference import Difference, difference
from platebook.analysis.findings import Count, Finding, Shift, Status
from platebook.analysis.heights import Height
from platebook.analysis.measured import DEPTH, OVERCUT
from platebook.analysis.search import Ranked
from platebook.analysis.upstream import Upstream

_OF_WIDTH = frozenset({"clearance_mm", "fit", "seat_diameter_mm"})
_OF_DEPTH = frozenset({"depth_error_mm", "trial_height", "seat_depth_mm"})
_TOO_MUCH = {OVERCUT.name: "wide seat", DEPTH.name: "deep seat"}


@dataclass(frozen=True, eq=False)
class Moved:
    """A family that a measured response moved with, in the log that it was found in."""

    family: FoundFamily
    height: Height

    @property
    def ranked(self) -> Ranked:
        """Where the family stands, and its best cell."""
        return self.family.ranked

    @property
    def log(self) -> Counted:
        """The log that the family was found in."""
        return self.family.search.counted

    @property
    def status(self) -> Status:
        """A claim, or worth watching."""
        return "claim" if self.family.claimed else "lead"

    def more(self, *, upward: bool) -> bool:
        """Which end of the variable goes with more (or less) of the response."""
        return (self.ranked.u >= 0.0) == upward

    def shift(self, *, upward: bool) -> tuple[Shift, tuple[Count, Count]]:
        """The shift upwards or downwards, and on each side how many lay beyond the middle.

        It is asked beside what was found before, not beside the variable itself.
        """
        split = shown.split(self.family.candidate, self.log, more=self.more(upward=upward))
        adjusted = self.family.search.adjusted
        made = difference(adjusted, self.height, split, self.ranked.posterior)
        made = made if upward else made.turned()
        (k, of), (k_out, of_out) = made.beyond
        counts = (
            Count(label=split.label, failed=k, of=of),
            Count(label=split.rest_label, failed=k_out, of=of_out),
        )
        return self._shift(made, split.phrase, upward=upward), counts

    def _shift(self, made: Difference, phrase: str, *, upward: bool) -> Shift:
        candidate = self.family.candidate
        response = self.height.measurements.response
        return Shift(
            response=response.name,
            variable=candidate.column.variable,
            family=self.ranked.family,
            direction=shown.direction(candidate, more=self.more(upward=upward)),
            status=self.status,
            by=made.by,
            low=made.low,
            high=made.high,
            unit=response.mm_or,
            measured=made.measured,
            posterior=self.ranked.posterior,
            share=self.family.share,
            sentence=words.shifted(response, phrase, made, upward=upward),
        )


def _explained(finding: Finding) -> tuple[str, bool] | None:
    """Which response a finding rests on, and whether too much of it; None for any other."""
    if finding.status == "mechanism":
        return DEPTH.name, finding.defect == "low"
    if finding.direction not in {"higher", "lower"}:
        return None
    upward = finding.direction == "higher"
    if finding.variable in _OF_WIDTH:
        return OVERCUT.name, upward
    return (DEPTH.name, upward) if finding.variable in _OF_DEPTH else None


def _followed(finding: Finding, shift: Shift) -> Finding:
    """The finding with the shift behind it; less certain than the finding, it is told apart."""
    notes = [*finding.notes]
    if shift.status == "lead" and finding.status == "claim":
        sentence = finding.sentence
        notes.append(words.worth_watching(shift.sentence))
    else:
        sentence = words.followed_by(finding.sentence, shift.sentence)
    if shift.status == "lead":
        notes.append(words.chance_of_shift(shift.share))
    return finding.model_copy(
        update={"sentence": sentence, "notes": tuple(notes), "shifts": (shift,)}
    )


def _alone(moved: Moved) -> Finding:
    shift, counts = moved.shift(upward=True)
    return Finding(
        variable=shift.variable,
        family=shift.family,
        defect=_TOO_MUCH[shift.response],
        direction=shift.direction,
        status=shift.status,
        counts=counts,
        odds_ratio=None,
        low=None,
        high=None,
        posterior=shift.posterior,
        share=shift.share,
        sentence=words.alone(shift.sentence),
        notes=(words.chance(shift.share),) if shift.status == "lead" else (),
        shifts=(shift,),
    )


def chained(findings: Sequence[Finding], answers: Sequence[Upstream]) -> list[Finding]:
    """The findings, each followed by what its seats went with; shifts that explain none follow."""
    moved = {
        answer.response.name: [Moved(family, family.search.heights[0]) for family in answer.found]
        for answer in answers
    }
    used: set[str] = set()
    chain: list[Finding] = []
    for finding in findings:
        explained = _explained(finding)
        behind = moved.get(explained[0], []) if explained is not None else []
        if explained is None or not behind:
            chain.append(finding)
            continue
        response, upward = explained
        used.add(response)
        chain.append(_followed(finding, behind[0].shift(upward=upward)[0]))
    rest = [_alone(one) for response, some in moved.items() for one in some[response in used :]]
    mechanisms = (place for place, finding in enumerate(chain) if finding.status == "mechanism")
    first_mechanism = next(mechanisms, len(chain))
    return [*chain[:first_mechanism], *rest, *chain[first_mechanism:]]
