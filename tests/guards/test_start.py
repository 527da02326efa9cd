"""What a fresh interpreter loads: a light `--help`, and no statistics before they are asked for."""

import subprocess
import sys

import pytest
from tests.patience import PATIENCE

HEAVY = ("pydantic", "sqlite_utils", "textual", "numpy", "scipy", "plotext", "sqlite3")


def _loaded_after(code: str) -> set[str]:
    """Top-level modules in `sys.modules` of a new interpreter after running this code."""
    probe = f"{code}\nimport sys\nprint(*sorted({{m.partition('.')[0] for m in sys.modules}}))"
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
    """What its first screen imports is the terminal's library and plain values."""
    heavy = _loaded_after("import platebook.tui.app").intersection(HEAVY)
    assert heavy == {"textual"}


@pytest.mark.parametrize("package", ["trade", "practice"])
def test_facts_and_records_load_no_arrays(package: str) -> None:
    """Sizes and records are plain arithmetic; nothing there waits for numpy."""
    assert _loaded_after(f"import platebook.{package}").isdisjoint({"numpy", "scipy", "textual"})
