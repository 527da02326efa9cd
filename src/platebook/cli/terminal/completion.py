"""What the shell may complete as a word is typed: what the logbook has names for, and the words.

The logbook is only looked into, never made; where it cannot be read nothing is offered, and nothing
is said, since a complaint would land in the middle of the line that is being typed.
"""

from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from typing import TYPE_CHECKING, Literal

import click
from click.shell_completion import CompletionItem

from platebook.cli.terminal.groups import logbook_of

if TYPE_CHECKING:
    from platebook.logbook.file.connection import Database


def people(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The names in the logbook with a word that begins so, in any case."""
    with suppress(Exception), _looked_into(ctx) as db:
        from platebook.logbook.setter_records import setters

        return _beginning(begun, ((setter.name, "") for setter in setters(db)))
    return []


def teachers(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The same of those who teach."""
    with suppress(Exception), _looked_into(ctx) as db:
        from platebook.logbook import class_records

        return _beginning(begun, ((each.name, "") for each in class_records.teachers(db)))
    return []


def those_who_sign(
    ctx: click.Context, parameter: click.Parameter, begun: str
) -> list[CompletionItem]:
    """Teachers, then everyone else."""
    first = teachers(ctx, parameter, begun)
    known = {item.value for item in first}
    return [*first, *(item for item in people(ctx, parameter, begun) if item.value not in known)]


def classes(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The classes, and groups that setters are in."""
    with suppress(Exception), _looked_into(ctx) as db:
        from platebook.logbook.class_records import class_terms
        from platebook.logbook.setter_records import setters

        names = [term.name for term in class_terms(db)]
        names += [setter.group for setter in setters(db) if setter.group]
        return _beginning(begun, ((name, "") for name in names))
    return []


def plates(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The plates that were laid out, whose they may be."""
    return _names_of_everyones("plates", ctx, begun)


def tools(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The tools that have a name, whose they may be."""
    return _names_of_everyones("tools", ctx, begun)


def _names_of_everyones(
    what: Literal["plates", "tools"], ctx: click.Context, begun: str
) -> list[CompletionItem]:
    with suppress(Exception), _looked_into(ctx) as db:
        from platebook.logbook import setter_records

        theirs = setter_records.plates if what == "plates" else setter_records.tools
        whose = [setter.setter_id or "" for setter in setter_records.setters(db)]
        names = [one.name for setter_id in whose for one in theirs(db, setter_id)]
        return _beginning(begun, ((name, "") for name in names if name))
    return []


def grades(_ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The grades of the courses that come with the program."""
    with suppress(Exception):
        from platebook.services.courses.followed import shipped

        known = {grade.id: grade.title for course in shipped() for grade in course.grades}
        return _beginning(begun, known.items())
    return []


def files(_ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """A file, by the shell's own way."""
    return [CompletionItem(begun, type="file")]


def courses(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The ids of the courses that come with the program and of those in the logbook."""
    titles: dict[str, str] = {}
    with suppress(Exception):
        from platebook.services.courses.followed import shipped

        titles = {course.id: course.title for course in shipped()}
        with suppress(Exception), _looked_into(ctx) as db:
            from platebook.logbook.defaults import all_course_texts

            for text in all_course_texts(db):
                titles.setdefault(text.course, "")
    return _beginning(begun, titles.items())


def courses_and_files(
    ctx: click.Context, parameter: click.Parameter, begun: str
) -> list[CompletionItem]:
    """A course by its id, else a file of one's own."""
    return courses(ctx, parameter, begun) or [CompletionItem(begun, type="file")]


def results(_ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """Good and the defects; after a semicolon the next one of several."""
    before, mark, last = begun.rpartition(";")
    with suppress(Exception):
        from platebook.practice.defects import defects

        words = [*defects()] if mark else ["good", *defects()]
        return _beginning(last.strip(), ((word, "") for word in words), f"{before}{mark}")
    return []


def terms(_ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The words of the glossary."""
    with suppress(Exception):
        from platebook.practice.glossary import glossary

        return _beginning(begun, ((term.word, term.meaning) for term in glossary()))
    return []


@contextmanager
def _looked_into(ctx: click.Context) -> "Iterator[Database]":
    """The logbook to be read alone: nothing in it is brought up to date either."""
    from platebook.logbook.file.connection import connect
    from platebook.logbook.file.place import logbook_path

    with closing(connect(logbook_path(logbook_of(ctx)), mode="ro", wait_s=0.2)) as db:
        yield db


def _beginning(
    begun: str, words: Iterable[tuple[str, str]], before: str = ""
) -> list[CompletionItem]:
    key = begun.casefold()
    return [
        CompletionItem(f"{before}{word}", help=said or None)
        for word, said in dict(words).items()
        if any(part.startswith(key) for part in (word.casefold(), *word.casefold().split()))
    ]
