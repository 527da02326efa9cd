"""What was read of a place before, so that a file that did not change is not read again.

It is kept in the logbook, beside the records, and goes back with them when a backup is restored. A
file is passed over only where reading it again could bring nothing: all of it came in; or it is
somebody's who is still a stranger here; or neither has anything come from others since, nor has it
changed whose records are taken in.
"""

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from typing import Any

from platebook import __version__
from platebook.logbook import Logbook, class_records, defaults, setter_records
from platebook.logbook.bundles.importing import heard_so_far, known_people
from platebook.logbook.erasures.erasing import erased_among
from platebook.logbook.signing.left_out import keys_and_answers
from platebook.practice.revision import Bundle
from platebook.services.sharing.places.place import Lying
from platebook.services.sharing.taking_in import Received
from platebook.services.sharing.who_is_mine import Mine, Waiting, chosen
from platebook.values import Value, as_dict, replace

MOST_PEOPLE = 50
"""A file about more people than this is passed over only while nothing comes from others."""


class Before(Value):
    """A file as it was read: its mark, what it said of itself, who waited in it.

    `whole` says that all of it came in, `people` whom a stranger's file is about, and `state` what
    else decided about it. `digest` is that of the own file's content. `left_out` says that some of
    it was left out for want of a signature, so that keys and answers decide about it too: `refused`
    counts the records that no answer takes in, and `refused_erasings` are whom it asks to erase.
    """

    mark: str
    replica: str = ""
    authors: tuple[str, ...] = ()
    anonymous: bool = False
    known: int = 0
    courses_left: tuple[str, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    whole: bool = False
    people: tuple[str, ...] = ()
    state: str = ""
    digest: str = ""
    left_out: bool = False
    refused: int = 0
    refused_erasings: tuple[str, ...] = ()


@dataclass
class ReadBefore:
    """What was read at one address, as this logbook remembers it; `keep` writes it down."""

    book: Logbook
    address: str
    files: dict[str, Before] = field(default_factory=dict)
    _heard: int | None = None
    _told: dict[str, tuple[str, ...]] = field(init=False)

    def __post_init__(self) -> None:
        """What was told of each file's erasings when it was read last, before it is read now."""
        self._told = {name: before.refused_erasings for name, before in self.files.items()}

    @classmethod
    def at(cls, book: Logbook, address: str) -> "ReadBefore":
        """What is remembered of an address; nothing of what another version of the program read."""
        kept = json.loads(book.ask(defaults.default, defaults.read_name(address)) or "{}")
        if kept.get("program") != __version__:
            return cls(book, address)
        return cls(book, address, {name: _before(row) for name, row in kept["files"].items()})

    def same(self, lying: Lying) -> Before | None:
        """What is remembered of a file that did not change since."""
        before = self.files.get(lying.name)
        return before if before is not None and before.mark == lying.mark != "" else None

    def passed_over(self, lying: Lying, mine: Mine, let_in: Collection[str]) -> Before | None:
        """What is remembered of a file that need not be read again; None where it is to be read."""
        before = self.same(lying)
        if before is None or chosen(before.waiting, let_in):
            return None
        if before.whole or before.state == self._state(
            mine, before.people, left_out=before.left_out
        ):
            gone = self.book.ask(erased_among, (each.setter_id for each in before.waiting))
            left = tuple(each for each in before.waiting if each.setter_id not in gone)
            return replace(before, waiting=left)
        return None

    def lacking(
        self, others: Iterable[Lying], mine: Mine, let_in: Collection[str]
    ) -> tuple[Lying, ...]:
        """Those of which something was left out, and which keys known now let in."""
        left = (one for one in others if (known := self.same(one)) is not None and known.left_out)
        return tuple(one for one in left if self.passed_over(one, mine, let_in) is None)

    def with_told(self, came: Received) -> Received:
        """What came of a file, with those of the erasings refused that an earlier sharing told."""
        told = self._told.get(came.file, ())
        old = tuple(name for name in came.refused_erasings if name in told)
        return replace(came, erasings_told=old)

    def remember(
        self,
        lying: Lying,
        bundle: Bundle,
        mine: Mine,
        *,
        came: Received,
        waiting: tuple[Waiting, ...],
    ) -> None:
        """Keep that a file was read, what came of it and who waits in it."""
        taken, left_out = came.revisions + came.known, bool(came.left_out)
        self._heard = None if came.revisions else self._heard
        whole = taken == len(bundle.revisions) and not bundle.priors
        people = () if whole or taken else _strangers(bundle)
        self.files[lying.name] = Before(
            mark=lying.mark,
            replica=bundle.replica,
            authors=bundle.authors,
            anonymous=bundle.anonymous,
            known=taken,
            courses_left=came.courses_left,
            waiting=waiting,
            whole=whole,
            people=people,
            state="" if whole else self._state(mine, people, left_out=left_out),
            left_out=left_out,
            refused=sum(left.records for left in came.left_out if left.refused),
            refused_erasings=came.refused_erasings,
        )

    def remember_own(self, name: str, mark: str, digest: str) -> None:
        """Keep what the own file holds since it was written."""
        self.files[name] = Before(mark=mark, digest=digest)

    def keep(self, there: AbstractSet[str]) -> None:
        """Write down what is remembered of the files that are still there."""
        standing = self._names_here()
        gone = self.book.ask(
            erased_among, (each.setter_id for one in self.files.values() for each in one.waiting)
        )
        files = {}
        for name in sorted(there & self.files.keys()):
            before = self.files[name]
            # A name goes from this logbook with the person, and stands nowhere beside the records.
            files[name] = as_dict(
                replace(
                    before,
                    authors=tuple(author for author in before.authors if author in standing),
                    refused_erasings=tuple(n for n in before.refused_erasings if n in standing),
                    waiting=tuple(w for w in before.waiting if w.setter_id not in gone),
                )
            )
        kept = json.dumps({"program": __version__, "files": files}, ensure_ascii=False)
        if kept != self.book.ask(defaults.default, defaults.read_name(self.address)):
            self.book.tell(defaults.set_default, defaults.read_name(self.address), kept)

    def _names_here(self) -> frozenset[str]:
        setters = {setter.name for setter in self.book.ask(setter_records.setters)}
        return frozenset(setters | {t.name for t in self.book.ask(class_records.teachers)})

    def _state(self, mine: Mine, people: tuple[str, ...], *, left_out: bool) -> str:
        """What decides, beside its content, what of a file is taken in."""
        only = frozenset({mine.only}) if isinstance(mine.only, str) else mine.only
        if only is None:
            told: object = "everyone"
        elif people:
            told = [sorted(only.intersection(people)), self.book.ask(known_people, people)]
        else:
            if self._heard is None:
                self._heard = self.book.ask(heard_so_far)
            told = [sorted(only), sorted(mine.classes), self._heard]
        if left_out:
            told = [told, self.book.ask(keys_and_answers)]
        return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:32]


def _strangers(bundle: Bundle) -> tuple[str, ...]:
    """Whom a bundle is about where it speaks of nobody's work but theirs; else nobody."""
    people: set[str] = set()
    attempts: set[str] = set()
    looked_at: set[str] = set()
    for revision in bundle.revisions:
        row = revision.links
        if revision.kind == "setter":
            people.add(revision.record_id)
        elif isinstance(whose := row.get("setter_id"), str):
            people.add(whose)
            if revision.kind == "attempt":
                attempts.add(revision.record_id)
        elif isinstance(attempt := row.get("attempt_id"), str):
            looked_at.add(attempt)
        else:
            return ()
        if revision.kind == "membership":
            return ()
    alone = looked_at <= attempts and len(people) <= MOST_PEOPLE and not bundle.priors
    return tuple(sorted(people)) if alone else ()


def _before(row: Mapping[str, Any]) -> Before:
    """One file as it was written down."""
    lists = {name: tuple(value) for name, value in row.items() if isinstance(value, list)}
    waiting = tuple(Waiting(**each) for each in row["waiting"])
    return Before(**{**row, **lists, "waiting": waiting})
