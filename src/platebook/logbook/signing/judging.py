"""Whose word is each revision? What its person did not sign is left out, or asked about.

A revision speaks in somebody's name: a look, a sign-off and a message in that of who looked, signed
or wrote; what is a setter's in the setter's; a class in its teachers'. What a key of theirs signed
comes in. So does what any key signed in the name of somebody whose key is not known here yet: that
is the first meeting. The rest is left out:

| what it is | and then |
|---|---|
| unsigned, in the name of somebody whose key is not known | asked about |
| a setter's record that somebody else signed, who does not teach here | asked about |
| unsigned, or cut off, or altered since, where the person's key is known | refused |
| a look, sign-off or message that another key signed | refused |
| signed by a key that says it is the person's, and is not known as theirs | refused |

What concerns the person in use is asked about where another one is refused for an unknown key: that
may be they themselves at another machine.
"""

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from platebook.logbook.file.connection import Database
from platebook.logbook.history.changes import owners
from platebook.logbook.record_kinds import kinds
from platebook.logbook.signing.known_keys import HERE, known_keys, united_with
from platebook.logbook.signing.signatures import SPEAKS_AS, fits
from platebook.practice.records import name_key
from platebook.practice.revision import NOBODY, Bundle, KeyCard, Revision, Signature
from platebook.values import Value

Verdict = Literal["signed", "first met", "not judged", "asked", "refused"]

_OWNED = frozenset(
    {"setter", "teacher", "attempt", "tool", "tool_check", "plate", "own_field", "sheet_answers"}
)
_PASSED = frozenset({"draw", "course_in_force"})
"""Kinds that speak in nobody's name."""


class Judgement(Value):
    """What becomes of one revision: in whose name it speaks, and the key that signed it if one did.

    `signer` is "" where no signature fits.
    """

    revision: Revision
    verdict: Verdict
    person_id: str = ""
    signer: str = ""

    @property
    def left_out(self) -> bool:
        """Whether it does not come in by itself."""
        return self.verdict in {"asked", "refused"}

    @property
    def digest(self) -> str:
        """What an answer about it is about: all that it says."""
        return hashlib.sha256(self.revision.statement).hexdigest()


class Keyring(Value):
    """The keys known before a bundle came, with the hand-overs that it brought.

    `own` are the people who work in this logbook; a key that was made here is no meeting with a
    person elsewhere, so it counts as known for those alone.
    """

    of_person: Mapping[str, frozenset[str]]
    met: frozenset[str]
    teachers_here: frozenset[str]
    names: Mapping[str, frozenset[str]]
    cards: Mapping[str, tuple[KeyCard, ...]]
    united: Mapping[str, str]
    handed: tuple[KeyCard, ...]
    own: frozenset[str]

    def root(self, person_id: str) -> str:
        """The entry that stands for this one since they were made one."""
        seen: set[str] = set()
        while person_id in self.united and person_id not in seen:
            seen.add(person_id)
            person_id = self.united[person_id]
        return person_id

    def keys_of(self, person_id: str) -> frozenset[str]:
        """All keys that are taken for this person's."""
        return self.of_person.get(self.root(person_id), frozenset())

    def knows(self, person_id: str) -> bool:
        """Whether a key of this person was met."""
        return self.root(person_id) in self.met


def keyring(db: Database, bundle: Bundle, own: frozenset[str]) -> Keyring:
    """The keys to judge this bundle by."""
    known, united = known_keys(db), united_with(db)
    ring = Keyring({}, frozenset(), frozenset(), {}, {}, united, (), own)
    of_person: dict[str, set[str]] = {}
    met: set[str] = set()
    names: dict[str, set[str]] = {}
    mine = {ring.root(person) for person in own}
    for each in known:
        whose = ring.root(each.person_id)
        of_person.setdefault(whose, set()).add(each.key)
        if each.how != HERE or whose in mine:
            met.add(whose)
    cards: dict[str, list[KeyCard]] = {}
    for card in (*(each.card for each in known), *sound(bundle.keys)):
        cards.setdefault(card.key, []).append(card)
    handed = _handed_over(bundle.keys, of_person, ring)
    for each in known:
        if ring.root(each.person_id) in met:
            names.setdefault(name_key(each.card.name), set()).update(
                of_person[ring.root(each.person_id)]
            )
    return Keyring(
        of_person={person: frozenset(keys) for person, keys in of_person.items()},
        met=frozenset(met),
        teachers_here=frozenset(each.key for each in known if each.teaches_us),
        names={name: frozenset(keys) for name, keys in names.items()},
        cards={key: tuple(of_key) for key, of_key in cards.items()},
        united=united,
        handed=handed,
        own=frozenset(mine),
    )


def sound(cards: Iterable[KeyCard]) -> tuple[KeyCard, ...]:
    """Those cards that their own key signed."""
    return tuple(
        card for card in cards if fits(card.statement, Signature(card.key, card.signature))
    )


def _handed_over(
    cards: Iterable[KeyCard], of_person: dict[str, set[str]], ring: Keyring
) -> tuple[KeyCard, ...]:
    """Take a key that was handed over for its person's, also where that key hands over again."""
    waiting = [card for card in sound(cards) if card.handed_by]
    handed: list[KeyCard] = []
    while True:
        now = [
            card
            for card in waiting
            if card.handed_by in of_person.get(ring.root(card.person_id), ())
            and fits(card.statement, Signature(card.handed_by, card.hand_over))
        ]
        if not now:
            return tuple(handed)
        for card in now:
            waiting.remove(card)
            of_person[ring.root(card.person_id)].add(card.key)
            handed.append(card)


@dataclass
class _Court:
    """What the judging of one bundle looks at."""

    ring: Keyring
    anonymous: bool
    ours: bool
    owner_here: dict[str, str] = field(default_factory=dict)
    teachers_of: dict[str, frozenset[str]] = field(default_factory=dict)
    taught_here: frozenset[str] = frozenset()


def judge(
    db: Database,
    bundle: Bundle,
    ring: Keyring,
    new: Iterable[Revision],
    *,
    ours: bool = False,
    watch: Callable[[float, int], None] | None = None,
) -> tuple[Judgement, ...]:
    """What becomes of each of these revisions of a bundle.

    `ours` says that the bundle is this logbook's own, from before it was restored: what is unsigned
    in it is asked about and not refused. `watch` is told how many were looked at, of how many.
    """
    revisions = tuple(new)
    court = _court(db, bundle, ring, revisions, ours=ours)
    judged = []
    for done, revision in enumerate(revisions):
        if watch is not None and not done % 200:
            watch(done, len(revisions))
        judged.append(_judgement(court, revision))
    return tuple(judged)


def _court(
    db: Database, bundle: Bundle, ring: Keyring, revisions: tuple[Revision, ...], *, ours: bool
) -> _Court:
    court = _Court(ring, bundle.anonymous, ours)
    for name in _OWNED - {"setter", "teacher"}:
        kind = kinds()[name]
        ids = [revision.record_id for revision in revisions if revision.kind == name]
        court.owner_here |= {i: whose for i, (whose, _) in owners(db, kind, ids).items() if whose}
    rows: list[tuple[str, Any]] = [
        (revision.record_id, revision.links.get("teachers"))
        for revision in bundle.revisions
        if revision.kind == "class"
    ]
    here = db.execute("SELECT class_id, teachers FROM class").fetchall()
    court.taught_here = frozenset(class_id for class_id, _ in here)
    # What this logbook says of a class stands over what the bundle says of it.
    for class_id, teachers in (*rows, *here):
        court.teachers_of[class_id] = _ids_in(teachers)
    return court


def _ids_in(teachers: object) -> frozenset[str]:
    try:
        ids = json.loads(teachers) if isinstance(teachers, str) else ()
    except ValueError:
        return frozenset()
    return frozenset(map(str, ids)) if isinstance(ids, list) else frozenset()


def _judgement(court: _Court, revision: Revision) -> Judgement:
    ring = court.ring
    signed = revision.signed
    fitting = signed is not None and fits(revision.statement, signed)
    signer = signed.key if signed is not None and fitting else ""
    altered = signed is not None and not fitting
    if revision.kind in _PASSED or revision.kind not in kinds():
        verdict: Verdict = "refused" if altered else ("signed" if signer else "not judged")
        return Judgement(revision, verdict, "", signer)
    voices = _voices(court, revision)
    if signer and _says_another(ring, revision, signer, voices):
        whose = _named(ring, revision.change.author)
        return Judgement(revision, "refused", whose, signer)
    if revision.kind in SPEAKS_AS:
        return _of_one(court, revision, voices, signer, altered=altered)
    if signer and signer in ring.teachers_here and revision.kind != "teacher":
        return Judgement(revision, "signed", next(iter(voices), ""), signer)
    if revision.kind in {"class", "membership"}:
        return _of_class(court, revision, voices, signer, altered=altered)
    # A record that goes from one person to another concerns both of them.
    worst = [_of_one(court, revision, (v,), signer, altered=altered) for v in voices]
    return max(worst, key=lambda each: _ORDER[each.verdict])


_ORDER: Mapping[Verdict, int] = {
    "signed": 0,
    "first met": 1,
    "not judged": 2,
    "asked": 3,
    "refused": 4,
}


def _voices(court: _Court, revision: Revision) -> tuple[str, ...]:
    """The ids, or the name, of those in whose name it speaks; of a class all who teach it."""
    row = revision.links
    if revision.kind in SPEAKS_AS:
        return (str(row.get(SPEAKS_AS[revision.kind]) or ""),)
    if revision.kind in {"setter", "teacher"}:
        return (revision.record_id,)
    if revision.kind == "class":
        return tuple(sorted(court.teachers_of.get(revision.record_id, ())))
    whose = (str(row.get("setter_id") or ""), court.owner_here.get(revision.record_id, ""))
    return tuple(dict.fromkeys(filter(None, whose))) or ("",)


def _named(ring: Keyring, name: str) -> str:
    """The id of a person who is known under this name, else the name."""
    keys = ring.names.get(name_key(name), frozenset())
    return next((person for person, of in ring.of_person.items() if of & keys), name)


def _says_another(ring: Keyring, revision: Revision, signer: str, voices: tuple[str, ...]) -> bool:
    """Whether it says that somebody whose key is known did it, and another key signed that."""
    author = name_key(revision.change.author)
    theirs = ring.names.get(author, frozenset())
    if not theirs or signer in theirs or author == name_key(NOBODY):
        return False
    if signer in ring.teachers_here:
        return False
    # Somebody else may bear the same name, and speaks for themselves with a key of their own.
    namesakes = {c.person_id for c in ring.cards.get(signer, ()) if name_key(c.name) == author}
    return not namesakes & set(voices)


def _of_one(
    court: _Court,
    revision: Revision,
    voices: tuple[str, ...],
    signer: str,
    *,
    altered: bool,
) -> Judgement:
    """The judgement where one person's name stands in it."""
    ring = court.ring
    whose = _person(ring, voices[0])
    own = ring.root(whose) in ring.own
    if signer and signer in ring.keys_of(whose):
        return Judgement(revision, "signed", whose, signer)
    if not ring.knows(whose):
        return Judgement(revision, _of_unknown(court, signer, altered=altered), whose, signer)
    if not signer:
        asked = court.ours and not altered
        return Judgement(revision, "asked" if asked else "refused", whose, signer)
    says = {ring.root(card.person_id) for card in ring.cards.get(signer, ())}
    if ring.root(whose) in says:
        # It may be the same person at another machine; who works here knows that of themselves.
        return Judgement(revision, "asked" if own else "refused", whose, signer)
    asks = revision.kind not in SPEAKS_AS and bool(says)
    return Judgement(revision, "asked" if asks else "refused", whose, signer)


def _of_unknown(court: _Court, signer: str, *, altered: bool) -> Verdict:
    """The verdict in the name of somebody whose key is not known here."""
    if altered:
        return "refused"
    if signer:
        return "first met"
    return "not judged" if court.anonymous else "asked"


def _of_class(
    court: _Court,
    revision: Revision,
    voices: tuple[str, ...],
    signer: str,
    *,
    altered: bool,
) -> Judgement:
    """The judgement of a class, or of a place in one: its teachers say it, or the member does."""
    ring = court.ring
    class_id = str(revision.links.get("class_id") or revision.record_id)
    teachers = court.teachers_of.get(class_id, frozenset())
    may = teachers | (set(voices) if revision.kind == "membership" else set())
    by_card = {card.person_id for card in ring.cards.get(signer, ())} if signer else set()
    if signer and any(signer in ring.keys_of(person) for person in may):
        return Judgement(revision, "signed", next(iter(voices), ""), signer)
    known = [person for person in sorted(may) if ring.knows(person)]
    # A class that is not known here yet may come with its teacher: being in it changes no record.
    new_teacher = {person for person in by_card & teachers if not ring.knows(person)}
    if not known or new_teacher:
        verdict = _of_unknown(court, signer, altered=altered)
        return Judgement(revision, verdict, next(iter(sorted(may)), ""), signer)
    verdict = "asked" if signer and by_card else "refused"
    return Judgement(revision, verdict, known[0], signer)


def _person(ring: Keyring, voice: str) -> str:
    """The id of who is meant: an id, or the name of one who is known."""
    return voice if voice in ring.of_person or voice in ring.united else _named(ring, voice)
