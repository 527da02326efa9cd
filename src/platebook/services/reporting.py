"""A report on one page: what a setter takes home, or what hangs on the wall for a class."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.practice.attempt import Attempt
from platebook.services.answers import bench_of, findings, next_with_sizes, progress, today_at
from platebook.services.desk import Desk
from platebook.services.faults import Refused
from platebook.services.new_files import write_new
from platebook.trade.cautions import cautions

if TYPE_CHECKING:
    from platebook.services.members import Member

SUFFIXES = (".html", ".htm")


def setter_page(desk: Desk) -> str:
    """The page of the setter in use, as the text of an HTML file."""
    from platebook.reports.setter_report import SetterAnswers, setter_html

    bench = bench_of(desk)
    advice, sizes = next_with_sizes(desk, bench)
    return setter_html(
        SetterAnswers(
            setter=bench.setter.name,
            day=today_at(desk),
            course=bench.course.title,
            progress=progress(desk),
            findings=findings(desk),
            advice=advice,
            sizes=sizes,
            attempts=bench.attempts,
            caution=" ".join(cautions("start")),
            invented=desk.invented,
        )
    )


def write_setter_page(desk: Desk, file: Path) -> None:
    """Write the page to a new file; Refused for another suffix, or where the name is taken."""
    refuse_suffix(file)
    write_new(file, setter_page(desk))


def class_page(desk: Desk, group: str | None = None) -> str:
    """The page of a group, or of everyone, as the text of an HTML file; Refused for nobody."""
    from platebook.reports.class_report import ClassAnswers, class_html
    from platebook.services.classroom import class_findings, class_progress
    from platebook.services.members import members

    some = members(desk, group)
    if not some:
        raise Refused("class: nobody is in it yet; add people with setter add NAME --group GROUP")
    today = today_at(desk)
    named = {m.setter.group for m in some}
    return class_html(
        ClassAnswers(
            group=next(iter(named)) if len(named) == 1 and "" not in named else "Everyone",
            day=today,
            standings=class_progress(desk, some=some),
            findings=class_findings(desk, group),
            next_titles={m.setter.setter_id or "": _next_title(m, today) for m in some},
            used=_practised_and_used([a for m in some for a in m.attempts], today),
            caution=" ".join(cautions("start")),
            invented=desk.invented,
        )
    )


def write_class_page(desk: Desk, file: Path, group: str | None = None) -> None:
    """Write the class's page to a new file; Refused as for a setter's."""
    refuse_suffix(file)
    write_new(file, class_page(desk, group))


def _next_title(member: "Member", today: date) -> str:
    from platebook.advice.next_exercise import next_exercise

    track = member.setter.track if member.setter.track in member.course.tracks() else None
    advice = next_exercise(
        member.course, member.attempts, today=today, track=track, sign_offs=member.sign_offs
    )
    return f"{advice.title}, {advice.grade_title}"


def _practised_and_used(attempts: Sequence[Attempt], today: date) -> list[str]:
    """How much the class practised by week, and the stones and burs it used, in a sentence each."""
    from platebook.analysis.practising import practised
    from platebook.reports.practice_text import practice_line, used_lines

    practice = practised(attempts, today=today)
    told = (f"All together: {practice_line(practice)}", *used_lines(practice))
    return [f"{one[0].upper()}{one[1:].removesuffix('.')}." for one in told]


def refuse_suffix(file: Path) -> None:
    """Refused where the file is not named as a page."""
    if file.suffix.lower() not in SUFFIXES:
        raise Refused(f"{file.name}: read a file named *{file.suffix}, expected *.html")
