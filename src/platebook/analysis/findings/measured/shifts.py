"""Shifts: how far what was measured of seats and tables moved with what went with it.

A shift stands alone as a finding, or follows a finding that it explains: loose went with wide
seats, and the seats were cut wider with a worn bur. A pair that is true by definition is followed
by what went with it, and is never itself a discovery.
"""

from collections.abc import Sequence

from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.search import Ranked
from platebook.analysis.findings.deciding.claims import FoundFamily
from platebook.analysis.findings.measured.heights import SHOWS, Difference, Height, difference
from platebook.analysis.findings.measured.upstream import Upstream
from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.counted import Shown, count_and_tell, what_is_tested
from platebook.analysis.findings.telling.results import Count, Finding, Shift, Status
from platebook.analysis.models.censored import DEPTH, HEIGHT, OVERCUT, TILT
from platebook.analysis.models.effect_size import Effect
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.values import Value

_OF_WIDTH = frozenset({"clearance_mm", "fit", "seat_diameter_mm"})
_OF_DEPTH = frozenset({"depth_error_mm", "trial_height", "seat_depth_mm"})
_TOO_MUCH = {
    OVERCUT.name: "wide seat",
    DEPTH.name: "deep seat",
    HEIGHT.name: "high table",
    TILT.name: "leaning table",
}


class MovedFamily(Value, eq=False):
    """A family that a measured response moved with, in the log that it was found in."""

    family: FoundFamily
    height: Height

    @property
    def ranked(self) -> Ranked:
        """Where the family stands, and its best cell."""
        return self.family.ranked

    @property
    def log(self) -> AttemptLog:
        """The log that the family was found in."""
        return self.family.search.log

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
        cut = cutoffs.cut_log(self.family.candidate, self.log, more=self.more(upward=upward))
        adjusted = self.family.search.adjusted
        moved = difference(adjusted, self.height, cut, self.ranked.posterior)
        moved = moved if upward else moved.downwards()
        (k, of), (k_out, of_out) = moved.beyond
        counts = (
            Count(label=cut.label, failed=k, of=of),
            Count(label=cut.rest_label, failed=k_out, of=of_out),
        )
        return self._shift(moved, cut.phrase, upward=upward), counts

    def shows(self, shift: Shift) -> bool:
        """Whether a shift of this family is worth a word.

        A lead that moves what was measured by less than the last place of a reading, or the other
        way, is nothing that a hand could act on. A claim is told however small it is.
        """
        least = 10.0**-self.height.measurements.response.decimals
        return self.family.claimed or shift.by >= least / 2.0

    def _shift(self, moved: Difference, phrase: str, *, upward: bool) -> Shift:
        candidate = self.family.candidate
        response = self.height.measurements.response
        return Shift(
            response=response.name,
            variable=candidate.column.variable,
            family=self.ranked.family,
            direction=cutoffs.direction(candidate, more=self.more(upward=upward)),
            status=self.status,
            by=moved.by,
            low=moved.low,
            high=moved.high,
            unit=response.mm_or,
            measured=moved.measured,
            posterior=self.ranked.posterior,
            share=self.family.share,
            sentence=sentences.shift_clause(response, phrase, moved, upward=upward),
        )


def _response_behind(finding: Finding) -> tuple[str, bool] | None:
    """Which response a finding rests on, and whether too much of it; None for any other."""
    if finding.status == "mechanism":
        return DEPTH.name, finding.defect == "low"
    if finding.direction not in {"higher", "lower"}:
        return None
    upward = finding.direction == "higher"
    if finding.variable in _OF_WIDTH:
        return OVERCUT.name, upward
    return (DEPTH.name, upward) if finding.variable in _OF_DEPTH else None


def _with_shift(finding: Finding, shift: Shift) -> Finding:
    """The finding with the shift behind it; less certain than the finding, it is told apart."""
    notes = [*finding.notes]
    if shift.status == "lead" and finding.status == "claim":
        sentence = finding.sentence
        notes.append(sentences.worth_watching(shift.sentence))
    else:
        sentence = sentences.with_shift(finding.sentence, shift.sentence)
    if shift.status == "lead":
        notes.append(sentences.chance_of_shift(shift.share))
    return finding.model_copy(
        update={"sentence": sentence, "notes": tuple(notes), "shifts": (shift,)}
    )


def _shift_finding(moved: MovedFamily) -> Finding | None:
    """What moved the seats as a finding of its own; None for a lead that shows nowhere."""
    shift, counts = moved.shift(upward=True)
    if not moved.shows(shift):
        return None
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
        tested=what_is_tested(moved.family.candidate),
        sentence=sentences.own_sentence(shift.sentence),
        headline=sentences.own_sentence(shift.sentence),
        notes=(sentences.chance(shift.share),) if shift.status == "lead" else (),
        shifts=(shift,),
    )


def chain_shifts(findings: Sequence[Finding], answers: Sequence[Upstream]) -> list[Finding]:
    """The findings, each followed by what its seats went with; shifts that explain none follow."""
    moved_by = {
        answer.response.name: [
            MovedFamily(family, family.search.heights[0]) for family in answer.families
        ]
        for answer in answers
    }
    used: set[str] = set()
    chain: list[Finding] = []
    for finding in findings:
        response, upward = _response_behind(finding) or ("", False)
        families = moved_by.get(response, [])
        shift = families[0].shift(upward=upward)[0] if families else None
        if shift is None or not families[0].shows(shift):
            chain.append(finding)
            continue
        used.add(response)
        chain.append(_with_shift(finding, shift))
    rest = [
        found
        for response, families in moved_by.items()
        for family in families[response in used :]
        if (found := _shift_finding(family)) is not None
    ]
    mechanisms = (place for place, finding in enumerate(chain) if finding.status == "mechanism")
    first_mechanism = next(mechanisms, len(chain))
    return [*chain[:first_mechanism], *rest, *chain[first_mechanism:]]


_QUARTILE = 0.6745


def height_of(family: FoundFamily) -> Height | None:
    """The height that a finding rests on; None where it rests on a defect."""
    name = family.ranked.cell.outcome
    return next((height for height in family.search.heights if height.name == name), None)


def height_effect(family: FoundFamily) -> Effect:
    """The effect on a height in the scale of log odds, from its score and the cell's prior."""
    beta, error = family.ranked.posterior_of_effect()
    weak, strong = sorted((beta - _QUARTILE * error, beta + _QUARTILE * error), key=abs)
    return Effect(beta, beta - 1.96 * error, beta + 1.96 * error, weak, strong, 1.0)


def defect_shown(family: FoundFamily, log: AttemptLog) -> tuple[str, bool]:
    """The defect that speaks for a height, the one seen most, and whether it is of more."""
    seen = {
        defect: int(log.events[defect].sum()) if defect in log.events else 0
        for defect, _ in SHOWS[family.ranked.cell.outcome]
    }
    signs = dict(SHOWS[family.ranked.cell.outcome])
    defect = max(seen, key=lambda name: seen[name])
    return defect, signs[defect] > 0


def height_finding(
    family: FoundFamily, height: Height, log: AttemptLog, notes: tuple[str, ...]
) -> Finding | None:
    """The finding with its counts of the defect and the shift of the height.

    None for a lead by less than the last place of a reading: nothing but the height speaks for it.
    Where nobody saw the defect, as with heights read on good attempts alone, the counts are of
    tables beyond the middle one.
    """
    defect, upward = defect_shown(family, log)
    moved = MovedFamily(family, height)
    shift, beyond = moved.shift(upward=upward)
    if not moved.shows(shift):
        return None
    cut = cutoffs.cut_log(family.candidate, log, more=moved.more(upward=upward))
    headline = sentence = sentences.own_sentence(shift.sentence)
    told = None
    if defect in log.events and log.events[defect].any():
        more = moved.more(upward=upward)
        told = count_and_tell(family.candidate, cut, Shown.of(log, defect), more=more)
        headline = told.sentence
        sentence = sentences.with_shift(
            headline,
            sentences.shift_without_phrase(shift.sentence, cut.phrase)
            if cut.phrase in headline
            else shift.sentence,
        )
    return Finding(
        variable=shift.variable,
        family=shift.family,
        defect=defect if told is not None else _TOO_MUCH[shift.response],
        direction=shift.direction,
        status=shift.status,
        counts=told.counts if told is not None else beyond,
        levels=told.levels if told is not None else (),
        tested=what_is_tested(family.candidate),
        not_steady=told.not_steady if told is not None else None,
        between=told.between if told is not None else "",
        odds_ratio=None,
        low=None,
        high=None,
        posterior=family.ranked.posterior,
        share=family.share,
        sentence=sentence,
        headline=headline,
        notes=told.with_notes(notes) if told is not None else notes,
        shifts=(shift,),
    )
