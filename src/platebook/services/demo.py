"""The invented evening class in a logbook of its own, marked as invented wherever it is shown."""

from datetime import UTC, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory

from tzlocal import get_localzone

from platebook.demo.evening_class import INSTRUCTOR, evening_class
from platebook.logbook import defaults
from platebook.logbook.file.place import put_in_place
from platebook.logbook.records import add_attempts, add_inspections, add_setter, add_tools
from platebook.services.session import INVENTED, Refused, Session, clock_from, opened, session_at

SHOWN = 0
FILE_NAME = "invented-class.sqlite"


def demo_session(folder: Path) -> Session:
    """Write the class into a new logbook in this folder and sit down as one of its setters.

    The class that was kept there before is opened as it was left; Refused where the file is
    another logbook. A new one gets its name when it is whole. The clock stands on the evening after
    the last one, here and wherever the logbook is opened later, so that the log is not a year old.
    """
    file = folder / FILE_NAME
    if not file.exists():
        with TemporaryDirectory(prefix=".", dir=folder) as aside:
            _write_class(Path(aside) / FILE_NAME)
            put_in_place(Path(aside) / FILE_NAME, file)
    session = session_at(file)
    if not session.invented:
        raise Refused(
            f"{file}: is there already and holds no invented class. Name another folder, or move "
            "it away"
        )
    return session


def _write_class(file: Path) -> None:
    """Write the class into a new logbook, its mark last."""
    invented = evening_class()
    evening = datetime.combine(invented.today, time(18, 30), tzinfo=UTC)
    session = Session(path=file, clock=clock_from(evening), zone=get_localzone(), author="the demo")
    with opened(session) as book:
        for number, setter in enumerate(invented.setters):
            setter_id = setter.setter_id or ""
            book.tell(add_setter, setter, book.stamp("the demo", evening, "add"))
            book.tell(
                add_tools,
                setter_id,
                invented.tools_by_setter[setter_id],
                book.stamp("the demo", evening, "add"),
            )
            book.tell(
                add_attempts,
                invented.attempts_by_setter[setter_id],
                book.stamp(setter.name, evening, "import"),
            )
            if number == SHOWN:
                book.tell(defaults.set_default, defaults.IN_USE, setter_id)
        book.tell(add_inspections, invented.inspections, book.stamp(INSTRUCTOR, evening, "inspect"))
        book.tell(defaults.set_default, INVENTED, evening.isoformat())
