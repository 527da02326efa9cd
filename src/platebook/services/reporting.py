"""A report on one page: what a setter takes home."""

from pathlib import Path

from platebook.services.answers import bench_of, findings, next_with_sizes, progress, today_at
from platebook.services.desk import Desk
from platebook.services.faults import Refused
from platebook.services.new_files import write_new
from platebook.trade.cautions import cautions

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


def refuse_suffix(file: Path) -> None:
    """Refused where the file is not named as a page."""
    if file.suffix.lower() not in SUFFIXES:
        raise Refused(f"{file.name}: read a file named *{file.suffix}, expected *.html")
