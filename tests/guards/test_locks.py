"""The locks name one version of everything that is needed, with its digests, and no registry."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
NEEDED = {
    "run.txt": [*PROJECT["project"]["dependencies"], *PROJECT["build-system"]["requires"]],
    "check.txt": [
        *PROJECT["project"]["dependencies"],
        *PROJECT["build-system"]["requires"],
        *(one for extra in PROJECT["project"]["optional-dependencies"].values() for one in extra),
    ],
}


def _pinned(name: str) -> dict[str, list[Version]]:
    """Every version that a lock names, by package; some differ by the version of Python."""
    found: dict[str, list[Version]] = {}
    text = (ROOT / "locks" / name).read_text("utf-8")
    for package, version in re.findall(r"^([a-z0-9-]+)==([^ ;\\]+)", text, re.MULTILINE):
        found.setdefault(package, []).append(Version(version))
    return found


@pytest.mark.parametrize("name", NEEDED)
def test_every_requirement_is_locked_at_a_version_it_admits(name: str) -> None:
    """`make lock` was run since the last change of what is needed."""
    pinned = _pinned(name)
    missing = [
        text
        for text in NEEDED[name]
        for wanted in [Requirement(text)]
        if not pinned.get(wanted.name.lower().replace("_", "-"))
        or not all(
            version in wanted.specifier for version in pinned[wanted.name.lower().replace("_", "-")]
        )
    ]
    assert missing == []


@pytest.mark.parametrize("name", NEEDED)
def test_each_version_has_digests_and_no_address(name: str) -> None:
    """What is installed is what was locked, from whatever registry pip is set up with."""
    text = (ROOT / "locks" / name).read_text("utf-8")
    blocks = re.split(r"\n(?=[a-z0-9])", text.strip())
    assert [block for block in blocks if "--hash=sha256:" not in block] == []
    assert ("://" in text, "index" in text) == (False, False)


def test_both_locks_agree() -> None:
    """Who only runs the program has the versions that were tested."""
    run, check = _pinned("run.txt"), _pinned("check.txt")
    assert run == {name: check[name] for name in run}
