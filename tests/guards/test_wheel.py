"""What is installed is what is checked out: the wheel carries the courses and every data file."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from tests.patience import PATIENCE

ROOT = Path(__file__).parents[2]


@pytest.mark.slow
def test_the_wheel_holds_courses_and_data(tmp_path: Path) -> None:
    """Every data file of `src/` and every course of `curricula/` is in the wheel."""
    pytest.importorskip("hatchling", reason="building a wheel needs the build backend installed")
    build = "from hatchling.build import build_wheel; import sys; build_wheel(sys.argv[1])"
    subprocess.run(
        [sys.executable, "-c", build, str(tmp_path)], cwd=ROOT, check=True, timeout=PATIENCE
    )
    (wheel,) = tmp_path.glob("*.whl")
    held = set(zipfile.ZipFile(wheel).namelist())
    source = ROOT / "src"
    data = {
        path.relative_to(source).as_posix()
        for path in source.rglob("*")
        if path.is_file() and path.suffix != ".pyc" and "egg-info" not in str(path)
    }
    courses = {f"platebook/curricula/{path.name}" for path in (ROOT / "curricula").glob("*.toml")}
    assert courses
    assert held >= data | courses
