"""What others left in a place: gone through file by file, and taken in as far as it concerns us.

| name | is |
|---|---|
| `OthersFiles` | what one sharing takes in of a place |
| `Others`, `Unread` | what they gave; a file that could not be read |
| `read_at`, `read_named` | the bundle in a file; in one that bears its logbook's name |
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from platebook.logbook import Logbook
from platebook.logbook.signing.left_out import keys_and_answers
from platebook.practice.revision import Bundle
from platebook.services.backups import copy_before
from platebook.services.progress_callback import Watch, inside
from platebook.services.session import Refused, Session
from platebook.services.sharing.places.place import Lying, Place, Unreachable, left_alone
from platebook.services.sharing.read_before import Before, ReadBefore
from platebook.services.sharing.taking_in import Received, Way, take_bundle
from platebook.services.sharing.who_is_mine import Mine, Waiting, letting_in, who_is_mine
from platebook.trade.phrases import count_of
from platebook.values import Value, replace


class Unread(Value):
    """A file that was left as it is, and why; nothing of it was taken in."""

    file: str
    sentence: str


@dataclass
class Others:
    """What the others' files gave so far."""

    unnamed: set[str]
    received: list[Received] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    waiting: list[Waiting] = field(default_factory=list)

    def forget(self, names: Collection[str]) -> None:
        """What was said of these files is said anew, but for what came in."""
        self.received = [
            replace(one, left_out=(), refused_erasings=(), erasings_told=())
            if one.file in names
            else one
            for one in self.received
            if one.file not in names or one.records
        ]
        self.waiting = [one for one in self.waiting if one.file not in names]


class OthersFiles(Value):
    """The files of others at one place, for one logbook, with what was read of them before."""

    session: Session
    book: Logbook
    place: Place
    before: ReadBefore

    def take_in(
        self, others: Sequence[Lying], mine: Mine, let_in: Collection[str], watch: Watch
    ) -> Others:
        """Take in what others left, as far as it may have changed since it was read.

        Where one file brings the key that signed what was left out of another, that one is gone
        through once more.
        """
        read = Others(set(let_in))
        keys = self.book.ask(keys_and_answers)
        mine = self._go_through(others, mine, let_in, watch, read)
        if self.book.ask(keys_and_answers) != keys:
            lacking = self.before.lacking(others, mine, let_in)
            read.forget({one.name for one in lacking})
            self._go_through(
                lacking, mine, let_in, lambda *_: watch(len(others), len(others)), read
            )
        return read

    def _go_through(
        self,
        others: Sequence[Lying],
        mine: Mine,
        let_in: Collection[str],
        watch: Watch,
        read: Others,
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
            read.waiting += (replace(w, folder=self.place.address) for w in left)
        return mine

    def _take_one(
        self,
        one: Lying,
        found: Bundle | Refused,
        way: Way,
        let_in: Collection[str],
        read: Others,
    ) -> tuple[Mine, tuple[Waiting, ...]]:
        """Take one bundle in; gives who is theirs from then on, and who waits in it."""
        theirs = _named(one, found)
        mine, left, named = letting_in(self.book, theirs, way.mine, let_in, one.name)
        read.unnamed -= named
        way = replace(way, mine=mine)
        came = take_bundle(self.session, self.book, one.name, theirs, way=way)
        read.received.append(self.before.with_told(came))
        self.before.remember(one, theirs, mine, came=came, waiting=left)
        return mine, left

    def take_late(
        self, others: Sequence[Lying], read: Others, received: list[Received]
    ) -> list[Waiting]:
        """Take in those whom a later file put into a class; gives who still waits."""
        mine = who_is_mine(self.session, self.book)
        if not isinstance(mine.only, frozenset):
            return read.waiting
        late = {each.file for each in read.waiting if each.setter_id in mine.only}
        for one in others:
            if one.name in late:
                try:
                    theirs = read_named(self.place, one)
                    received.append(
                        take_bundle(self.session, self.book, one.name, theirs, way=Way(mine))
                    )
                except Refused as error:  # gone since, or the place does not answer any more
                    read.unread.append(Unread(one.name, error.sentence))
        return [each for each in read.waiting if each.setter_id not in mine.only]


def read_at(place: Place, one: Lying) -> Bundle:
    """The bundle in a file; Refused where it holds none."""
    try:
        found = next(iter(place.bundles([one])))
    except Unreachable as error:
        again = "Sharing again goes on from there."
        raise Unreachable(f"{error.sentence} {again}") from error
    if isinstance(found, Refused):
        raise found
    return found


def read_named(place: Place, one: Lying) -> Bundle:
    """The same; Refused too where it is the bundle of another logbook than its name says."""
    return _named(one, read_at(place, one))


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
        refused_erasings=before.refused_erasings,
        erasings_told=before.refused_erasings,
        stays_out=before.refused,
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
