"""A light start: only Textual before the first paint, nothing heavy until it is asked for."""

import subprocess
import sys

from tests.patience import PATIENCE

HEAVY = {
    "numpy",
    "openpyxl",
    "plotext",
    "pydantic",
    "pydantic_core",
    "scipy",
    "sqlite3",
    "sqlite_utils",
}
PROBE = """
import asyncio, sys
from platebook.tui.app import BenchApp
from platebook.tui.bench_session import BenchSession

async def main():
    app = BenchApp(BenchSession(lambda: None))
    app.open_session = lambda: None
    async with app.run_test():
        pass
    return sorted({name.partition(".")[0] for name in sys.modules})

print(*asyncio.run(main()))
"""


def test_the_first_paint_loads_textual_only() -> None:
    """A fresh interpreter has painted Now before pydantic, numpy or the logbook are imported."""
    done = subprocess.run(
        [sys.executable, "-c", PROBE], capture_output=True, text=True, check=True, timeout=PATIENCE
    )
    assert HEAVY.isdisjoint(done.stdout.split())
