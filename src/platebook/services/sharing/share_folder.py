"""Exchange through any folder or far place: one's own bundle out, the others' in.

Each logbook writes one file only, its own, named by its id; so whatever carries files between
machines carries logbooks, and no two ever write the same one.
"""

import contextlib
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from platebook.exchange.bundle_draft import BundleDraft
from platebook.exchange.bundle_lines import SUFFIX
from platebook.logbook import Logbook, defaults
from platebook.logbook.bundles.anonymous import anonymous_replicas, hand_on_unnamed
from platebook.logbook.bundles.exporting import hand_on, own_revisions
from platebook.logbook.erasures import held_back
from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.history import counters
from platebook.logbook.history.revisions import clashes, highest_counter, replica_of, revision_count
from platebook.logbook.signing.left_out import LeftOut, left_out
from platebook.services.classes.class_sums import ClassPriors, class_priors
from platebook.services.courses.followed import shipped
from platebook.services.courses.waiting import CourseWaiting, waiting_in
from platebook.services.files import with_home
from platebook.services.people.doubles import names_borne, two_of_a_name
from platebook.services.people.keys import new_key_words
from platebook.services.progress_callback import Watch
from platebook.services.session import Refused, Session, opened
from platebook.services.sharing.others_files import OthersFiles, Unread, read_at, read_named
from platebook.services.sharing.places.far import FarPlace
from platebook.services.sharing.places.folder import Folder
from platebook.services.sharing.places.place import (
    Lying,
    NotHad,
    Place,
    Unreachable,
    far_address,
    is_address,
)
from platebook.services.sharing.read_before import ReadBefore
from platebook.services.sharing.share_progress import OTHERS, OWN, SUMS, UNWATCHED, ShareProgress
from platebook.services.sharing.single_bundle import draft_priors, refuse_invented, unread_words
from platebook.services.sharing.taking_in import Received, Way, take_bundle
from platebook.services.sharing.unsigned import how_to_answer, left_out_words
from platebook.services.sharing.who_is_mine import (
    Mine,
    Waiting,
    keep_waiting,
    nobody_waits,
    who_is_mine,
)
from platebook.values import Value

GONE_OUT = "changes that have gone out"
"""The default under which the counter is kept of the last change that the own file has."""


class ShareOutcome(Value):
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
    notices: tuple[str, ...] = ()
    erasings: tuple[ErasingAsked, ...] = ()
    courses: tuple[CourseWaiting, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    left_out: tuple[LeftOut, ...] = ()


def share(
    session: Session,
    folder: Path | str,
    *,
    everyone: bool = False,
    anonymous: bool = False,
    let_in: Collection[str] = (),
    progress: ShareProgress = UNWATCHED,
) -> ShareOutcome:
    """Write the own bundle into a folder, or to a far address, and take the others' in.

    Only what is theirs who is in use is taken in (`who_is_mine`), unless `everyone`; strangers
    wait, whom a teacher may `let_in` by name or id, and so may nobody in use. What the place holds
    of this logbook itself is taken in first; files that did not change since they were read are not
    read again (`read_before`). Refused where the place is not there or not to be written to, or
    where the own file in it cannot be read: nothing was changed then.
    """
    with contextlib.closing(_place_at(folder)) as place:
        return _share_through(
            place, session, everyone=everyone, anonymous=anonymous, let_in=let_in, progress=progress
        )


def _share_through(
    place: Place,
    session: Session,
    *,
    everyone: bool,
    anonymous: bool,
    let_in: Collection[str],
    progress: ShareProgress,
) -> ShareOutcome:
    """What `share` does, with a place that is closed after it."""
    progress.watch(0, 0)
    lying = place.files()
    refuse_invented(session)
    with opened(session) as book, BundleDraft(session.path.parent) as draft:
        mine = who_is_mine(session, book, everyone=everyone)
        people = names_borne(book)
        before = ReadBefore.at(book, place.address)
        sharing = _Sharing(session, book, place, before, draft)
        files = OthersFiles(session, book, place, before)
        try:
            received = [] if anonymous else sharing.take_own(lying)
            _refuse_to_write_over(book, received)
            upto = book.ask(highest_counter)
            only = mine.only if isinstance(mine.only, str) else None
            sharing.draft_own(only, anonymous=anonymous, progress=progress)
            own = sharing.write_own(lying)
            if not (anonymous or book.read_only):
                book.tell(defaults.set_default, GONE_OUT, str(upto))
            skipped = {book.ask(replica_of), *book.ask(defaults.former_replicas)}
            skipped |= book.ask(anonymous_replicas)
            others = [one for one in lying if one.replica not in skipped]
            others_read = files.take_in(others, mine, let_in, progress.of(OTHERS))
            if not anonymous:
                sharing.add_priors(progress.of(SUMS))
        finally:
            # What came in before the place stopped answering is not asked for again.
            if not book.read_only:
                before.keep({one.name for one in lying} | sharing.written)
        received += others_read.received
        waiting = files.take_late(others, others_read, received)
        if session.setter_id is None:
            keep_waiting(book, waiting)
        return ShareOutcome(
            file=place.path_of(own),
            revisions=draft.revisions,
            received=tuple(received),
            unread=tuple(others_read.unread),
            clashes=book.ask(clashes),
            erasings=_unanswered(session, book),
            courses=waiting_in(book),
            notices=(
                *two_of_a_name(book, people),
                *map(nobody_waits, sorted(others_read.unnamed)),
                *filter(
                    None,
                    [
                        book.ask(counters.runaway),
                        new_key_words(session, book),
                        unread_words(draft.size),
                    ],
                ),
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
class _Sharing:
    """One sharing through one place."""

    session: Session
    book: Logbook
    place: Place
    before: ReadBefore
    draft: BundleDraft
    written: set[str] = field(default_factory=set)
    _shown: frozenset[str] = frozenset()

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
                    read_named(self.place, one),
                    way=Way(Mine(), ours=True),
                )
            except Unreachable:
                raise
            except NotHad as error:
                raise Refused(
                    f"{error.sentence} It is this logbook's own file, so nothing was shared: share "
                    "again later."
                ) from error
            except Refused as error:
                raise Refused(
                    f"{error.sentence} It is this logbook's own file, so nothing was shared: move "
                    "it away, then share again."
                ) from error
            if bundle.revisions or bundle.left_out:
                received.append(bundle)
        return received

    def draft_own(self, only: str | None, *, anonymous: bool, progress: ShareProgress) -> None:
        """Draft the own bundle, with what is kept of what the classes here have shown."""
        of = self.book.ask(revision_count if anonymous else own_revisions)
        watch = progress.of(OWN)
        self.draft.told = lambda done: watch(done, max(done, of))
        if anonymous:
            self.book.tell(
                hand_on_unnamed,
                self.draft.take,
                only,
                now=self.session.clock(),
                shipped=[course.id for course in shipped()],
            )
        else:
            self.book.ask(hand_on, self.draft.take)
            self._set_priors(class_priors(self.session, self.book, watch=None))

    def write_own(self, lying: Sequence[Lying]) -> str:
        """Write the own file unless it says just that already; gives its name.

        Refused where another logbook's bundle stands under it.
        """
        name = f"{self.draft.replica}{SUFFIX}"
        there = next((one for one in lying if one.name == name), None)
        known = self.before.same(there) if there is not None else None
        if there is not None and known is None:
            theirs = read_at(self.place, there).replica
            if theirs != self.draft.replica:
                raise Refused(
                    f"{name}: holds the bundle of the logbook {theirs} under this logbook's name. "
                    "It was left as it is, and nothing was shared. Give it that name."
                )
        if known is None or known.digest != self.draft.digest:
            self._put(name)
        self.written.add(name)
        return name

    def add_priors(self, watch: Watch) -> None:
        """Write the own file once more where what the classes here have shown is another by now.

        That may take long to work out, so the file is there before and everything came in; where
        the work is stopped, or the place answers no more, the next sharing brings it.
        """
        priors = class_priors(self.session, self.book, watch=watch)
        if frozenset(priors.sums) != self._shown:
            self._set_priors(priors)
            with contextlib.suppress(Unreachable):
                self._put(f"{self.draft.replica}{SUFFIX}")

    def _set_priors(self, priors: ClassPriors) -> None:
        self._shown = frozenset(priors.sums)
        draft_priors(self.draft, priors)

    def _put(self, name: str) -> None:
        mark = self.place.put(name, self.draft)
        self.before.remember_own(name, mark, self.draft.digest)


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
