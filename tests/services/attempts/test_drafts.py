"""Drafts outlive the program, and a living window's draft is nobody else's."""

import subprocess
import sys
from pathlib import Path

from platebook.services.attempts.drafts import Drafts, Owner

DIE_WITH_A_DRAFT = """
import os, signal, sys
from pathlib import Path
from platebook.services.attempts.drafts import Drafts
Drafts(Path(sys.argv[1])).save({"values": {"note": "half typed"}}, sync=True)
os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_draft_left_by_a_killed_program_is_found(tmp_path: Path) -> None:
    """Killing with -9 in the middle of typing loses nothing."""
    subprocess.run([sys.executable, "-c", DIE_WITH_A_DRAFT, str(tmp_path)], check=False)
    assert Drafts(tmp_path).load() == {"values": {"note": "half typed"}}


ADA, BRAM = Owner("s1", "Ada"), Owner("s2", "Bram")
DIE_AS_ADA = DIE_WITH_A_DRAFT.replace("import Drafts", "import Drafts, Owner").replace(
    "Path(sys.argv[1]))", "Path(sys.argv[1]), Owner('s1', 'Ada'))"
)


def test_a_draft_is_its_owners_and_nobody_elses(tmp_path: Path) -> None:
    """Who sits down next is told that it waits and whose it is; it is still there for its owner."""
    subprocess.run([sys.executable, "-c", DIE_AS_ADA, str(tmp_path)], check=False)
    brams = Drafts(tmp_path, BRAM)
    assert (brams.load(), brams.waiting_for_others()) == (None, ("Ada",))
    adas = Drafts(tmp_path, ADA)
    assert adas.waiting_for_others() == ()
    assert adas.load() == {"values": {"note": "half typed"}}


def test_at_a_shared_bench_a_draft_waits_for_who_began_it(tmp_path: Path) -> None:
    """One window, two people in turn: each goes on with their own, and clears only that."""
    drafts = Drafts(tmp_path, ADA)
    drafts.save({"note": "Ada's"}, sync=True)
    drafts.hand_over(BRAM)
    assert (drafts.load(), drafts.waiting_for_others()) == (None, ("Ada",))
    drafts.save({"note": "Bram's"})
    drafts.hand_over(ADA)
    assert drafts.load() == {"note": "Ada's"}
    drafts.clear()
    drafts.hand_over(BRAM)
    assert drafts.load() == {"note": "Bram's"}


def test_a_draft_of_an_older_program_is_anybodys(tmp_path: Path) -> None:
    """It says nobody's name."""
    (tmp_path / "0.draft.json").write_text('{"note": "old"}', encoding="utf-8")
    drafts = Drafts(tmp_path, BRAM)
    assert (drafts.waiting_for_others(), drafts.load()) == ((), {"note": "old"})


def test_a_living_windows_draft_is_left_alone(tmp_path: Path) -> None:
    """A second window is not offered what the first one is still typing."""
    first = Drafts(tmp_path)
    first.save({"note": "mine"})
    assert Drafts(tmp_path).load() is None


def test_a_taken_over_draft_is_offered_once(tmp_path: Path) -> None:
    """The first window to start takes the orphan; the second finds nothing."""
    subprocess.run([sys.executable, "-c", DIE_WITH_A_DRAFT, str(tmp_path)], check=False)
    taker = Drafts(tmp_path)
    taker.load()
    assert Drafts(tmp_path).load() is None


def test_a_cleared_draft_is_gone(tmp_path: Path) -> None:
    """After saving the attempt there is nothing to restore, and no file stays behind."""
    drafts = Drafts(tmp_path)
    drafts.save({"note": "x"})
    drafts.clear()
    assert list(tmp_path.iterdir()) == []


def test_a_half_written_draft_is_passed_over(tmp_path: Path) -> None:
    """A file that is no draft is neither offered nor touched."""
    broken = tmp_path / "0.draft.json"
    broken.write_text('{"note": ', encoding="utf-8")
    assert Drafts(tmp_path).load() is None
    assert broken.read_text(encoding="utf-8") == '{"note": '


def test_saving_again_replaces_the_draft(tmp_path: Path) -> None:
    """The newest keystroke is the one that stands."""
    subprocess.run(
        [
            sys.executable,
            "-c",
            DIE_WITH_A_DRAFT.replace(
                "os.kill", "Drafts(Path(sys.argv[1])).save({'note': 'other'}); os.kill"
            ),
            str(tmp_path),
        ],
        check=False,
    )
    found = Drafts(tmp_path)
    assert {str(found.load()), str(found.load())} == {
        str({"note": "other"}),
        str({"values": {"note": "half typed"}}),
    }
