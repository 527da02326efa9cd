"""What the shell may complete: people, courses, results and the glossary, as a word is typed.

The logbook is only looked into, never made; where it cannot be read nothing is offered, and nothing
is said, since a complaint would land in the middle of the line that is being typed.
"""

import os
import re
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

if TYPE_CHECKING:
    from platebook.logbook.file.connection import Database

_NOT_PLAIN = re.compile(r"([^\w./;:+,@%-])")


def people(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The names in the logbook with a word that begins so, in any case."""
    with suppress(Exception), _looked_into(ctx) as db:
        from platebook.logbook.setter_records import setters

        return _beginning(begun, ((setter.name, "") for setter in setters(db)))
    return []


def courses(ctx: click.Context, _: click.Parameter, begun: str) -> list[CompletionItem]:
    """The ids of the courses that come with the program and of those in the logbook."""
    titles: dict[str, str] = {}
    with suppress(Exception):
        from platebook.services.courses.followed import (
            shipped,
        )

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
    from platebook.cli.terminal.options import logbook_of
    from platebook.logbook.file.connection import connect
    from platebook.logbook.file.place import logbook_path

    with closing(connect(logbook_path(logbook_of(ctx)), mode="ro", wait_s=0.2)) as db:
        yield db


def _beginning(
    begun: str, words: Iterable[tuple[str, str]], before: str = ""
) -> list[CompletionItem]:
    key = begun.casefold()
    return [
        CompletionItem(_as_typed(f"{before}{word}"), help=said or None)
        for word, said in dict(words).items()
        if any(part.startswith(key) for part in (word.casefold(), *word.casefold().split()))
    ]


def _as_typed(word: str) -> str:
    """The word as it has to stand in the line: bash puts it there as it is, others mark blanks.

    Inside quotes that were opened a blank is one already. The mark is doubled, since click's script
    for bash reads each word in a way that takes one away.
    """
    line = os.environ.get("COMP_WORDS", "")
    in_quotes = line.count('"') % 2 or line.count("'") % 2
    if in_quotes or not os.environ.get("_PLATEBOOK_COMPLETE", "").startswith("bash"):
        return word
    return _NOT_PLAIN.sub(r"\\\\\1", word)
