"""A report on one page: what a setter takes home, or what hangs on the wall for a class."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from platebook.analysis.classes.register import Register
from platebook.analysis.periods.practice_by_week import Practice
from platebook.reports.pages.class_page import ClassAnswers, class_html
from platebook.reports.pages.setter_page import SetterAnswers, setter_html
from platebook.reports.text.class_text import practice_line, used_lines
from platebook.services.answers import basis_of, progress
from platebook.services.classes.class_answers import class_findings, class_so_far
from platebook.services.classes.class_roll import Pupil, pupils
from platebook.services.classes.inspections import class_now
from platebook.services.classes.register import EVERYONE, class_register
from platebook.services.classes.setter_work import log_of, next_title_of
from platebook.services.classes.terms import find_term, home_groups, roll_of, term_in_words
from platebook.services.classes.worker_pool import WorkerPool
from platebook.services.files import write_new, wrong_ending
from platebook.services.findings import findings_with_values
from platebook.services.from_others import from_others
from platebook.services.now.next_up import next_with_sizes
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Refused, Session, opened, today_at
from platebook.trade.cautions import cautions
from platebook.trade.phrases import as_sentence

SUFFIXES = (".html", ".htm")


def setter_page(session: Session) -> str:
    """The page of the setter in use, as the text of an HTML file."""
    basis = basis_of(session)
    advice, sizes = next_with_sizes(session, basis)
    found = findings_with_values(session, basis)
    return setter_html(
        SetterAnswers(
            setter=basis.setter.name,
            day=today_at(session),
            course=basis.course,
            progress=progress(session, basis),
            findings=found.findings,
            pictures=found.pictures,
            trials=found.trials,
            advice=advice,
            sizes=sizes,
            attempts=basis.attempts,
            caution=" ".join(cautions("start")),
            invented=session.invented,
            received=from_others(session),
        )
    )


def write_setter_page(session: Session, file: Path) -> None:
    """Write the page to a new file; Refused for another suffix, or where the name is taken."""
    refuse_suffix(file)
    write_new(file, setter_page(session))


def class_page(session: Session, group: str | None = None, *, watch: Watch = unwatched) -> str:
    """The page of a group, or of everyone, as the text of an HTML file; Refused for nobody."""
    members = pupils(session, group)
    if not members:
        raise Refused("class: nobody is in it yet; add people with setter add NAME --group GROUP")
    today = today_at(session)
    next_titles = next_titles_of(session, members, today, watch)
    standings, due = class_now(session, group, watch=watch)
    _, practice = class_so_far(session, group, watch=watch)
    called = called_on_page(session, members, group, today)
    return class_html(
        ClassAnswers(
            group=called,
            day=today,
            standings=standings,
            findings=class_findings(session, group, watch=watch),
            next_titles=next_titles,
            used=_practised_and_used(practice),
            caution=" ".join(cautions("start")),
            invented=session.invented,
            queue=due,
            register=register_on_page(session, group, called),
        )
    )


def register_on_page(session: Session, group: str | None, called: str) -> Register | None:
    """The register of the class that the page is about; None where it is about several."""
    if group is not None or called != EVERYONE:
        return class_register(session, group or called).register
    with opened(session) as book:
        several = bool(roll_of(book, today_at(session)).terms)
    return None if several else class_register(session).register


def called_on_page(
    session: Session, members: Sequence[Pupil], group: str | None, today: date
) -> str:
    """What a class is called on its page: the class asked for, or the one that all are in."""
    with opened(session) as book:
        roll = roll_of(book, today)
    if group is not None:
        return term_in_words(roll, find_term(roll, group, today, what="group"), today)
    homes = home_groups(roll, today)
    groups = {homes[pupil.setter_id] for pupil in members}
    return next(iter(groups)) if len(groups) == 1 and "" not in groups else EVERYONE


def write_class_page(
    session: Session, file: Path, group: str | None = None, *, watch: Watch = unwatched
) -> None:
    """Write the class's page to a new file; Refused as for a setter's."""
    refuse_suffix(file)
    write_new(file, class_page(session, group, watch=watch))


def next_titles_of(
    session: Session, members: Sequence[Pupil], today: date, watch: Watch
) -> dict[str, str]:
    """What each practises next, by setter's id."""
    with WorkerPool(watch=watch) as pool, opened(session) as book:
        return pool.spread(
            next_title_of,
            ((pupil.setter_id, (log_of(book, pupil), today)) for pupil in members),
            attempts=sum(pupil.attempts for pupil in members),
            steps=(0, len(members)),
        )


def _practised_and_used(practice: Practice) -> list[str]:
    """How much the class practised by week, and the stones and burs it used, in a sentence each."""
    sentences = (f"All together: {practice_line(practice)}", *used_lines(practice))
    return [as_sentence(each) for each in sentences]


def refuse_suffix(file: Path) -> None:
    """Refused where the file is not named as a page."""
    if file.suffix.lower() not in SUFFIXES:
        raise wrong_ending(Path(file.name), "*.html")
