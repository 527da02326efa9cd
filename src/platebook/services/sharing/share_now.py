"""Sharing from the bench: through the place that is remembered, or the one that was typed."""

from pathlib import Path

from platebook.services.files import typed_path
from platebook.services.session import Session
from platebook.services.sharing.erasings import asked_words
from platebook.services.sharing.outcome_words import came_words, outcome_lines
from platebook.services.sharing.places.place import is_address
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.share_progress import ShareProgress
from platebook.services.sharing.start_files import kept_folder, remember_folder
from platebook.services.sharing.unsigned import left_out_words


def share_now(session: Session, typed: str, progress: ShareProgress) -> tuple[str, ...]:
    """Share through the place that was typed, which is remembered; what came of it, in sentences.

    The first says the whole in short. What waits for an answer is named at the end, with where to
    answer it.
    """
    named = typed.strip()
    place: Path | str = named if is_address(named) else typed_path(named)
    if not named:
        # Enter may be quicker than the answer where was shared last.
        place = kept_folder(session)
    done = share(session, place, progress=progress)
    remember_folder(session, place)
    lines = [came_words(done), *outcome_lines(done, by_key=True)]
    lines += [left.sentence for left in done.unread]
    lines += done.notices
    lines += [
        f"{asked_words(asked)} Answer it with b, who is at the bench." for asked in done.erasings
    ]
    lines += [
        f"{left_out_words(left)} Answer it with b, who is at the bench." for left in done.left_out
    ]
    lines += [f"{course.sentence} Answer it with c, the course." for course in done.courses]
    return tuple(lines)
