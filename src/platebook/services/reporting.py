"""A report on one page: what a setter takes home, or what hangs on the wall for a class."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.services.answers import bench_of, findings, next_with_sizes, progress
from platebook.services.class_roll import Pupil, pupils
from platebook.services.desk import Desk, today_at
from platebook.services.faults import Refused, opened
from platebook.services.new_files import write_new
from platebook.services.progress_callback import Watch, unwatched
from platebook.trade.cautions import cautions

if TYPE_CHECKING:
    from platebook.analysis.practising import Practice

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


def class_page(desk: Desk, group: str | None = None, *, watch: Watch = unwatched) -> str:
    """The page of a group, or of everyone, as the text of an HTML file; Refused for nobody."""
    from platebook.reports.class_report import ClassAnswers, class_html
    from platebook.services.class_answers import class_findings, class_so_far

    some = pupils(desk, group)
    if not some:
        raise Refused("class: nobody is in it yet; add people with setter add NAME --group GROUP")
    today = today_at(desk)
    named = {one.setter.group for one in some}
    next_titles = _next_titles(desk, some, today, watch)
    standings, practice = class_so_far(desk, group, watch=watch)
    return class_html(
        ClassAnswers(
            group=next(iter(named)) if len(named) == 1 and "" not in named else "Everyone",
            day=today,
            standings=standings,
            findings=class_findings(desk, group, watch=watch),
            next_titles=next_titles,
            used=_practised_and_used(practice),
            caution=" ".join(cautions("start")),
            invented=desk.invented,
        )
    )


def write_class_page(
    desk: Desk, file: Path, group: str | None = None, *, watch: Watch = unwatched
) -> None:
    """Write the class's page to a new file; Refused as for a setter's."""
    refuse_suffix(file)
    write_new(file, class_page(desk, group, watch=watch))


def _next_titles(desk: Desk, some: "Sequence[Pupil]", today: date, watch: Watch) -> dict[str, str]:
    from platebook.services.setter_work import log_of, next_title_of
    from platebook.services.worker_pool import WorkerPool

    with WorkerPool(watch=watch) as pool, opened(desk) as book:
        return pool.spread(
            next_title_of,
            ((one.setter_id, (log_of(book, one), today)) for one in some),
            attempts=sum(one.attempts for one in some),
            steps=(0, len(some)),
        )


def _practised_and_used(practice: "Practice") -> list[str]:
    """How much the class practised by week, and the stones and burs it used, in a sentence each."""
    from platebook.reports.practice_text import practice_line, used_lines

    told = (f"All together: {practice_line(practice)}", *used_lines(practice))
    return [f"{one[0].upper()}{one[1:].removesuffix('.')}." for one in told]


def refuse_suffix(file: Path) -> None:
    """Refused where the file is not named as a page."""
    if file.suffix.lower() not in SUFFIXES:
        raise Refused(f"{file.name}: read a file named *{file.suffix}, expected *.html")
