"""Sentences: results in words that need no statistics. "Went with", never "causes"."""

from collections.abc import Sequence
from typing import NamedTuple

from platebook.analysis.findings.measured.heights import Difference
from platebook.analysis.findings.telling.results import (
    LEAST_FAILURES,
    LEAST_FAILURES_FOR_CLAIMS,
    LEAST_FOR_LEADS,
    LEAST_GOOD,
    MOST_MORE,
    Count,
    Evidence,
    MoreNeeded,
    Status,
    last_checkpoint,
    next_checkpoint,
)
from platebook.analysis.models.censored import Response
from platebook.analysis.variables.attempt_log import ANY, AttemptLog
from platebook.analysis.variables.columns import known_variables, variable
from platebook.practice.defects import defects
from platebook.trade.phrases import count_of, full_day, several

_NAMES = {
    ANY: "failure",
    "wide seat": "a wide seat",
    "deep seat": "a deep seat",
    "high table": "a high table",
    "leaning table": "a leaning table",
}
_SHIFTS = {
    "overcut": ("the seat was cut wider", "the seat was cut narrower", "seat"),
    "depth error": ("the seat was cut deeper", "the seat was cut shallower", "seat"),
    "table height": ("the table stood higher", "the table stood lower", "table"),
    "table tilt": ("the table leaned more", "the table leaned less", "table"),
}
MOST_IN_WORDS = 150
"""Rarer than 1 in so many is told as under that: the draws behind most shares say no more."""

NONE_IN_THAT_TIME = "No judged attempts in that time."

_HOW = {"overcut": "how wide", "depth error": "how deep"}


def defect_name(defect: str) -> str:
    """The defect as a sentence speaks of it."""
    known = defects().get(defect)
    return known.spoken if known is not None else _NAMES.get(defect, defect)


def slight_of(slight: int, of: int) -> str:
    """How many of those that showed a defect passed as good all the same."""
    if of == 1:
        return "slight"
    return "all of them slight" if slight == of else f"{slight} of them slight"


def chance(share: float, what: str = "log") -> str:
    """How often a lead this strong turns up with nothing behind it."""
    many = round(1 / share)
    if many >= MOST_IN_WORDS:
        return f"A lead this strong turns up in under 1 such {what} in 150 with nothing behind it."
    return f"A lead this strong turns up in 1 such {what} in {many} with nothing behind it."


def clock_place(defect: str, hours: tuple[int, int], count: int, of: int, share: float) -> str:
    """Where on the rim a defect lies, and how often evenly spread places lie so close together."""
    first, last = hours
    many = round(1 / share)
    how_often = f"1 such log in {many}" if many < MOST_IN_WORDS else "under 1 such log in 150"
    return (
        f"{count} of {of} {defects()[defect].many} with a place noted and no other defect were at "
        f"{first} to {last} o'clock (12 is the plate's notch); spread evenly, as many lie together "
        f"in {how_often}."
    )


def holds_for(setters: int, of: int) -> str:
    """How many setters of a class point the same way."""
    return f"{setters} of {count_of(of, 'setter')} point the same way."


def one_setter_carries_it() -> str:
    """The note beside a class finding that rests on one person."""
    return "Without the setter in whom it is strongest it would not stand first."


def class_counts(setters: int, attempts: int, failures: int, left_out: int = 0) -> str:
    """How many setters, attempts and failures a class has; `left_out` lie before the window."""
    if not attempts:
        return NONE_IN_THAT_TIME if left_out else "Nobody has an attempt judged yet."
    judged = count_of(attempts, "attempt")
    if left_out:
        judged = f"the latest {attempts} of {attempts + left_out} attempts"
    return f"{count_of(setters, 'setter')}, {judged} judged, {failures} failed."


def class_outlook(common: Sequence[Status], failures: int) -> str:
    """The sentence on top of a class's answer: whether the whole class shares anything."""
    if failures < LEAST_FAILURES_FOR_CLAIMS:
        return (
            "Not enough yet to say what the class shares: "
            f"that takes {LEAST_FAILURES_FOR_CLAIMS} failed attempts."
        )
    if not common:
        return "Nothing that the whole class shares stands out from chance."
    if "claim" not in common:
        return "Nothing that the whole class shares is well supported; what comes nearest is shown."
    return "What the class shares stands first; each setter's own lead is worth watching at most."


def same_family(name: str, judged: Sequence[str]) -> str | None:
    """What else this log cannot tell from the variable; None where its family has one member."""
    family = variable(name).family
    others = [v for v in known_variables() if v != name and variable(v).family == family]
    spoken = [variable(v).spoken for v in others if v in judged]
    if not spoken:
        return None
    return f"A log cannot tell it from {several(spoken)}: together they are the {family}."


def holds_no_difference() -> str:
    """The note beside what would be well supported but for its counts."""
    return "Beside practice, size and grade it stands out, but there may be no difference."


def cause_or_effect() -> str:
    """The note beside a process field, which may have been done because of the trouble."""
    return "This may be cause or effect: it may have been done because of the trouble."


def known_for(failed: tuple[int, int], good: tuple[int, int]) -> str:
    """How many of the failed and of the good ones have the reading."""
    ones = "attempt" if good[1] == 1 else "attempts"
    return f"Known for {failed[0]} of {failed[1]} failed and {good[0]} of {good[1]} good {ones}."


def mechanism(defect: str, how: str, counts: Sequence[Count]) -> str:
    """How many with the defect came about in this way; `counts` holds theirs, then the others'."""
    here, others = counts
    were = "was" if here.of == 1 else "were"
    text = f"{here.failed} of {count_of(here.of, f'{defect_name(defect)} one')} {were} {how}"
    return f"{text}, against {others.failed} of {others.of} others."


def _number(value: float, response: Response) -> str:
    rounded = round(value, response.decimals) + 0.0
    return f"{rounded:.{response.decimals}f}".replace("-", "\N{MINUS SIGN}")


def shift_clause(response: Response, phrase: str, difference: Difference, *, upward: bool) -> str:
    """How far something measured moved, as the second half of a sentence without its full stop."""
    more, less, thing = _SHIFTS[response.name]
    by, low, high = (
        _number(value, response) for value in (difference.by, difference.low, difference.high)
    )
    unit = response.mm_or if response.mm_or == "°" else f" {response.mm_or}"
    least = f"{10**-response.decimals:.{response.decimals}f}"
    by = f"less than {least}" if float(by.replace("\N{MINUS SIGN}", "-")) < float(least) else by
    return (
        f"{more if upward else less} with {phrase}: by {by}{unit} ({low} to {high}), "
        f"{count_of(difference.measured, thing)} measured"
    )


def with_shift(sentence: str, shift: str) -> str:
    """A finding and what its seats went with, as one sentence."""
    return f"{sentence.removesuffix('.')}; and {shift}."


def shift_without_phrase(shift: str, phrase: str) -> str:
    """A shift behind a finding that has said the phrase already."""
    return shift.replace(f" with {phrase}: by ", " by ")


def own_sentence(shift: str) -> str:
    """A shift as a sentence of its own, not behind a finding."""
    return f"{shift[0].upper()}{shift[1:]}."


def worth_watching(shift: str) -> str:
    """A shift beside a finding that is better supported than it."""
    return f"Worth watching beside it: {shift}."


def chance_of_shift(share: float) -> str:
    """How often seats move as much with something that has nothing to do with them."""
    return f"Of the seats alone: {chance(share)[0].lower()}{chance(share)[1:]}"


def typed_twice(rows: int) -> tuple[str, ...]:
    """That rows which repeat the one before are counted once; empty for none."""
    if not rows:
        return ()
    repeat = "repeats" if rows == 1 else "repeat"
    once = "it is" if rows == 1 else "they are"
    row = f"{count_of(rows, 'row')} {repeat} the one before in every value, readings too"
    return (f"{row}: {once} taken for typed twice and not counted.",)


def not_fitted(outcomes: Sequence[str]) -> tuple[str, ...]:
    """That nothing is said of outcomes whose model could not be fitted; empty for none."""
    if not outcomes:
        return ()
    named = ", ".join(map(defect_name, outcomes))
    return (f"The model of {named} could not be fitted to this log, so nothing is said of it.",)


class SeatsChecked(NamedTuple):
    """Of one response: how many seats were used, of how many measured, against how many variables.

    No variables where there were too few seats.
    """

    response: Response
    used: int
    measured: int
    variables: int


def seats_checked(seen: Sequence[SeatsChecked]) -> tuple[str, ...]:
    """What was looked at of the seats: each response, how many measured, against how many.

    Responses read on as many seats and asked against as many variables are told together.
    """
    together: dict[tuple[str, int], list[str]] = {}
    for response, used, measured, variables in seen:
        if variables:
            seats = _used(used, measured)
            together.setdefault((seats, variables), []).append(_HOW[response.name])
    checked = [
        f"Checked {several(how)} {seats} came out against {count_of(variables, 'variable')}."
        for (seats, variables), how in together.items()
    ]
    few = [
        f"{_HOW[one.response.name]} ({one.used} measured)"
        for one in seen
        if 0 < one.used < LEAST_FOR_LEADS
    ]
    if few:
        checked.append(
            f"Not enough yet to say what goes with {several(few)} seats come out: "
            f"that takes {LEAST_FOR_LEADS}."
        )
    return tuple(checked)


def _used(used: int, measured: int) -> str:
    if used == measured:
        return count_of(used, "measured seat")
    return f"the latest {used} of {measured} measured seats"


def variables_checked(variables: int, defects: Sequence[str], *, seats: bool = False) -> str:
    """What was looked at; the more is looked at, the more turns up by chance.

    `seats` says that there is something to be said of those all the same.
    """
    if not variables:
        return f"{'Of failure nothing' if seats else 'Nothing'} could be checked yet."
    also = (
        f" and against {count_of(len(defects), 'defect')} ({several(defects)})" if defects else ""
    )
    return f"Checked {count_of(variables, 'variable')} against failure as a whole{also}."


def log_counts(log: AttemptLog) -> str:
    """How many attempts and failures, and what was seen: a slight defect passes as good."""
    if not len(log):
        return "No whole setting is judged yet." if not log.before else NONE_IN_THAT_TIME
    text = f"{_judged(log)}, {log.failures} failed"
    seen = sorted(log.events.items(), key=lambda pair: -int(pair[1].sum()))
    parts = [_seen(defect, int(h.sum()), int(log.failing[defect].sum())) for defect, h in seen]
    return f"{text}. Seen: {'; '.join(parts)}." if parts else f"{text}."


def _judged(log: AttemptLog) -> str:
    """How many attempts it rests on: the latest of more where some are left out."""
    if not log.before:
        return f"{count_of(len(log), 'attempt')} judged"
    began = log.attempts[0].began
    since = f", since {full_day(began)}" if began is not None else ""
    return f"The latest {len(log)} of {log.before + len(log)} attempts judged{since}"


def _seen(defect: str, count: int, failing: int) -> str:
    slight = f", {slight_of(count - failing, count)}" if count > failing else ""
    name = defect_name(defect)
    if name != defect:
        name = name.removeprefix("a ") if count == 1 else defects()[defect].many
    return f"{count} {name}{slight}"


def outlook(level: Evidence, more: MoreNeeded, shown: Sequence[Status]) -> tuple[str, ...]:
    """What the evidence allows, and how many more attempts may be needed.

    `shown` are the findings' statuses; a claim says by itself what it rests on.
    """
    if level == "counts only":
        need = (
            f"Not enough yet to say what goes with failure: that takes {LEAST_FOR_LEADS} judged "
            f"attempts with {LEAST_FAILURES} failed and {LEAST_GOOD} good."
        )
        return (f"{need} About {_span(more)} more." if more.high else need,)
    if "claim" in shown:
        return ()
    if "lead" not in shown:
        return ("Nothing stands out from what chance would show in such a log.",)
    if more.high is None:
        return ("Worth watching, not settled.",)
    if more.high >= MOST_MORE:
        unsure = (
            f"{count_of(more.low or 0, 'more attempt')} may settle it, or even {MOST_MORE} may not"
        )
        return (f"Worth watching, not settled: {unsure}. Balanced blocks settle it sooner.",)
    return (f"Worth watching, not settled: about {more_attempts(more)} may settle it.",)


def left_out(level: Evidence, before: int) -> tuple[str, ...]:
    """Where the latest attempts say too little, that there are earlier ones; empty otherwise."""
    if level != "counts only" or not before:
        return ()
    are = "is" if before == 1 else "are"
    earlier = f"{count_of(before, 'earlier attempt')} {are} left out"
    return (f"{earlier}: all are asked with --all, in the app with a.",)


def decided(claims: Sequence[tuple[int, str]]) -> tuple[str, ...]:
    """When each claim was decided and why not every evening; by how many of what there are."""
    told: list[str] = []
    for count, thing in dict.fromkeys(claims):
        last, following = last_checkpoint(count), next_checkpoint(count)
        told.append(
            f"What is well supported was decided at {last} {thing}s and is asked again at "
            f"{following}: asked every evening, luck alone would sooner or later look like it."
        )
    return tuple(told)


def more_attempts(more: MoreNeeded) -> str:
    """The range in words: 1 more attempt, 8 more attempts, 3 to 8 more attempts."""
    return f"{_span(more)} more {'attempt' if more.high == 1 else 'attempts'}"


def _span(more: MoreNeeded) -> str:
    return f"{more.low}" if more.low == more.high else f"{more.low} to {more.high}"
