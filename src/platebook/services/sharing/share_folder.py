"""Exchange through any folder, stick or mail: one's own bundle out, the others' in.

Each logbook writes one file only, its own, named by its id; so whatever carries files between
machines carries logbooks, and no two ever write the same one.
"""

import contextlib
import dataclasses
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from platebook.exchange.bundle_file import bundle_file, read_bundle, write_bundle
from platebook.exchange.bundle_lines import SUFFIX, NotABundle
from platebook.logbook import (
    Logbook,
    LogbookError,
    counters,
    defaults,
    held_back,
)
from platebook.logbook.bundles.anonymous import anonymous_bundle, anonymous_replicas
from platebook.logbook.bundles.exporting import bundle_of
from platebook.logbook.bundles.importing import Terms, take_in
from platebook.logbook.held_back import ErasingAsked
from platebook.logbook.revisions import clashes, replica_of
from platebook.practice.courses.course_file import CourseError, load_course
from platebook.practice.revision import Bundle
from platebook.services.backups import copy_before, reach_copies
from platebook.services.classes.class_answers import keep_priors, with_priors
from platebook.services.courses.waiting import CourseWaiting, waiting_in
from platebook.services.files import write_anew, write_new_bytes
from platebook.services.people.doubles import names_borne, two_of_a_name
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import (
    Refused,
    Session,
    opened,
    own_entry_of,
    shipped,
)
from platebook.services.sharing.who_is_mine import (
    Mine,
    Waiting,
    keep_waiting,
    letting_in,
    nobody_waits,
    who_is_mine,
)

NOTHING = "Nothing of it was taken in."
ABOUT_THE_FILE = frozenset({"value", "newer", "refused", "unknown"})
"""Causes that lie in what a bundle holds; with any other the logbook itself cannot be used."""


@dataclass(frozen=True)
class Received:
    """One bundle read: whose it is, and what came of it.

    `records` counts those that are new or changed, by kind; `clashes` are kind and id of those of
    which two versions stand since; `asks_to_erase` whom the bundle asks to erase, which waits;
    `people_erased` are the names of those who were erased since, by an answer given to that.
    `courses_left` are courses whose text this program cannot read.
    """

    file: str
    replica: str
    authors: tuple[str, ...]
    anonymous: bool
    revisions: int
    known: int
    records: tuple[tuple[str, int], ...]
    people_erased: tuple[str, ...]
    clashes: tuple[tuple[str, str], ...]
    courses_left: tuple[str, ...] = ()
    asks_to_erase: tuple[ErasingAsked, ...] = ()


@dataclass(frozen=True)
class Unread:
    """A file that was left as it is, and why; nothing of it was taken in."""

    file: str
    sentence: str


@dataclass(frozen=True)
class ShareOutcome:
    """What came of sharing: the own file with how many revisions, what was read, what was not.

    `clashes` are all that stand in the logbook now, and `notices` whatever else is worth a look.
    `erasings` and `courses` wait for an answer here, whichever bundle brought them.
    `waiting` are people in the folder who are none of the teacher's, and were left there.
    """

    file: Path
    revisions: int
    received: tuple[Received, ...]
    unread: tuple[Unread, ...]
    clashes: tuple[tuple[str, str], ...]
    notices: tuple[str, ...] = field(default=())
    erasings: tuple[ErasingAsked, ...] = ()
    courses: tuple[CourseWaiting, ...] = ()
    waiting: tuple[Waiting, ...] = field(default=())


def share(
    session: Session,
    folder: Path,
    *,
    everyone: bool = False,
    anonymous: bool = False,
    let_in: Collection[str] = (),
    watch: Watch = unwatched,
) -> ShareOutcome:
    """Write the own bundle into the folder and take the others' in.

    With somebody in use only what is theirs is taken in (`who_is_mine`), unless `everyone`; a
    teacher may `let_in` people who wait, by name or id. What the folder holds of this logbook
    itself is taken in first. Refused where the folder is not there or not to be written to, or
    where the own file in it cannot be read: nothing was changed then.
    """
    if not folder.is_dir():
        raise Refused(
            f"{folder}: is not a folder that is there. Make it first, or look whether the stick or "
            "network share is connected"
        )
    _refuse_invented(session)
    with opened(session) as book:
        mine = who_is_mine(session, book, everyone=everyone)
        about = mine.only if isinstance(mine.only, str) else None
        people = names_borne(book)
        received = [] if anonymous else _own_again(session, book, folder)
        bundle = _own_bundle(session, book, about, anonymous=anonymous)
        own = folder / f"{bundle.replica}{SUFFIX}"
        _refuse_a_stranger(own, bundle.replica)
        write_own(own, bundle)
        own_replicas = {book.ask(replica_of), *book.ask(defaults.former_replicas)}
        skipped = own_replicas | book.ask(anonymous_replicas)
        unread: list[Unread] = []
        waiting: list[Waiting] = []
        unnamed = set(let_in)
        others = [file for file in bundles_in(folder) if file.stem.lower() not in skipped]
        if others:
            copy_before(session, book, "share")
        for done, file in enumerate(others):
            watch(done, len(others))
            try:
                theirs = _read_named(file)
                mine, left, named = letting_in(book, theirs, mine, let_in, file.name)
                unnamed -= named
                received.append(_take(session, book, file, theirs, mine=mine))
                waiting += (dataclasses.replace(w, folder=str(folder.absolute())) for w in left)
            except Refused as error:
                unread.append(Unread(file.name, error.sentence))
        waiting = _take_late(session, book, folder, waiting, received)
        if session.teacher_id is not None:
            keep_waiting(book, waiting)
        return ShareOutcome(
            file=own,
            revisions=len(bundle.revisions),
            received=tuple(received),
            unread=tuple(unread),
            clashes=book.ask(clashes),
            erasings=_unanswered(session, book),
            courses=waiting_in(book),
            notices=(
                *two_of_a_name(book, people),
                *map(nobody_waits, sorted(unnamed)),
                *filter(None, [book.ask(counters.runaway)]),
            ),
            waiting=tuple(waiting),
        )


def _take_late(
    session: Session,
    book: Logbook,
    folder: Path,
    waiting: Sequence[Waiting],
    received: list[Received],
) -> list[Waiting]:
    """Take in those whom a later file of the folder put into a class; gives who still waits."""
    mine = who_is_mine(session, book)
    if not isinstance(mine.only, frozenset):
        return list(waiting)
    late = dict.fromkeys(each.file for each in waiting if each.setter_id in mine.only)
    files = [folder / name for name in late]
    received += (_take(session, book, file, _read_named(file), mine=mine) for file in files)
    return [each for each in waiting if each.setter_id not in mine.only]


def import_bundle(
    session: Session, file: Path, *, everyone: bool = False, dry_run: bool = False
) -> tuple[Received, tuple[str, ...]]:
    """Take one bundle in, with notices; with `dry_run` the logbook stays as it was."""
    _refuse_invented(session)
    with opened(session, rehearsal=dry_run) as book:
        people = names_borne(book)
        if not dry_run:
            copy_before(session, book, "import")
        mine = who_is_mine(session, book, everyone=everyone)
        received = _take(session, book, file, read_file(file), mine=mine, rehearsal=dry_run)
        return received, two_of_a_name(book, people)


def _unanswered(session: Session, book: Logbook) -> tuple[ErasingAsked, ...]:
    asked = book.ask(held_back.erasings_asked, session.setter_id)
    return tuple(one for one in asked if not one.kept)


def export_bundle(session: Session, file: Path, *, about: str | None = None) -> int:
    """Write the own bundle, or all that is known about one setter, to a new file.

    Gives how many revisions are in it. One that is there is not written over.
    """
    _refuse_invented(session)
    with opened(session, make=False) as book:
        bundle = with_priors(session, book, book.ask(bundle_of, about), about)
    write_new_bytes(file, write_bundle(bundle))
    return len(bundle.revisions)


def _refuse_invented(session: Session) -> None:
    """Refused for the invented class: nobody who takes it in could tell it from people."""
    if session.invented:
        raise Refused("These people are made up, so their logbook is not exchanged with others'.")


def _own_bundle(session: Session, book: Logbook, only: str | None, *, anonymous: bool) -> Bundle:
    if anonymous:
        courses = (course.id for course in shipped())
        return book.tell(anonymous_bundle, only, now=session.clock(), shipped=courses)
    return with_priors(session, book, book.ask(bundle_of))


def _own_again(session: Session, book: Logbook, folder: Path) -> list[Received]:
    """What the folder holds of this logbook and what it was restored from, taken in whole."""
    received = []
    for replica in (*book.ask(defaults.former_replicas), book.ask(replica_of)):
        file = folder / f"{replica}{SUFFIX}"
        if not file.exists() and not file.is_symlink():
            continue
        try:
            bundle = _take(session, book, file, _read_named(file), mine=Mine())
        except Refused as error:
            raise Refused(
                f"{error.sentence} It is this logbook's own file, so nothing was shared: move it "
                "away, then share again."
            ) from error
        if bundle.revisions:
            received.append(bundle)
    return received


def _read_named(file: Path) -> Bundle:
    """The bundle in a file of a folder, which bears its logbook's name."""
    bundle = read_file(file)
    if bundle.replica != file.stem.lower():
        raise left_alone(
            file,
            f"holds the bundle of the logbook {bundle.replica} under another name; "
            "give it that name, or import it by itself",
        )
    return bundle


def _take(
    session: Session,
    book: Logbook,
    file: Path,
    bundle: Bundle,
    *,
    mine: Mine,
    rehearsal: bool = False,
) -> Received:
    """Take in the bundle that was read from a file."""
    bundle, courses_left = without_odd_courses(bundle)
    try:
        done = book.tell(
            take_in,
            book.path,
            bundle,
            Terms(
                digest=book.new_id(session.clock()),
                only=mine.only,
                classes=mine.classes,
                spared=_own_entry(session, book),
                shipped=frozenset(course.id for course in shipped()),
                rehearsal=rehearsal,
            ),
        )
    except LogbookError as error:
        if error.cause not in ABOUT_THE_FILE:
            raise
        raise left_alone(file, str(error)) from error
    if done.united.unnamed and not rehearsal:
        reach_copies(session)
    if bundle.priors and not rehearsal:
        keep_priors(book, bundle, mine.only)
    return Received(
        file=file.name,
        replica=bundle.replica,
        authors=bundle.authors,
        anonymous=bundle.anonymous,
        revisions=done.united.added,
        known=done.united.known,
        records=tuple(done.records.items()),
        people_erased=(),
        clashes=done.clashes,
        courses_left=courses_left,
        asks_to_erase=done.asked,
    )


def _own_entry(session: Session, book: Logbook) -> str | None:
    """Whom nothing from elsewhere erases: the setter in use, or the teacher's own entry."""
    if session.teacher_id is None:
        return session.setter_id
    return own_entry_of(book, session.teacher_id)


def _refuse_a_stranger(own: Path, replica: str) -> None:
    """Refused where another logbook's bundle stands under the own name."""
    if not own.exists() and not own.is_symlink():
        return
    theirs = read_file(own).replica
    if theirs != replica:
        raise Refused(
            f"{own.name}: holds the bundle of the logbook {theirs} under this logbook's name. "
            "It was left as it is, and nothing was shared. Give it that name."
        )


def read_file(file: Path) -> Bundle:
    """The bundle in a file; Refused, with what is wrong with it, where it is none."""
    with _refusing(file):
        try:
            with bundle_file(file) as stream:
                return read_bundle(stream)
        except NotABundle as error:
            raise left_alone(file, error.sentence) from error


def left_alone(file: Path, words: str) -> Refused:
    """The refusal of a file, in words that say that it was left alone."""
    reason = words.removesuffix(NOTHING).rstrip(" .")
    return Refused(f"{file.name}: {reason}. {NOTHING}")


def without_odd_courses(bundle: Bundle) -> tuple[Bundle, tuple[str, ...]]:
    """The bundle with the courses that this program can read, and the ids of the others."""
    kept, left = [], []
    for copy in bundle.courses:
        try:
            course = load_course(copy.text, kept=True)
        except CourseError:
            left.append(copy.course)
            continue
        same = (course.id, course.version) == (copy.course, copy.version)
        if same:
            kept.append(copy)
        else:
            left.append(copy.course)
    return dataclasses.replace(bundle, courses=tuple(kept)), tuple(left)


@contextmanager
def _refusing(file: Path) -> Iterator[None]:
    """What the system says of a file, as a refusal."""
    try:
        yield
    except OSError as error:
        raise left_alone(file, str(error.strerror)) from error


def write_own(own: Path, bundle: Bundle) -> None:
    """Write the own file, unless it says just that already: what does not change is not carried."""
    data = write_bundle(bundle)
    with _refusing(own):
        if own.is_file() and own.read_bytes() == data:
            return
    write_anew(own, data)
    with contextlib.suppress(OSError):
        # Who may look into a folder made for sharing may read what was put into it.
        own.chmod(0o600 | own.parent.stat().st_mode & 0o044)


def bundles_in(folder: Path) -> tuple[Path, ...]:
    """Everything in the folder that is named as a bundle, in the order of names."""
    with _refusing(folder):
        bundles = [
            file
            for file in folder.iterdir()
            if file.suffix.lower() == SUFFIX and not file.name.startswith(".")
        ]
    return tuple(sorted(bundles))
