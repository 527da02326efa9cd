"""What goes with failure in the log of the setter in use, and what stands behind each finding.

What loads arrays is imported where an answer is worked out: one that was kept is shown without.

| function | gives |
|---|---|
| `findings`, `findings_with_values` | what goes with failure, also with the values and pictures |
| `habits_of` | what went with failure as habits, and which have gone |
| `trials_of` | what balanced blocks say of the leads they were laid out for |
| `Asked` | which attempts are asked: the latest, all since a day, or all there are |
"""

import functools
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.services.answers import Basis, basis_of, prior_in
from platebook.services.cache import Cache, KeptDecisions, recall
from platebook.services.session import Session
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.analysis.findings.asking.findings_log import FindingsLog
    from platebook.analysis.findings.telling.habits import Habit
    from platebook.analysis.findings.telling.pictures import Picture
    from platebook.analysis.findings.telling.raw_values import RawValues
    from platebook.analysis.findings.telling.results import Findings
    from platebook.analysis.findings.trials import Trial
    from platebook.analysis.variables.attempt_log import Window


class Asked(Value):
    """Which judged attempts are asked of a setter, and of each setter of a class alike.

    Lately (the latest 400 of the last twelve months), all since a day, or everything.
    """

    since: date | None = None
    everything: bool = False

    def window(self) -> "Window":
        """The same for analysis."""
        from platebook.analysis.variables.attempt_log import EVERYTHING, LATELY, Window

        if self.since is not None:
            return Window(since=self.since)
        return EVERYTHING if self.everything else LATELY

    @property
    def word(self) -> str:
        """A word for what is asked, in the name of a kept answer; empty for the usual question."""
        return "since" if self.since is not None else "all" if self.everything else ""

    @property
    def text(self) -> str:
        """All that there is to the question, for the mark of a kept answer."""
        return f"{self.word} {self.since or ''}".strip()


LATELY_ASKED = Asked()


class _SetterAsked(Value, dict=True):
    """One setter's log as it is asked; it is made where something has to be worked out."""

    basis: Basis
    asked: Asked

    @functools.cached_property
    def log(self) -> "FindingsLog":
        """The log that all of it rests on."""
        from platebook.analysis.findings.asking.findings_log import FindingsLog

        basis, window = self.basis, self.asked.window()
        return FindingsLog.of(basis.attempts, basis.course, worth=basis.worth, window=window)

    def findings(self, logbook: Path) -> "Findings":
        """The findings, kept beside this logbook or worked out and then kept."""
        from platebook.analysis.findings.telling.results import Findings

        basis, setter_id = self.basis, self.basis.setter.setter_id or ""

        def work_out() -> Findings:
            from platebook.analysis.findings.find import find_in

            prior, decisions = prior_in(basis.class_sums), KeptDecisions(logbook, setter_id)
            return find_in(self.log, prior=prior, decisions=decisions)

        return recall(
            Findings,
            work_out,
            cache=Cache(logbook),
            setter_id=setter_id,
            digest=f"{basis.digest}\n{basis.class_sums}\n{self.asked.text}",
            course=basis.course,
        )


def findings(session: Session, *, asked: Asked = LATELY_ASKED) -> "Findings":
    """What goes with failure in this setter's log: lately, since a day, or in all of it.

    Refused where nobody is in use.
    """
    return _SetterAsked(basis_of(session), asked).findings(session.path)


class FindingsWithValues(Value):
    """The findings and, in their order, what stands behind each.

    `values` are None where they have no order to be laid in; `pictures` show the levels, of the
    findings that hold and then of those that do not any more.
    `trials` are what balanced blocks say, whether or not their lead is among the findings still.
    """

    findings: "Findings"
    values: "tuple[RawValues | None, ...]"
    pictures: "tuple[Picture, ...]" = ()
    trials: "tuple[Trial, ...]" = ()


def findings_with_values(
    session: Session, basis: Basis | None = None, *, asked: Asked = LATELY_ASKED
) -> FindingsWithValues:
    """What goes with failure in this setter's log, each with its values and its picture.

    `basis` is the session's, where it was read already.
    """
    from platebook.analysis.findings.telling.pictures import finding_pictures
    from platebook.analysis.findings.telling.raw_values import raw_values
    from platebook.analysis.findings.trials import trials

    basis = basis or basis_of(session)
    setter = _SetterAsked(basis, asked)
    answer = setter.findings(session.path)
    return FindingsWithValues(
        answer,
        raw_values(setter.log, answer.findings),
        finding_pictures(setter.log, (*answer.findings, *answer.retired)),
        trials(basis.attempts, basis.course),
    )


def habits_of(session: Session) -> "tuple[Habit, ...]":
    """The habits behind what went with failure lately, those that have gone last."""
    from platebook.analysis.findings.telling.habits import habits

    setter = _SetterAsked(basis_of(session), LATELY_ASKED)
    found = setter.findings(session.path)
    return habits(setter.log, (*found.findings, *found.retired))


def trials_of(session: Session) -> "tuple[Trial, ...]":
    """What the balanced blocks of the setter in use say; Refused where nobody is in use."""
    from platebook.analysis.findings.trials import trials

    basis = basis_of(session)
    return trials(basis.attempts, basis.course)
