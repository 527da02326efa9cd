"""Words that must not stand in the project: machine paths, package registries' hosts."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FORBIDDEN = re.compile(
    r"/wo[r]k/|/fa[r]m/|pypi\.or[g]|pythonhosted\.or[g]|npmjs\.(?:com|or[g])|deb\.debian\.or[g]"
)


def _tracked() -> list[Path]:
    done = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    return [ROOT / name for name in done.stdout.split("\0") if name]


def test_no_file_names_a_machine_path_or_a_registry() -> None:
    """What a checkout holds is true on every machine."""
    files = _tracked()
    if not files:
        pytest.skip("not a git checkout: there is no list of files to look through")
    hits = []
    for path in files:
        if not path.is_file():
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        hits += [
            f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}"
            for number, line in enumerate(text.splitlines(), 1)
            if FORBIDDEN.search(line)
        ]
    assert hits == []
