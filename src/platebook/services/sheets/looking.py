"""Looking at a sheet before anything of it is stored: what it means, and what is to be asked.

The answers of an earlier import are kept in the logbook by the file's headings, so that the same
sheet, grown by a month, asks nothing.
"""

import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path

from platebook.exchange.encodings import likely_encodings, sample_in
from platebook.exchange.sheets.answers import NO_ANSWERS, Answers, answers_text, read_answers
from platebook.exchange.sheets.meaning import TableMeaning, key_of
from platebook.exchange.sheets.questions import Option, Question
from platebook.exchange.sheets.questions import answered as with_answer
from platebook.exchange.sheets.sheet import LOOKED_AT, Read
from platebook.exchange.sheets.understanding import Understanding, understand
from platebook.logbook import Logbook, defaults, setter_records
from platebook.practice.people.own_records import SheetAnswers
from platebook.practice.records import Setter
from platebook.practice.text import clean
from platebook.services.courses.followed import course_with_own
from platebook.services.files import read_whole, typed_path, wrong_ending
from platebook.services.session import Refused, Session, opened, with_id
from platebook.values import Value, replace

READ = (".csv", ".txt", ".tsv", ".xlsx")
BUNDLE_START = b'{"platebook":"bundle"'


class SheetLook(Value):
    """A file's tables with the answers so far; `questions` are those still open.

    `remembered` says that an earlier import of sheets with these headings gave answers. `known_as`
    is the digest under which they are kept, "" for a file that cannot be read as a table yet.
    `setters` are those of the logbook, and `nobody` says that none of them is in use; `whose` is
    then the id or name of whose the rows are that do not say it.
    """

    file: Path
    data: bytes
    read: Read
    understood: Understanding
    answers: Answers
    known_as: str = ""
    remembered: bool = False
    setters: tuple[Setter, ...] = ()
    nobody: bool = False
    whose: str = ""

    @property
    def questions(self) -> tuple[Question, ...]:
        """What is still to be asked, in order."""
        asked = self._about_encoding()
        if asked is not None:
            return (asked,)
        return (*self.understood.questions, *self._about_person())

    def _about_person(self) -> tuple[Question, ...]:
        named = {c.field for c in self.understood.columns} & {"setter", "setter_id"}
        if self.whose or not self.nobody or named or not self.understood.rows:
            return ()
        return (
            Question(
                about="person",
                heading=self.file.name,
                count=self.understood.rows,
                expected="a name",
                options=tuple(Option(s.setter_id or "", s.name) for s in self.setters),
                must=True,
            ),
        )

    def with_more(self, again: "SheetLook", *, remembered: bool) -> "SheetLook":
        """What `again` understood, for the same person."""
        return replace(
            again,
            remembered=remembered,
            setters=self.setters,
            nobody=self.nobody,
            whose=self.whose,
        )

    def _about_encoding(self) -> Question | None:
        if self.answers.encoding or self.understood.sheets:
            return None
        unread = next((p for p in self.read[1] if "--encoding" in p.expected), None)
        if unread is None:
            return None
        names = ("utf-16",) if self.data[:2] in {b"\xff\xfe", b"\xfe\xff"} else ()
        offered = names or likely_encodings(self.data)
        return Question(
            about="encoding",
            heading=self.file.name,
            value=unread.read,
            count=1,
            lines=(unread.line or 1,),
            expected="which encoding the file is in",
            options=tuple(
                Option(name, f"{name}, in which it has {sample_in(self.data, name)!r}")
                for name in offered
            ),
            must=True,
            suggested=True,
        )


def look_at(
    session: Session,
    book: Logbook,
    file: Path,
    answers: Answers = NO_ANSWERS,
    maps: Mapping[str, str] | None = None,
) -> SheetLook:
    """The file as it is understood with these answers and those of an earlier import.

    `maps` are meanings of headings or values typed for this one file. Refused where the file
    cannot be opened, or is no table by its name.
    """
    data = _bytes_of(file)
    setters = book.ask(setter_records.setters)
    reading = _meaning(session, book, answers, maps or {}, setters)
    look = _look(file, data, reading, None)
    look = replace(look, setters=setters, nobody=session.setter_id is None)
    owner = session.setter_id
    kept = _kept_for(book, look, owner) or _kept_for_encoded(book, look, reading, owner)
    if kept is None:
        return look
    remembered = _look(file, data, reading.answering(answers.over(kept)), None)
    return look.with_more(remembered, remembered=True)


def look_at_typed(session: Session, typed: str) -> SheetLook:
    """`look_at` of a file as a person types or pastes its name: quotes and `~` are understood."""
    with opened(session) as book:
        return look_at(session, book, typed_path(typed).absolute())


def answer(look: SheetLook, question: Question, typed: str) -> tuple[SheetLook | None, str]:
    """The look with one more answer, or None and what was expected of the answer."""
    if question.about == "person":
        return replace(look, whose=clean(typed)), ""
    answers, expected = with_answer(look.answers, question, typed)
    if answers is None:
        return None, expected
    reading = look.understood.reading.answering(answers)
    read = None if question.about == "encoding" else look.read
    again = _look(look.file, look.data, reading, read)
    return look.with_more(again, remembered=look.remembered), ""


def remember(book: Logbook, look: SheetLook) -> None:
    """Keep the answers about a sheet of several people for the next import of such a sheet."""
    if look.known_as:
        name = defaults.answers_name(look.known_as)
        book.tell(defaults.set_default, name, answers_text(look.answers))


def remembered_by(book: Logbook, look: SheetLook, owner: str) -> tuple[SheetAnswers, ...]:
    """The answers as a record of the person whose sheet it is; nothing where it stands so."""
    if not look.known_as:
        return ()
    text = answers_text(look.answers)
    kept = book.ask(setter_records.sheet_answers, look.known_as)
    before = next((record for record in reversed(kept) if record.setter_id == owner), None)
    if before is None:
        return (SheetAnswers(setter_id=owner, headings=look.known_as, answers=text),)
    if before.answers == text:
        return ()
    return (before.model_copy(update={"answers": text}),)


def answers_in(file: Path) -> Answers:
    """The answers in a TOML file; Refused, with what is wrong, where they cannot be read."""
    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeError) as error:
        raise Refused(f"{file}: {getattr(error, 'strerror', None) or 'not UTF-8'}") from error
    answers, problems = read_answers(text)
    if problems:
        raise Refused("; ".join(f"{file.name}: {problem}" for problem in problems))
    return answers


def _bytes_of(file: Path) -> bytes:
    if file.suffix.lower() not in READ:
        raise wrong_ending(Path(file.name), "*.csv or *.xlsx")
    data = read_whole(file)
    if data.startswith(BUNDLE_START):
        raise Refused(f"{file.name}: is a bundle of another logbook; name it *.platebook")
    return data


def _meaning(
    session: Session,
    book: Logbook,
    answers: Answers,
    maps: Mapping[str, str],
    setters: Sequence[Setter],
) -> TableMeaning:
    setter = with_id(setters, session.setter_id)
    return TableMeaning(
        column_map=maps,
        answers=answers,
        course=course_with_own(book, setter),
        zone=session.zone,
        people=tuple(setter.name for setter in setters),
    )


def _look(file: Path, data: bytes, reading: TableMeaning, read: Read | None) -> SheetLook:
    if read is None:
        if file.suffix.lower() == ".xlsx":
            from platebook.exchange.xlsx_file import read_xlsx_sheets

            read = read_xlsx_sheets(data, reading)
        else:
            from platebook.exchange.csv_file import read_csv_sheets

            read = read_csv_sheets(data, reading)
    understood = understand(read[0], reading)
    # What was typed for this one file alone is not part of what it was asked.
    return SheetLook(
        file, data, read, understood, understood.reading.answers, known_as=_known_as(understood)
    )


def _known_as(understood: Understanding) -> str:
    """What sheets with the same headings share, in whatever order the columns are."""
    headings = sorted({key_of(c.heading) for c in understood.columns if c.heading})
    if not headings:
        return ""
    return hashlib.sha256("\n".join(headings).encode("utf-8")).hexdigest()[:24]


def _kept_for(book: Logbook, look: SheetLook, owner: str | None) -> Answers | None:
    """What was answered about such a sheet: by this person, else by whoever did so last."""
    if not look.known_as:
        return None
    kept = book.ask(setter_records.sheet_answers, look.known_as)
    own = [record.answers for record in kept if record.setter_id == owner]
    shared = book.ask(defaults.default, defaults.answers_name(look.known_as))
    others = [record.answers for record in kept]
    texts = [*own[-1:], *((shared,) if shared is not None else ()), *others[-1:]]
    return read_answers(texts[0])[0] if texts else None


def _kept_for_encoded(
    book: Logbook, look: SheetLook, reading: TableMeaning, owner: str | None
) -> Answers | None:
    """What was answered for a file that is no UTF-8: an earlier import said its encoding."""
    if look.understood.sheets:
        return None
    beginning = b"\n".join(look.data.split(b"\n", LOOKED_AT)[:LOOKED_AT])
    for name in likely_encodings(look.data):
        encoded = replace(reading.answers, encoding=name)
        tried = _look(look.file, beginning, reading.answering(encoded), None)
        kept = _kept_for(book, tried, owner)
        if kept is not None and kept.encoding == name:
            return kept
    return None
