"""Start files: a file for each student with their person, class, course and where to share.

A student who opens theirs begins as the person whom the teacher's logbook knows, by the same id, so
that nobody becomes two people. The file is JSON, and holds a bundle of what the teacher's logbook
knows about that student; nothing of anybody else is in it but the class and who teaches it.
"""

import base64
import io
import json
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path

from platebook.exchange.bundle_draft import BundleDraft
from platebook.exchange.bundle_file import read_bundle
from platebook.exchange.bundle_lines import NotABundle
from platebook.logbook import Logbook, LogbookError, class_records, defaults, setter_records
from platebook.logbook.bundles.exporting import hand_on
from platebook.logbook.bundles.importing import Judged, Terms, take_in
from platebook.practice.people.names import may_be_one
from platebook.practice.records import Setter, name_key
from platebook.practice.revision import Bundle
from platebook.practice.text import clean, json_in
from platebook.services.backups import copy_before
from platebook.services.classes.terms import day_in, find_term, roll_of, term_in_words
from platebook.services.files import read_whole, typed_path, write_anew
from platebook.services.session import Refused, Session, opened, put_in_use, today_at
from platebook.services.sharing.places.place import far_address, is_address, place_called
from platebook.services.sharing.taking_in import without_odd_courses
from platebook.values import Value

SUFFIX = ".start.json"
DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{kind}{n}" for kind in ("com", "lpt") for n in range(1, 10))}
)
"""Names that Windows takes for devices, whatever stands behind their dot."""

FORMAT = 1
SHARE_FOLDER = "share folder"
"""The default under which the folder is kept that is shared through, where none is named."""

_NO_START = "no start file (platebook class start makes them)"


class StartFile(Value):
    """A start file that was written, and for whom."""

    file: Path
    setter_id: str
    name: str


class Begun(Value):
    """Who begins, the session in their name, and in words what came with the file."""

    session: Session
    setter: Setter
    sentences: tuple[str, ...]
    share: str


def write_start_files(
    session: Session, wanted: str, folder: Path, share: str = ""
) -> tuple[StartFile, ...]:
    """Write a start file into the folder for each member of a class; one that is there is renewed.

    `share` is where they are to share, as they reach it; without it the folder that this logbook
    shares through.
    """
    if is_address(share):
        share = far_address(share)
    with opened(session, make=False) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        term = find_term(roll, wanted, today)
        members = roll.members_on(term, day_in(term, today))
        bundles = {m.setter_id: _bundle_of(book, m) for m in members}
        place = share or book.ask(defaults.default, SHARE_FOLDER) or ""
    if not members:
        raise Refused(f"{term.name}: nobody is in it yet, so nobody needs a start file")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"{folder}: {error.strerror}") from error
    written = []
    names = _file_names(members)
    for member in members:
        file = folder / next(names)
        if file.exists():
            _refuse_another(file, member)
        start = {
            "platebook": "start",
            "format": FORMAT,
            "setter_id": member.setter_id,
            "name": member.name,
            "class": term_in_words(roll, term, today),
            "course": member.course,
            "share": place,
            "bundle": base64.b64encode(bundles[member.setter_id]).decode("ascii"),
        }
        text = json.dumps(start, ensure_ascii=False, indent=1) + "\n"
        write_anew(file, [text.encode("utf-8")])
        written.append(StartFile(file, member.setter_id or "", member.name))
    return tuple(written)


def _bundle_of(book: Logbook, member: Setter) -> bytes:
    """All that is known about a member, as a bundle's file has it."""
    with BundleDraft(book.path.parent) as draft:
        book.ask(hand_on, draft.take, member.setter_id)
        return b"".join(draft.chunks())


def _file_names(members: tuple[Setter, ...]) -> Iterator[str]:
    """A name of a file for each, that any system takes; of two alike the second has part of its id.

    "Ada Quill.start.json".
    """
    taken: set[str] = set()
    for member in members:
        plain = unicodedata.normalize("NFC", member.name)
        stem = re.sub(r"[^\w .'-]", "_", plain).strip(" .-")[:60] or "student"
        if stem.partition(".")[0].casefold() in DEVICES:
            stem = f"_{stem}"
        if stem.casefold() in taken:
            stem = f"{stem} {(member.setter_id or '')[-6:]}"
        taken.add(stem.casefold())
        yield f"{stem}{SUFFIX}"


def _refuse_another(file: Path, member: Setter) -> None:
    """Refused where a file of that name is something else, or another person's start."""
    try:
        whose = _read(file)["setter_id"]
    except Refused:
        whose = None
    if whose != member.setter_id:
        raise Refused(f"{file.name}: is there already and is not {member.name}'s start file")


def begin_from(session: Session, file: Path) -> Begun:
    """Begin as the person of a start file, who is in use from then on.

    What the file holds is taken in; doing it again changes nothing. Refused where it is no start
    file, or where somebody else of that name is in use who may be the same person.
    """
    start = _read(file)
    bundle = _bundle(start, file)
    share = clean(str(start.get("share") or ""))
    if is_address(share):
        share = far_address(share)
    setter_id = str(start["setter_id"])
    if session.invented:
        raise Refused("These people are made up: begin in a logbook of your own.")
    with opened(session) as book:
        people = book.ask(setter_records.setters)
        copy_before(session, book, "begin")
        try:
            book.tell(
                take_in,
                book.path,
                bundle,
                Terms(
                    digest=book.new_id(session.clock()),
                    only=setter_id,
                    judged=Judged(now=session.clock(), own=frozenset({setter_id}), trusting=True),
                ),
            )
        except LogbookError as error:
            raise Refused(f"{file.name}: {error}") from error
        setter = book.ask(setter_records.setter_with_id, setter_id)
        if setter is None:
            raise Refused(f"{file.name}: {start['name']} was erased in this logbook")
        put_in_use(book, setter_id=setter_id)
        if share:
            book.tell(defaults.set_default, SHARE_FOLDER, _as_reached(share))
        teachers = book.ask(class_records.teachers)
    sentences = [f"{setter.name} is at the bench now."]
    about = clean(str(start.get("class") or ""))
    taught = f" with {', '.join(t.name for t in teachers)}" if teachers else ""
    sentences += [f"Class: {about}{taught}."] if about else []
    sentences += [f"platebook share goes through {share}."] if share else []
    sentences += [
        f"{other.name} is in this logbook too. If that is you, make the two one: u on the screen "
        "of people, or platebook setter doubles says how."
        for other in people
        if other.setter_id != setter_id and may_be_one(other.name, setter.name)
    ]
    return Begun(session.for_setter(setter_id, setter.name), setter, tuple(sentences), share)


def begin_with_file(session: Session, typed: str) -> Session:
    """`begin_from` a file as a person types or drops its name; the session in their name."""
    return begin_from(session, typed_path(typed)).session


def _read(file: Path) -> dict[str, object]:
    """What a start file says; Refused for another file."""
    try:
        start = json_in(read_whole(file))
    except ValueError as error:
        raise Refused(f"{file.name}: is {_NO_START}") from error
    if not isinstance(start, dict) or start.get("platebook") != "start":
        raise Refused(f"{file.name}: is {_NO_START}")
    if start.get("format") != FORMAT:
        raise Refused(f"{file.name}: is of a newer platebook. Install that, then begin again")
    if not all(isinstance(start.get(key), str) for key in ("setter_id", "name", "bundle")):
        raise Refused(f"{file.name}: lacks who it is for. Ask for it again")
    return start


def _bundle(start: dict[str, object], file: Path) -> Bundle:
    """The bundle in it, with the courses that this program can read."""
    try:
        data = base64.b64decode(str(start["bundle"]), validate=True)
        bundle, _ = without_odd_courses(read_bundle(io.BytesIO(data)))
    except (ValueError, NotABundle) as error:
        reason = getattr(error, "sentence", "what is in it is not whole")
        raise Refused(f"{file.name}: {reason}. Ask for it again") from error
    named = {r.record_id: r for r in bundle.revisions if r.kind == "setter"}
    person = named.get(str(start["setter_id"]))
    if person is None or name_key(str(person.row.get("name"))) == "":
        raise Refused(f"{file.name}: does not hold the person it is for. Ask for it again")
    return bundle


def kept_folder(session: Session) -> Path | str:
    """Where this logbook shares, a folder or a far address; Refused where none was named yet."""
    if session.path.exists():
        with opened(session) as book:
            kept = book.ask(defaults.default, SHARE_FOLDER)
        if kept:
            return kept if is_address(kept) else Path(kept).expanduser()
    raise Refused("folder: name the folder to share through; it is remembered from then on")


def share_there_too(session: Session, share: str) -> bool:
    """Share where the students of the start files do, where that is in reach and no place is kept.

    What a student reaches under one name may have another here, so a folder that is not there is
    left alone. Whether this logbook shares there from now on.
    """
    if not share or not (is_address(share) or typed_path(share).is_dir()):
        return False
    with opened(session) as book:
        kept = book.ask(defaults.default, SHARE_FOLDER)
    if not kept:
        remember_folder(session, share)
    return _as_reached(share) == (kept or _as_reached(share))


def _as_reached(share: str) -> str:
    """A place as it is found from any folder, where it is one that is here."""
    if is_address(share):
        return far_address(share)
    return place_called(typed_path(share)) if typed_path(share).is_dir() else share


def remember_folder(session: Session, folder: Path | str) -> None:
    """Share through this folder or address from now on where none is named."""
    place = place_called(folder)
    with opened(session) as book:
        if not book.read_only:
            book.tell(defaults.set_default, SHARE_FOLDER, place)
