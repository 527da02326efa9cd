"""What all tests share: one thread for linear algebra, compiled modules, one invented class."""

import os
import shutil
import sys
from pathlib import Path

import pytest
from filelock import FileLock
from hypothesis import HealthCheck, settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Pictures of screens are those of a terminal with 16 colours, whatever terminal the tests run in.
os.environ["TEXTUAL_COLOR_SYSTEM"] = "standard"

# Where Python is told to keep nothing compiled, each program that a test starts compiles all anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# How long an example takes says how busy the machine is, not whether the program is right.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")


@pytest.fixture(scope="session")
def kept_class(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that `demo --keep` filled, once for all workers; only to be copied.

    What it printed lies beside it, with the ending `.said`.
    """
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "kept-class"
    with FileLock(folder.with_suffix(".lock")):
        if not folder.exists():
            making = folder.with_suffix(".making")
            shutil.rmtree(making, ignore_errors=True)
            said = _demo_kept_in(making)
            folder.with_suffix(".said").write_text(said, encoding="utf-8")
            making.rename(folder)
    return folder


def _demo_kept_in(folder: Path) -> str:
    from click.testing import CliRunner

    from platebook.cli.main import main

    done = CliRunner().invoke(main, ["demo", "--keep", str(folder)], catch_exceptions=False)
    assert done.exit_code == 0, done.stderr
    return done.output


@pytest.fixture
def invented_class(kept_class: Path, tmp_path: Path) -> Path:
    """A logbook of the invented class, the test's own."""
    shutil.copytree(kept_class, tmp_path, dirs_exist_ok=True)
    return tmp_path / "invented-class.sqlite"
