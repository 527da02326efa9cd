"""What the program writes is its owner's alone, but for a bundle in a folder made for sharing."""

import os
from pathlib import Path

import pytest
from tests.cli.shell import Shell

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")


def test_nothing_written_is_readable_by_others(ada: Shell) -> None:
    """Exports, bundles, pages, backups, answers and the logbook, whatever the shell allows."""
    before = os.umask(0)
    try:
        ada.runs("export", "out.csv")
        ada.runs("export", "out.platebook")
        ada.runs("report", "out.html")
        ada.runs("backup", "copy.sqlite")
        ada.runs("findings")
    finally:
        os.umask(before)
    written = list(ada.folder.rglob("*"))
    names = {path.name for path in written}
    open_to_others = sorted(p.name for p in written if p.stat().st_mode & 0o077)
    assert names >= {"out.csv", "out.platebook", "out.html", "copy.sqlite", "logbook.sqlite"}
    assert open_to_others == []


@pytest.mark.parametrize(("folder_mode", "file_mode"), [(0o700, 0o600), (0o755, 0o644)])
def test_a_bundle_has_the_reading_rights_of_its_folder(
    folder_mode: int, file_mode: int, ada: Shell, tmp_path: Path
) -> None:
    """Who may look into the folder may take in what others put there."""
    shared = tmp_path / "class-folder"
    shared.mkdir()
    shared.chmod(folder_mode)
    ada.runs("share", str(shared))
    (bundle,) = shared.glob("*.platebook")
    assert bundle.stat().st_mode & 0o777 == file_mode
