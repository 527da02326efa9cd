"""What a tool of the drawer is for and what was done with it, for the page of the one marked."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from platebook.logbook import setter_records
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.fields import tools_not_of
from platebook.practice.records import ToolCheckRecord
from platebook.practice.results import LAST, Outcome, failed_in, outcome_of, verdict
from platebook.practice.text import folded
from platebook.services.answers import Basis, basis_of, hand_of, sizes_at
from platebook.services.drawer.tool_checks import SHOWN_MM, checks_by_tool, explain_check
from platebook.services.session import Session, opened, today_at
from platebook.trade.phrases import count_of, day_words, days_ago, several
from platebook.trade.records import Tool, ToolKind
from platebook.values import Value

DAYS_SHOWN, CHECKS_SHOWN = 3, 8
NOT_TAKEN = "No grade of your course takes it for its sizes now."
UNDATED = "no date"
TAKEN_BY: tuple[ToolKind, ...] = ("twist drill", "bur")
"""The kinds that sizes choose by name."""


class CheckSeen(Value):
    """A check in few words: its day, the known size, what it was off by and how well that is known.

    `counts` says that it is the one by which readings are corrected.
    """

    day: str
    known: str
    off: str
    readings: int
    counts: bool


class MadeWith(Value):
    """An attempt made with the tool: its day, grade and result in words, and how it counts."""

    day: str
    grade: str
    result: str
    outcome: Outcome


class ToolUse(Value):
    """One tool: the grades whose sizes take it, when it was used last, how that came out.

    `sizes` and `used` are sentences. `last` are the last eight that were judged, of a tool that
    cuts, and `checks` of what measures its checks, the newest first.
    """

    sizes: tuple[str, ...] = ()
    used: tuple[str, ...] = ()
    last: tuple[MadeWith, ...] = ()
    checks: tuple[CheckSeen, ...] = ()


def tool_uses(session: Session) -> Mapping[str, ToolUse]:
    """What each tool of the setter in use is for, by its id; nothing where nobody is in use."""
    if session.setter_id is None or not session.path.exists():
        return {}
    basis = basis_of(session)
    taken = _taken_at(basis, session)
    with opened(session, make=False) as book:
        checks = book.ask(setter_records.tool_checks, session.setter_id)
    today = today_at(session)
    uses: dict[str, ToolUse] = {}
    for tool in basis.drawer.tools:
        done = [attempt for attempt in basis.attempts if _used(tool, attempt)]
        of_it = [check for check in checks if check.tool_id == tool.tool_id]
        judged = [attempt for attempt in reversed(done) if attempt.result][:LAST]
        uses[tool.tool_id or ""] = ToolUse(
            sizes=taken.get((tool.kind, tool.name), (NOT_TAKEN,)) if tool.kind in TAKEN_BY else (),
            used=(*_used_words(tool, done, today), *_since_words(tool, done, of_it, today)),
            last=tuple(_made_with(basis.course, judged)) if tool.kind in TAKEN_BY else (),
            checks=tuple(_checks(tool, of_it)),
        )
    return uses


def _taken_at(basis: Basis, session: Session) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """By kind and name of a tool, for what and at which grades sizes take it from the drawer."""
    hand = hand_of(session, basis)
    grades: dict[tuple[str, str], dict[str, list[str]]] = {}
    for grade in basis.course.grades:
        sizes = sizes_at(basis, grade, hand)
        if sizes is None:
            continue
        for kind, what, choice in (
            ("twist drill", "the pilot", sizes.pilot_drill),
            ("bur", "the opening bur", sizes.opening_bur),
            ("bur", "the seat bur", sizes.seat_bur),
        ):
            if choice.from_ == "drawer":
                by_role = grades.setdefault((kind, choice.tool), {})
                by_role.setdefault(what, []).append(grade.title)
    return {
        tool: tuple(f"Sizes take it as {what} at {several(at)}." for what, at in roles.items())
        for tool, roles in grades.items()
    }


def _used(tool: Tool, attempt: Attempt) -> bool:
    """Whether the attempt was made with this tool: by its name, or where none is noted its size."""
    names = {folded(tool.name), folded(tool.tool_id or "")} - {""}
    spared = tools_not_of(attempt.part) if attempt.kind == "part" else frozenset()
    match tool.kind:
        case "bur":
            named, of_its_size = attempt.seat_bur, attempt.opening_bur_mm == tool.size_mm
            cut = "seat_bur" not in spared and bool(named) and folded(named or "") in names
            opened_with = of_its_size and attempt.opening_bur_shape == tool.shape
            return cut or (
                opened_with and tool.shape is not None and "opening_bur_mm" not in spared
            )
        case "twist drill":
            return attempt.pilot_mm == tool.size_mm is not None and "pilot_mm" not in spared
        case "measuring":
            return folded(attempt.seat_measured_with or "") in names
    return False


def _used_words(tool: Tool, done: Sequence[Attempt], today: date) -> list[str]:
    """On which days it was used last, and how often."""
    days = Counter(a.began.date() for a in done if a.began is not None)
    if not days:
        return []
    what = "seat read" if tool.kind == "measuring" else "attempt"
    plural = "seats read" if tool.kind == "measuring" else None
    newest = sorted(days, reverse=True)[:DAYS_SHOWN]
    said = [f"{day_words(day, today)} ({count_of(days[day], what, plural)})" for day in newest]
    return [f"Used last on {several(said)}."]


def _since_words(
    tool: Tool, done: Iterable[Attempt], checks: Iterable[ToolCheckRecord], today: date
) -> list[str]:
    """How long ago the check was that counts, and what was read since."""
    last = checks_by_tool(checks).get(tool.tool_id or "")
    if last is None or last.checked is None:
        return []
    since = sum(a.began is not None and a.began > last.checked for a in done)
    read = f"; {count_of(since, 'seat')} read with it since" if since else ""
    return [f"Checked {days_ago((today - last.checked.date()).days)}{read}."]


def _made_with(course: Course, judged: Iterable[Attempt]) -> Iterator[MadeWith]:
    titles = {grade.id: grade.short_title for grade in course.grades}
    for attempt in judged:
        yield MadeWith(
            day=attempt.began.date().isoformat() if attempt.began is not None else "",
            grade=titles.get(attempt.grade or "", attempt.grade or ""),
            result=verdict(attempt.result or (), attempt.severity or ()),
            outcome=outcome_of(attempt, failed=failed_in(course, attempt)),
        )


def _checks(tool: Tool, checks: Sequence[ToolCheckRecord]) -> Iterator[CheckSeen]:
    """The checks of a tool, the newest first."""
    counting = checks_by_tool(checks).get(tool.tool_id or "")
    for check in [*reversed(checks)][:CHECKS_SHOWN]:
        seen = explain_check(tool, check)
        off = f"{seen.bias_mm:+.3f} mm" if abs(seen.bias_mm) >= SHOWN_MM else "as it is"
        yield CheckSeen(
            day=check.checked.date().isoformat() if check.checked is not None else UNDATED,
            known=f"{check.known_mm:g} mm",
            off=off,
            readings=len(check.readings_mm),
            counts=check is counting,
        )
