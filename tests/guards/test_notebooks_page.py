"""The page for notebooks: its example runs, and says what the program says."""

import contextlib
import io
import re
from pathlib import Path

import pytest
from tests.cli.shell import with_a_season

PAGE = Path(__file__).parents[2] / "docs" / "notebooks.md"


def test_the_example_runs_and_agrees(tmp_path: Path) -> None:
    """Logbook to data frame in three lines; the counts are those of the finding."""
    pytest.importorskip("pandas")
    with_a_season(tmp_path)
    code = "\n".join(re.findall(r"```python\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL))
    names: dict[str, object] = {}
    out = io.StringIO()
    with contextlib.chdir(tmp_path), contextlib.redirect_stdout(out):
        exec(compile(code, "notebooks.md", "exec"), names)  # noqa: S102 - our own page
    said = re.findall(r"```\n(Loose.*?)\n```", PAGE.read_text("utf-8"))
    first, second, third = out.getvalue().splitlines()
    assert [first] == said
    assert re.sub(r"np\.int64\((\d+)\)", r"\1", second).startswith("[[8, 10], [0, 46]] 0.0")
    assert third.startswith("[(")
