"""One bundle by itself, as a file that somebody names: taken in, tried, written."""

from pathlib import Path

from platebook.exchange.bundle_draft import BundleDraft
from platebook.exchange.bundle_file import LARGEST_FILE, too_large
from platebook.logbook.bundles.exporting import hand_on
from platebook.services.backups import copy_before
from platebook.services.classes.class_sums import ClassPriors, class_priors
from platebook.services.files import write_new_bytes
from platebook.services.people.doubles import names_borne, two_of_a_name
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Refused, Session, opened
from platebook.services.sharing.places.folder import read_file
from platebook.services.sharing.taking_in import Received, Way, take_bundle
from platebook.services.sharing.who_is_mine import opened_whole, who_is_mine


def import_bundle(
    session: Session,
    file: Path,
    *,
    everyone: bool = False,
    dry_run: bool = False,
    watch: Watch = unwatched,
) -> tuple[Received, tuple[str, ...]]:
    """Take one bundle in, with notices; with `dry_run` the logbook stays as it was."""
    refuse_invented(session)
    with opened(session, rehearsal=dry_run) as book:
        people = names_borne(book)
        if not dry_run:
            copy_before(session, book, "import")
        whole = everyone or opened_whole(session, book)
        mine = who_is_mine(session, book, everyone=whole)
        way = Way(mine, rehearsal=dry_run, watch=watch)
        received = take_bundle(session, book, file.name, read_file(file), way=way)
        return received, two_of_a_name(book, people)


def export_bundle(session: Session, file: Path, *, about: str | None = None) -> int:
    """Write the own bundle, or all that is known about one setter, to a new file.

    Gives how many revisions are in it. One that is there is not written over.
    """
    refuse_invented(session)
    with opened(session, make=False) as book, BundleDraft(session.path.parent) as draft:
        book.ask(hand_on, draft.take, about)
        draft_priors(draft, class_priors(session, book, about=about))
        write_new_bytes(file, draft.chunks())
        return draft.revisions


def draft_priors(draft: BundleDraft, priors: ClassPriors) -> None:
    """Let a bundle that is drafted say what the classes have shown; Refused without room for it."""
    try:
        draft.set_priors(priors)
    except OSError as error:
        raise Refused(
            f"The bundle could not be drafted beside the logbook: {error.strerror}. Make room "
            "there; what has been written of it so far stands."
        ) from error


def unread_words(size: int) -> str | None:
    """A sentence where a bundle of so many bytes is larger than any program reads; None else."""
    if size <= LARGEST_FILE:
        return None
    return (
        f"Your own file {too_large(size)}, so others cannot take it in. Hand on one setter at a "
        "time: platebook export NAME.platebook --setter NAME."
    )


def refuse_invented(session: Session) -> None:
    """Refused for the invented class: nobody who takes it in could tell it from people."""
    if session.invented:
        raise Refused("These people are made up, so their logbook is not exchanged with others'.")
