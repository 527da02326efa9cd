"""What a fresh interpreter loads: a light `--help`, and no statistics before they are asked for."""

import subprocess
import sys
from pathlib import Path

import pytest
from tests.patience import PATIENCE

HEAVY = ("msgspec", "pydantic", "sqlite_utils", "textual", "numpy", "scipy", "plotext", "sqlite3")


def _loaded_after(code: str, *, whole: bool = False) -> set[str]:
    """Top-level modules in `sys.modules` of a new interpreter after running this code.

    `whole` gives the names of all modules, with their packages.
    """
    part = "m" if whole else "m.partition('.')[0]"
    probe = f"{code}\nimport sys\nprint(*sorted({{{part} for m in sys.modules}}))"
    done = subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True, timeout=PATIENCE
    )
    return set(done.stdout.splitlines()[-1].split())


def test_help_loads_nothing_heavy() -> None:
    """`platebook --help` answers without the libraries that do the work."""
    code = (
        "from platebook.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass"
    )
    assert _loaded_after(code).isdisjoint(HEAVY)


def test_the_app_paints_before_anything_heavy_is_there() -> None:
    """What its first screen imports is the terminal's library, and what values are made with."""
    loaded = _loaded_after("import platebook.cli.start, platebook.tui.app")
    assert loaded.intersection(HEAVY) == {"textual", "msgspec"}
    assert "click" not in loaded  # it reads words, and none was typed


def test_the_next_exercise_loads_only_what_it_rests_on(invented_class: Path) -> None:
    """Nothing that signs, erases, locks, copies, makes tables or says what goes with failure."""
    code = (
        "from platebook.services.now.now_view import now\n"
        "from platebook.services.session import session_at\n"
        f"assert now(session_at({str(invented_class)!r})).exercise_title"
    )
    loaded = _loaded_after(code, whole=True)
    assert loaded.isdisjoint({"filelock", "cryptography", "platebook.services.backups"})
    assert loaded.isdisjoint({"sqlite_utils", "click"})
    rooms = {tuple(name.split(".")[1:3]) for name in loaded if name.startswith("platebook.")}
    assert {("logbook", "file"), ("analysis", "measurements")} <= rooms
    assert rooms.isdisjoint(
        {("logbook", "signing"), ("logbook", "erasures"), ("analysis", "findings")}
    )


@pytest.mark.parametrize("package", ["trade", "practice"])
def test_facts_and_records_load_no_arrays(package: str) -> None:
    """Sizes and records are plain arithmetic; nothing there waits for numpy."""
    assert _loaded_after(f"import platebook.{package}").isdisjoint({"numpy", "scipy", "textual"})
