"""What goes with failure in a whole class: the frozen results."""

from platebook.analysis.findings.results import Count, NotJudged, Result, Status


class ClassFinding(Result):
    """One thing that went with one defect across the class.

    `holds_for` of `of_setters` setters point the same way. `stays_first` says that it is still
    first without the setter in whom it is strongest.
    """

    variable: str
    family: str
    defect: str
    direction: str
    status: Status
    counts: tuple[Count, ...]
    odds_ratio: float
    low: float
    high: float
    posterior: float
    share: float
    holds_for: int
    of_setters: int
    stays_first: bool
    sentence: str
    notes: tuple[str, ...] = ()


class Personal(Result):
    """What stands first in one setter's log beside what the class shares: worth watching at most.

    `share` is how often a lead this strong turns up in such a log with nothing behind it.
    """

    setter: str
    variable: str
    family: str
    defect: str
    direction: str
    posterior: float
    share: float
    sentence: str


class ClassFindings(Result):
    """The whole answer for a class; `answer` says it in plain sentences."""

    setters: int
    attempts: int
    failures: int
    common: tuple[ClassFinding, ...]
    personal: tuple[Personal, ...]
    not_judged: tuple[NotJudged, ...]
    checked: str
    answer: tuple[str, ...]
