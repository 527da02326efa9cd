"""Exchange through any folder or far place: one's own bundle out, the others' in.

Each logbook writes one file only, its own, named by its id; so whatever carries files between
machines carries logbooks, and no two ever write the same one.
"""

import contextlib
import dataclasses
import hashlib
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from platebook.exchange.bundle_file import write_bundle
from platebook.exchange.bundle_lines import SUFFIX
from platebook.logbook import Logbook, counters, defaults
from platebook.logbook.bundles.anonymous import anonymous_bundle, anonymous_replicas
from platebook.logbook.bundles.exporting import bundle_of
from platebook.logbook.erasures import held_back
from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.revisions import clashes, highest_counter, replica_of
from platebook.logbook.signing.left_out import LeftOut, keys_and_answers, left_out
from platebook.practice.revision import Bundle
from platebook.services.backups import copy_before
from platebook.services.classes.class_answers import with_priors
from platebook.services.courses.waiting import CourseWaiting, waiting_in
from platebook.services.files import with_home
from platebook.services.people.doubles import names_borne, two_of_a_name
from platebook.services.people.keys import new_key_words
from platebook.services.progress_callback import Watch, inside, unwatched
from platebook.services.session import Refused, Session, opened, shipped
from platebook.services.sharing.places.far import FarPlace
from platebook.services.sharing.places.folder import Folder
from platebook.services.sharing.places.place import (
    Lying,
    Place,
    Unreachable,
    far_address,
    is_address,
    left_alone,
)
from platebook.services.sharing.read_before import Before, ReadBefore
from platebook.services.sharing.single_bundle import refuse_invented
from platebook.services.sharing.taking_in import Received, Way, take_bundle
from platebook.services.sharing.unsigned import how_to_answer, left_out_words
from platebook.services.sharing.who_is_mine import (
    Mine,
    Waiting,
    keep_waiting,
    letting_in,
    nobody_waits,
    who_is_mine,
)
from platebook.trade.phrases import count_of


@dataclass(frozen=True)
class Unread:
    """A file that was left as it is, and why; nothing of it was taken in."""

    file: str
    sentence: str


GONE_OUT = "changes that have gone out"
"""The default under which the counter is kept of the last change that the own file has."""


@dataclass(frozen=True)
class ShareOutcome:
    """What came of sharing: the own file with how many revisions, what was read, what was not.

    `clashes` are all that stand in the logbook now, and `notices` whatever else is worth a look.
    `erasings` and `courses` wait for an answer here, whichever bundle brought them.
    `waiting` are people in the folder who are strangers here, and were left there.
    `left_out` is what waits for an answer because its person's key did not sign it.
    """

    file: str
    revisions: int
    received: tuple[Received, ...]
    unread: tuple[Unread, ...]
    clashes: tuple[tuple[str, str], ...]
    notices: tuple[str, ...] = field(default=())
    erasings: tuple[ErasingAsked, ...] = ()
    courses: tuple[CourseWaiting, ...] = ()
    waiting: tuple[Waiting, ...] = field(default=())
    left_out: tuple[LeftOut, ...] = ()


def share(
    session: Session,
    folder: Path | str,
    *,
    everyone: bool = False,
    anonymous: bool = False,
    let_in: Collection[str] = (),
    watch: Watch = unwatched,
) -> ShareOutcome:
    """Write the own bundle into a folder, or to a far address, and take the others' in.

    Only what is theirs who is in use is taken in (`who_is_mine`), unless `everyone`; strangers
    wait, whom a teacher may `let_in` by name or id, and so may nobody in use. What the place holds
    of this logbook itself is taken in first; files that did not change since they were read are not
    read again (`read_before`). Refused where the place is not there or not to be written to, or
    where the own file in it cannot be read: nothing was changed then.
    """
    place = _place_at(folder)
    watch(0, 0)
    lying = place.files()
    refuse_invented(session)
    with opened(session) as book:
        mine = who_is_mine(session, book, everyone=everyone)
        people = names_borne(book)
        before = ReadBefore.at(book, place.address)
        sharing = _Sharing(session, book, place, before)
        try:
            received = [] if anonymous else sharing.take_own(lying)
            _refuse_to_write_over(book, received)
            bundle = _own_bundle(
                session,
                book,
                mine.only if isinstance(mine.only, str) else None,
                anonymous=anonymous,
            )
            upto = book.ask(highest_counter)
            own = sharing.write_own(bundle, lying)
            if not (anonymous or book.read_only):
                book.tell(defaults.set_default, GONE_OUT, str(upto))
            skipped = {book.ask(replica_of), *book.ask(defaults.former_replicas)}
            skipped |= book.ask(anonymous_replicas)
            others = [one for one in lying if one.replica not in skipped]
            others_read = sharing.take_others(others, mine, let_in, watch)
            if not anonymous:
                sharing.add_priors(bundle, len(others), watch)
        finally:
            # What came in before the place stopped answering is not asked for again.
            if not book.read_only:
                before.keep({one.name for one in lying} | sharing.written)
        received += others_read.received
        waiting = sharing.take_late(others, others_read.waiting, received)
        if session.setter_id is None:
            keep_waiting(book, waiting)
        return ShareOutcome(
            file=place.path_of(own),
            revisions=len(bundle.revisions),
            received=tuple(received),
            unread=tuple(others_read.unread),
            clashes=book.ask(clashes),
            erasings=_unanswered(session, book),
            courses=waiting_in(book),
            notices=(
                *two_of_a_name(book, people),
                *map(nobody_waits, sorted(others_read.unnamed)),
                *filter(None, [book.ask(counters.runaway), new_key_words(session, book)]),
            ),
            waiting=tuple(waiting),
            left_out=_unsigned(book),
        )


def _place_at(folder: Path | str) -> Place:
    """A folder that is there, or a far place, which is opened when it is asked for its files."""
    if isinstance(folder, str) and is_address(folder):
        return FarPlace(far_address(folder))
    return Folder(with_home(Path(folder)))


@dataclass
class _Read:
    """What the others' files gave so far."""

    unnamed: set[str]
    received: list[Received] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    waiting: list[Waiting] = field(default_factory=list)

    def forget(self, names: Collection[str]) -> None:
        """What was said of these files is said anew, but for what came in."""
        self.received = [
            dataclasses.replace(one, left_out=()) if one.file in names else one
            for one in self.received
            if one.file not in names or one.records
        ]
        self.waiting = [one for one in self.waiting if one.file not in names]


@dataclass
class _Sharing:
    """One sharing through one place."""

    session: Session
    book: Logbook
    place: Place
    before: ReadBefore
    written: set[str] = field(default_factory=set)

    def take_own(self, lying: Sequence[Lying]) -> list[Received]:
        """What the place holds of this logbook and what it was restored from, taken in whole."""
        received = []
        there = {one.name: one for one in lying}
        for replica in (*self.book.ask(defaults.former_replicas), self.book.ask(replica_of)):
            one = there.get(f"{replica}{SUFFIX}")
            if one is None or self.before.same(one) is not None:
                continue
            try:
                bundle = take_bundle(
                    self.session,
                    self.book,
                    one.name,
                    self._read_named(one),
                    way=Way(Mine(), ours=True),
                )
            except Unreachable:
                raise
            except Refused as error:
                raise Refused(
                    f"{error.sentence} It is this logbook's own file, so nothing was shared: move "
                    "it away, then share again."
                ) from error
            if bundle.revisions or bundle.left_out:
                received.append(bundle)
        return received

    def write_own(self, bundle: Bundle, lying: Sequence[Lying]) -> str:
        """Write the own file unless it says just that already; gives its name.

        Refused where another logbook's bundle stands under it.
        """
        name = f"{bundle.replica}{SUFFIX}"
        data = write_bundle(bundle)
        digest = hashlib.sha256(data).hexdigest()
        there = next((one for one in lying if one.name == name), None)
        known = self.before.same(there) if there is not None else None
        if there is not None and known is None:
            theirs = self._read(there).replica
            if theirs != bundle.replica:
                raise Refused(
                    f"{name}: holds the bundle of the logbook {theirs} under this logbook's name. "
                    "It was left as it is, and nothing was shared. Give it that name."
                )
        if known is None or known.digest != digest:
            self.before.remember_own(name, self.place.put(name, data), digest)
        self.written.add(name)
        return name

    def add_priors(self, bundle: Bundle, others: int, watch: Watch) -> None:
        """Write the own file once more where what the classes here have shown is another by now.

        That may take long to work out, so the file is there before and everything came in; where
        the work is stopped, or the place answers no more, the next sharing brings it.
        """

        def told(done: float, of: int) -> None:  # noqa: ARG001 - the bundles are what is counted
            watch(others, others)

        complete = with_priors(self.session, self.book, bundle, watch=told)
        if complete.priors != bundle.priors:
            name, data = f"{bundle.replica}{SUFFIX}", write_bundle(complete)
            with contextlib.suppress(Unreachable):
                mark = self.place.put(name, data)
                self.before.remember_own(name, mark, hashlib.sha256(data).hexdigest())

    def take_others(
        self, others: Sequence[Lying], mine: Mine, let_in: Collection[str], watch: Watch
    ) -> _Read:
        """Take in what others left, as far as it may have changed since it was read.

        Where one file brings the key that signed what was left out of another, that one is gone
        through once more.
        """
        read = _Read(set(let_in))
        keys = self.book.ask(keys_and_answers)
        mine = self._go_through(others, mine, let_in, watch, read)
        if self.book.ask(keys_and_answers) != keys:
            lacking = self.before.lacking(others, mine, let_in)
            read.forget({one.name for one in lacking})
            self._go_through(lacking, mine, let_in, watch, read)
        return read

    def _go_through(
        self,
        others: Sequence[Lying],
        mine: Mine,
        let_in: Collection[str],
        watch: Watch,
        read: _Read,
    ) -> Mine:
        """Read these files one after the other; gives who is theirs from then on."""
        passed = {
            one.name: known
            for one in others
            if (known := self.before.passed_over(one, mine, let_in)) is not None
        }
        if len(passed) < len(others):
            copy_before(self.session, self.book, "share")
        bundles = self.place.bundles([one for one in others if one.name not in passed])
        for done, one in enumerate(others):
            watch(done, len(others))
            known = passed.get(one.name)
            if known is not None:
                read.received.append(_nothing_new(one.name, known))
                left = known.waiting
            else:
                try:
                    way = Way(mine, watch=inside(watch, done, len(others)))
                    mine, left = self._take_one(one, next(bundles), way, let_in, read)
                except Unreachable as error:
                    bundles_there = count_of(len(others), "bundle")
                    raise Refused(
                        f"{error.sentence} Your own file is there; of {bundles_there} of "
                        f"others {done} were gone through. Sharing again goes on from there."
                    ) from error
                except Refused as error:
                    read.unread.append(Unread(one.name, error.sentence))
                    continue
            read.waiting += (dataclasses.replace(w, folder=self.place.address) for w in left)
        return mine

    def _take_one(
        self,
        one: Lying,
        found: Bundle | Refused,
        way: Way,
        let_in: Collection[str],
        read: _Read,
    ) -> tuple[Mine, tuple[Waiting, ...]]:
        """Take one bundle in; gives who is theirs from then on, and who waits in it."""
        theirs = _named(one, found)
        mine, left, named = letting_in(self.book, theirs, way.mine, let_in, one.name)
        read.unnamed -= named
        way = dataclasses.replace(way, mine=mine)
        came = take_bundle(self.session, self.book, one.name, theirs, way=way)
        read.received.append(came)
        self.before.remember(
            one,
            theirs,
            mine,
            taken=came.revisions + came.known,
            known=came.known,
            courses_left=came.courses_left,
            waiting=left,
            left_out=bool(came.left_out),
        )
        return mine, left

    def take_late(
        self, others: Sequence[Lying], waiting: Sequence[Waiting], received: list[Received]
    ) -> list[Waiting]:
        """Take in those whom a later file put into a class; gives who still waits."""
        mine = who_is_mine(self.session, self.book)
        if not isinstance(mine.only, frozenset):
            return list(waiting)
        late = {each.file for each in waiting if each.setter_id in mine.only}
        for one in others:
            if one.name in late:
                theirs = self._read_named(one)
                received.append(
                    take_bundle(self.session, self.book, one.name, theirs, way=Way(mine))
                )
        return [each for each in waiting if each.setter_id not in mine.only]

    def _read(self, one: Lying) -> Bundle:
        """The bundle in a file; Refused where it holds none."""
        try:
            found = next(iter(self.place.bundles([one])))
        except Unreachable as error:
            again = "Sharing again goes on from there."
            raise Unreachable(f"{error.sentence} {again}") from error
        if isinstance(found, Refused):
            raise found
        return found

    def _read_named(self, one: Lying) -> Bundle:
        return _named(one, self._read(one))


def _refuse_to_write_over(book: Logbook, received: Sequence[Received]) -> None:
    """Refused where the own file holds what somebody here is asked about: it would be lost."""
    own = book.ask(replica_of)
    for each in received:
        waiting = [one for one in each.left_out if not one.refused and not one.answer]
        if each.replica == own and waiting:
            what = f"{left_out_words(waiting[0])} {how_to_answer(waiting[0])}"
            raise Refused(f"{each.file} is this logbook's own file, and nothing was shared: {what}")


def _unsigned(book: Logbook) -> tuple[LeftOut, ...]:
    return tuple(one for one in book.ask(left_out) if not one.refused and not one.answer)


def _unanswered(session: Session, book: Logbook) -> tuple[ErasingAsked, ...]:
    asked = book.ask(held_back.erasings_asked, session.setter_id)
    return tuple(one for one in asked if not one.kept)


def _own_bundle(session: Session, book: Logbook, only: str | None, *, anonymous: bool) -> Bundle:
    if anonymous:
        courses = (course.id for course in shipped())
        return book.tell(anonymous_bundle, only, now=session.clock(), shipped=courses)
    return with_priors(session, book, book.ask(bundle_of), watch=None)


def _nothing_new(name: str, before: Before) -> Received:
    """A file that was not read again, as what reading it again would have given."""
    return Received(
        file=name,
        replica=before.replica,
        authors=before.authors,
        anonymous=before.anonymous,
        revisions=0,
        known=before.known,
        records=(),
        people_erased=(),
        clashes=(),
        courses_left=before.courses_left,
        unchanged=True,
    )


def _named(one: Lying, found: Bundle | Refused) -> Bundle:
    """The bundle that was found in a file, which bears its logbook's name."""
    if isinstance(found, Refused):
        raise found
    if found.replica != one.replica:
        raise left_alone(
            one.name,
            f"holds the bundle of the logbook {found.replica} under another name; "
            "give it that name, or import it by itself",
        )
    return found
