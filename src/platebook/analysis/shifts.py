"""Shifts: how far what was measured of seats and tables moved with what went with it.

A shift stands alone as a finding, or follows a finding that it explains: loose went with wide
seats, and the seats were cut wider with a worn bur. A pair that is true by definition is followed
by what went with it, and is never itself a discovery.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from platebook.analysis import shown, words
from platebook.analysis.counted import Counted
from platebook.analysis.difference import Difference, difference
from platebook.analysis.findings import Count, Finding, Shift, Status
from platebook.analysis.heights import Height
from platebook.analysis.measured import DEPTH, OVERCUT
from platebook.analysis.nuisance import Nuisance
from platebook.analysis.ranking import Ranked
from platebook.analysis.upstream import FoundBefore, Upstream

_OF_WIDTH = frozenset({"clearance_mm", "fit", "seat_diameter_mm"})
_OF_DEPTH = frozenset({"depth_error_mm", "trial_height", "seat_depth_mm"})
_TOO_MUCH = {OVERCUT.name: "wide seat", DEPTH.name: "deep seat"}


@dataclass(frozen=True, eq=False)
class Moved:
    """A family that a measured response moved with, in the log that it was found in."""

    ranked: Ranked
    log: Counted
    adjusted: Nuisance
    height: Height
    share: float
    status: Status

    @classmethod
    def upstream(cls, found: FoundBefore) -> "Moved":
        """As it was found from measured seats."""
        asked = found.asked
        status: Status = "claim" if found.claimed else "lead"
        return cls(found.ranked, asked.seats.log, asked.adjusted, asked.height, found.share, status)

    def more(self, *, upward: bool) -> bool:
        """Which end of the variable goes with more (or less) of the response."""
        return (self.ranked.u >= 0.0) == upward

    def told(self, *, upward: bool) -> tuple[Shift, tuple[Count, Count]]:
        """The shift upwards or downwards, and on each side how many lay beyond the middle."""
        candidate = self.ranked.cell.candidate
        more = self.more(upward=upward)
        split = shown.split(candidate, self.log, more=more)
        made = difference(self.adjusted, self.height, split, self.ranked.posterior)
        made = made if upward else made.turned()
        (k, of), (k_out, of_out) = made.beyond
        counts = (
            Count(label=split.label, failed=k, of=of),
            Count(label=split.rest_label, failed=k_out, of=of_out),
        )
        return self._shift(made, split.phrase, upward=upward), counts

    def _shift(self, made: Difference, phrase: str, *, upward: bool) -> Shift:
        candidate = self.ranked.cell.candidate
        response = self.height.readings.response
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
            share=self.share,
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
    shift, counts = moved.told(upward=True)
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
        answer.response.name: [Moved.upstream(found) for found in answer.found]
        for answer in answers
    }
    used: set[str] = set()
    told: list[Finding] = []
    for finding in findings:
        explained = _explained(finding)
        some = moved.get(explained[0], []) if explained is not None else []
        if explained is None or not some:
            told.append(finding)
            continue
        used.add(explained[0])
        told.append(_followed(finding, some[0].told(upward=explained[1])[0]))
    rest = [_alone(one) for name, some in moved.items() for one in some[name in used :]]
    first_mechanism = next(
        (place for place, one in enumerate(told) if one.status == "mechanism"), len(told)
    )
    return [*told[:first_mechanism], *rest, *told[first_mechanism:]]
