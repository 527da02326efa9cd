"""Taking in one bundle, wherever it lay: what came of it, for whoever is at work."""

from platebook.logbook import Logbook, LogbookError
from platebook.logbook.bundles.importing import Judged, Terms, take_in
from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.signing.left_out import LeftOut
from platebook.practice.courses.course_file import CourseError, load_course
from platebook.practice.revision import Bundle
from platebook.services.backups import reach_copies
from platebook.services.classes.class_sums import keep_priors
from platebook.services.courses.followed import shipped
from platebook.services.from_others import unite_read_of_merged
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Session, own_entry_of
from platebook.services.sharing.places.place import left_alone
from platebook.services.sharing.who_is_mine import Mine
from platebook.values import Value, replace

ABOUT_THE_FILE = frozenset({"value", "newer", "refused", "unknown"})
"""Causes that lie in what a bundle holds; with any other the logbook itself cannot be used."""


class Received(Value):
    """One bundle read: whose it is, and what came of it.

    `records` counts those that are new or changed, by kind; `clashes` are kind and id of those of
    which two versions stand since; `asks_to_erase` whom the bundle asks to erase, which waits;
    `people_erased` are the names of those who were erased since, by an answer given to that.
    `courses_left` are courses whose text this program cannot read. `unchanged` is a file that is as
    it was when it was read before, and was not read again. `left_out` is what its person's key did
    not sign, and `refused_erasings` are those whom it asks to erase without a signature.
    `erasings_told` are those of them of whom an earlier sharing told it. `stays_out` counts the
    records refused in a file that is `unchanged`.
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
    unchanged: bool = False
    left_out: tuple[LeftOut, ...] = ()
    refused_erasings: tuple[str, ...] = ()
    erasings_told: tuple[str, ...] = ()
    stays_out: int = 0


class Way(Value):
    """How one bundle is taken in: whose records, for a try only, as this logbook's own word."""

    mine: Mine
    rehearsal: bool = False
    ours: bool = False
    watch: Watch = unwatched


def take_bundle(
    session: Session,
    book: Logbook,
    file: str,
    bundle: Bundle,
    *,
    way: Way,
) -> Received:
    """Take in the bundle that was read from a file; Refused, with nothing kept, for an odd one."""
    bundle, courses_left = without_odd_courses(bundle)
    try:
        done = book.tell(
            take_in,
            book.path,
            bundle,
            Terms(
                digest=book.new_id(session.clock()),
                only=way.mine.only,
                classes=way.mine.classes,
                spared=_own_entry(session, book),
                shipped=frozenset(course.id for course in shipped()),
                rehearsal=way.rehearsal,
                judged=Judged(
                    now=session.clock(),
                    own=who_works_here(session, book),
                    ours=way.ours,
                    watch=way.watch,
                ),
            ),
        )
    except LogbookError as error:
        if error.cause not in ABOUT_THE_FILE:
            raise
        raise left_alone(file, str(error)) from error
    if done.united.unnamed and not way.rehearsal:
        reach_copies(session)
    if not way.rehearsal:
        unite_read_of_merged(book)
        if bundle.priors:
            keep_priors(book, bundle, way.mine.only)
    return Received(
        file=file,
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
        left_out=done.left_out,
        refused_erasings=done.refused_erasings,
    )


def who_works_here(session: Session, book: Logbook) -> frozenset[str]:
    """The ids of the person in use: as a teacher, and as the setter they are as well."""
    people = (session.setter_id, session.teacher_id, _own_entry(session, book))
    return frozenset(person for person in people if person)


def _own_entry(session: Session, book: Logbook) -> str | None:
    """Whom nothing from elsewhere erases: the setter in use, or the teacher's own entry."""
    if session.teacher_id is None:
        return session.setter_id
    return own_entry_of(book, session.teacher_id)


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
    return replace(bundle, courses=tuple(kept)), tuple(left)
