"""Files that people name, and files to keep, written whole or not at all: backups, a new course."""

from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path

from platebook.exchange.half_written import half_written
from platebook.exchange.plain_file import NotPlain, plain_file
from platebook.logbook import LogbookError
from platebook.logbook import restore as put_back
from platebook.logbook.file import integrity
from platebook.logbook.file.copies import kept_copies, noted_folder
from platebook.logbook.file.copying import copy_into
from platebook.logbook.file.place import doubtful_place, free_name, put_in_place, shown_name
from platebook.logbook.file.restoring import Restored
from platebook.logbook.history import counters
from platebook.logbook.signing.signatures import signed_count
from platebook.services.backups import note_a_copy
from platebook.services.people.keys import damaged_keys_words
from platebook.services.session import LogbookUnusable, Refused, Session, opened
from platebook.services.sharing.erasings import COPY_DAYS
from platebook.trade.phrases import count_of


def typed_path(typed: str) -> Path:
    """The file that a typed or pasted name means; Refused for a home folder that is nobody's."""
    bare = typed.strip().strip("\"'").removeprefix("file://")
    return with_home(Path(bare.replace("\\ ", " ")))


def with_home(path: Path) -> Path:
    """The path with the home folder for its `~`; Refused for a home folder that is nobody's."""
    try:
        return path.expanduser()
    except RuntimeError as error:
        message = "there is no such home folder on this machine; name the whole path"
        raise Refused(f"{shown_name(path)}: {message}") from error


def wrong_ending(file: Path, expected: str) -> Refused:
    """The refusal of a file whose name says that it is of another kind than the `expected` ones."""
    if not file.suffix:
        return Refused(f"{shown_name(file)}: read a name without an ending, expected {expected}")
    return Refused(f"{shown_name(file)}: read a file named *{file.suffix}, expected {expected}")


HANDED_OVER = ("/dev/stdin", "/dev/fd", "/proc")
"""Where a system has what another program hands over; the rest of /dev may hold any file."""


def read_whole(file: Path) -> bytes:
    """All that stands in a file; Refused, with the reason, where it cannot be read.

    A pipe would keep a reader waiting for ever, so a plain file is asked for; `-` or the system's
    own names for what a program hands over (`/dev/stdin`, `/dev/fd/3`) are where pipes belong.
    """
    handed_over = any(file.is_relative_to(place) for place in HANDED_OVER)
    try:
        if handed_over:
            return file.read_bytes()
        with plain_file(file) as stream:
            return stream.read()
    except NotPlain as error:
        raise Refused(f"{file}: {error}") from error
    except OSError as error:
        raise Refused(f"{shown_name(file)}: {error.strerror}") from error
    except ValueError as error:
        raise Refused(f"{shown_name(file)}: {error}") from error


def write_new(file: Path, text: str) -> None:
    """Write a new file; Refused where the name is taken or the place cannot be written to.

    Line ends are written as the text has them.
    """
    write_new_bytes(file, [text.encode("utf-8")])


def write_new_bytes(file: Path, content: Iterable[bytes]) -> None:
    """The same of bytes, part by part."""
    try:
        with half_written(file, content) as draft:
            put_in_place(draft, file)
    except FileExistsError as error:
        raise Refused(f"{shown_name(file)}: is there already; name another file") from error
    except OSError as error:
        raise Refused(f"{shown_name(file)}: {error.strerror}") from error


def write_anew(file: Path, content: Iterable[bytes], *, mode: int | None = None) -> None:
    """Write a file of one's own whole, over the one it had before; Refused where it cannot be.

    Until it is whole and on the disk the one before stands. Its rights are `mode`.
    """
    try:
        with half_written(file, content, mode=mode) as draft:
            draft.replace(file)
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}. What stood there before still does") from error


def backup(session: Session, target: Path) -> None:
    """Copy the logbook to a new file that was read back and compared before it got its name."""
    with opened(session, make=False) as book:
        try:
            book.ask(copy_into, target)
        except LogbookError as error:
            # The place that was named is wrong, and nothing of the logbook.
            if error.cause not in {"place", "full"}:
                raise
            raise Refused(str(error)) from error
    note_a_copy(session, target)


def restore(session: Session, source: Path, *, with_erased: bool = False) -> Restored:
    """Put a backup in the logbook's place, without whom was erased since it was made.

    `with_erased` brings back those erased in the last thirty days, where that was the mistake.
    Refused for a backup that is not there or cannot be read, as for any file that was named.
    """
    _refuse_unreadable(source)
    since = session.clock() - timedelta(days=COPY_DAYS) if with_erased else None
    copies = [copy.file for copy in kept_copies(noted_folder(session.path))]
    try:
        return put_back(source, session.path, copies=copies, bring_back_since=since)
    except LogbookError as error:
        raise LogbookUnusable(str(error), error.cause) from error


def restored_words(session: Session, source: Path, done: Restored) -> tuple[str, ...]:
    """What was restored, where the logbook of before is, and who of the backup is not in it."""
    said = [f"{session.path}: restored from {source}."]
    if done.kept is not None:
        said.append(f"The logbook that was there is kept as {done.kept}.")
    if done.back:
        are = "is" if done.back == 1 else "are"
        said.append(
            f"{_people(done.back)} erased since this copy {are} back. A share may ask to erase them"
            " again: platebook setter erasures NAME --keep answers that."
        )
    if done.still_erased:
        stay = "stays" if done.still_erased == 1 else "stay"
        still = f"{_people(done.still_erased)} erased since this copy {stay} erased"
        said.append(
            f"{still}, as the erasing is over {COPY_DAYS} days old."
            if done.back
            else f"{still}. Where erasing them was the mistake, platebook restore FILE"
            f" --with-erased brings back whom it took in the last {COPY_DAYS} days."
        )
    return tuple(said)


def _people(count: int) -> str:
    return count_of(count, "person", "people")


def _refuse_unreadable(file: Path) -> None:
    try:
        with plain_file(file) as stream:
            stream.read(1)
    except NotPlain as error:
        raise Refused(f"{shown_name(file)}: {error}. Nothing was changed") from error
    except OSError as error:
        raise Refused(f"{shown_name(file)}: {error.strerror}. Nothing was changed") from error
    except ValueError as error:
        raise Refused(f"{shown_name(file)}: {error}. Nothing was changed") from error


def check(session: Session) -> tuple[str, ...]:
    """What is wrong with the logbook and its keys, a sentence each; empty where all is whole."""
    with opened(session, make=False) as book:
        wrong = book.ask(integrity.problems_in)
        ahead = book.ask(counters.runaway)
        return (*wrong, *((ahead,) if ahead else ()), *damaged_keys_words(book))


def way_back(session: Session, wrong: tuple[str, ...]) -> str | None:
    """What to do about what `check` found; None where each sentence says that itself."""
    with opened(session, make=False) as book:
        say_it = {book.ask(counters.runaway), *damaged_keys_words(book)}
    if not set(wrong) - say_it:
        return None
    return (
        "Better not work on in this logbook: platebook restore lists its copies, and the number of"
        " one puts it in place of this file, which is kept. What was shared since comes back with"
        " the next share."
    )


def unsigned_words(session: Session) -> str | None:
    """A sentence where a part of what was done here is not signed; None where all or none is."""
    with opened(session, make=False) as book:
        count = book.ask(signed_count)
    unsigned = count.revisions - count.signed
    if not count.signed or not unsigned:
        return None
    verb = "is" if unsigned == 1 else "are"
    reasons = {
        "done before this logbook had keys": count.before,
        "done here later, while no key could be read or kept, or written anew without a name": (
            count.since
        ),
        "of others, and taken in so": count.from_others,
    }
    why = [(number, reason) for reason, number in reasons.items() if number]
    said = "; ".join(f"{number} {reason}" if len(why) > 1 else reason for number, reason in why)
    return f"{unsigned} of {count_of(count.revisions, 'revision')} {verb} not signed: {said}."


def doubts_about_place(session: Session) -> str | None:
    """Why the logbook should not lie where it does, in a sentence; None where it may."""
    return doubtful_place(session.path)


def mend(session: Session) -> tuple[str, ...]:
    """Mend what can be mended after keeping a copy; gives what was done, a sentence each.

    Refused where the history does not read as it was saved: numbering anew would hide that.
    """
    with opened(session, make=False) as book:
        if book.ask(counters.runaway) is None:
            return ()
        book.ask(counters.refuse_altered)
        copy = free_name(book.path, "before-mending")
        book.ask(copy_into, copy)
        done = book.tell(counters.mend)
    if done is None:
        return ()
    numbers = f"the highest number was {done.highest_before} and is {done.highest}"
    return (
        f"A copy of the logbook as it was is kept: {shown_name(copy)}",
        f"{count_of(done.changes, 'change')} numbered anew, in the same order: {numbers}.",
        "Nothing else was changed. Share again, and others can take in your bundle.",
    )
