"""Pages to print, written into the folder the program runs in, under names that say what they are.

| function | writes |
|---|---|
| `report_here` | the setter's report |
| `class_page_here` | the page of a class |
| `card_here` | the card for the bench: the next exercise's tools, depth, section and cautions |
| `export_here` | all attempts of the setter, as a sheet |

A name that is taken gets a number; each says in a sentence where its file is.
"""

from collections.abc import Callable
from pathlib import Path

from platebook.services.files import write_new
from platebook.services.now.now_view import now
from platebook.services.pages.report_pages import class_page, setter_page
from platebook.services.session import Refused, Session, today_at
from platebook.trade.phrases import count_of

NO_SIZES = "No sizes are known for the next exercise, so there is no card for it."
WHOSE_CARD = "A card is for one setter: mark them on the Class screen, then Ctrl+B."
MOST_TRIES = 1000


def report_here(session: Session) -> str:
    """Write the report of the setter in use."""
    return _write(session, "report", session.setter_name, ".html", setter_page(session))


def class_page_here(session: Session, class_id: str | None = None, called: str = "") -> str:
    """Write the page of this class, or of everyone."""
    return _write(session, "class", called or "everyone", ".html", class_page(session, class_id))


def card_here(session: Session, setter_id: str = "") -> str:
    """Write the card for the next exercise of the setter in use, or of this one.

    Refused where no sizes are known for it, and for a teacher who named nobody.
    """
    from platebook.reports.drawings.bench_card import card_svg

    if session.teacher_id is not None and not setter_id:
        raise Refused(WHOSE_CARD)
    view = now(session.for_setter(setter_id, session.author) if setter_id else session)
    if view.sizes is None:
        raise Refused(NO_SIZES)
    return _write(session, "card", view.grade_title, ".svg", card_svg(view.sizes))


def export_here(session: Session) -> str:
    """Write all attempts of the setter in use (of everyone, where a teacher is) as a CSV file."""
    from platebook.services.attempts.spreadsheets import export_file

    file = _file(session, "attempts", session.setter_name or "everyone", ".csv")
    count = export_file(session, file)
    return f"{count_of(count, 'attempt')} written to {file}."


def _write(session: Session, kind: str, of: str, suffix: str, text: str) -> str:
    file = _file(session, kind, of, suffix)
    write_new(file, text)
    return f"Written to {file}: open it in a browser, and print it there."


def _file(session: Session, kind: str, of: str, suffix: str) -> Path:
    """A free name that says what is in it, of whom and of which day."""
    named = "".join(letter if letter.isalnum() or letter in "-." else "-" for letter in of).strip(
        "-."
    )
    stem = f"{kind}-{named}-{today_at(session).isoformat()}"
    return _free(lambda n: Path.cwd() / f"{stem}{f'-{n}' if n > 1 else ''}{suffix}")


def _free(name: Callable[[int], Path]) -> Path:
    """The first of these names that nothing has."""
    return next((file for n in range(1, MOST_TRIES) if not (file := name(n)).exists()), name(1))
