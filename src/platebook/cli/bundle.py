"""A bundle by its suffix: the half of `import` and `export` that is no table."""

from pathlib import Path
from typing import TYPE_CHECKING

from platebook.cli.bar import storing
from platebook.cli.class_ready import make_ready
from platebook.cli.options import print_json, say, tell
from platebook.cli.share import received_keys, received_lines

if TYPE_CHECKING:
    from platebook.services.desk import Desk


def is_bundle(file: Path) -> bool:
    """Whether a file is named as a bundle is."""
    from platebook.exchange.bundle_lines import SUFFIX

    return file.suffix.lower() == SUFFIX


def take_in(desk: "Desk", file: Path, *, everyone: bool, dry_run: bool, as_json: bool) -> None:
    """Take a bundle in and say what came of it."""
    from platebook.cli.pages import wrapped
    from platebook.services.sharing import import_bundle

    with storing(desk, file):
        one, notices = import_bundle(desk, file, everyone=everyone, dry_run=dry_run)
    for notice in notices:
        say(wrapped(f"note: {notice}"))
    if as_json:
        print_json({"stored": not dry_run, **received_keys(one), "notices": list(notices)})
    else:
        tell("\n".join(map(wrapped, received_lines(one, rehearsal=dry_run))))
    if not dry_run:
        make_ready(desk)
    elif not as_json:
        tell("Nothing stored (dry run).")


def hand_on(desk: "Desk", file: Path, *, setter: str | None, as_json: bool) -> None:
    """Write this logbook's bundle, or what it knows about one setter, and say how much that is."""
    from platebook.reports.figures import counted
    from platebook.services.sharing import export_bundle

    about = desk.setter_id if setter is not None else None
    count = export_bundle(desk, file, about=about)
    if as_json:
        print_json({"file": str(file), "revisions": count, "about": about})
        return
    tell(f"{file}: {counted(count, 'revision')}.")
