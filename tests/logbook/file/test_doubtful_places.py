"""Where a logbook must not lie: on another machine, in a folder that is copied elsewhere."""

from pathlib import Path, PureWindowsPath

import pytest

from platebook.logbook import LogbookError
from platebook.logbook.file.place import doubtful_place, refuse_network_path

MOUNTS = """/dev/sda1 / ext4 rw 0 0
server:/class /srv/class nfs4 rw 0 0
//server/work /srv/my\\040work cifs rw 0 0
tmpfs /tmp tmpfs rw 0 0
"""


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("/home/ada/logbook.sqlite", None),
        ("/tmp/logbook.sqlite", None),  # noqa: S108 - only a name
        ("/srv/class/ada/logbook.sqlite", "on another machine's disk (nfs4)"),
        ("/srv/my work/logbook.sqlite", "on another machine's disk (cifs)"),
        ("/home/ada/Dropbox/bench/logbook.sqlite", "in /home/ada/Dropbox, which another program"),
        ("/home/ada/OneDrive - School/logbook.sqlite", "copies between machines"),
    ],
)
def test_a_place_that_can_cost_the_logbook_is_told(path: str, words: str | None) -> None:
    """By the names of folders and the table of mounts; nothing is said of any other place."""
    told = doubtful_place(Path(path), MOUNTS)
    assert (told is None) if words is None else (told is not None and words in told)


def test_a_folder_with_a_mark_of_syncing_is_told(tmp_path: Path) -> None:
    """Such programs leave a mark at the top of what they copy."""
    (tmp_path / ".stfolder").mkdir()
    told = doubtful_place(tmp_path / "bench" / "logbook.sqlite", MOUNTS)
    assert told is not None
    assert str(tmp_path) in told


def test_a_network_path_is_refused_in_words() -> None:
    """As Windows writes one; a drive with a letter passes."""
    with pytest.raises(LogbookError, match="would lie on another machine") as caught:
        refuse_network_path(PureWindowsPath("//server/class/logbook.sqlite"))
    assert caught.value.cause == "place"
    refuse_network_path(PureWindowsPath("C:/Users/ada/logbook.sqlite"))
