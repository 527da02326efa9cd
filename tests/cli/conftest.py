"""One logbook a test, and one season that tests only read."""

from pathlib import Path
from typing import Any

import pytest
from tests.cli.shell import Shell, with_a_season, with_ada


@pytest.fixture
def shell(tmp_path: Path) -> Shell:
    """A shell without a logbook yet."""
    return Shell(tmp_path)


@pytest.fixture
def ada(tmp_path: Path) -> Shell:
    """A shell with Ada in use, a seat bur in her drawer and no attempt."""
    return with_ada(tmp_path)


@pytest.fixture(scope="session")
def season(tmp_path_factory: pytest.TempPathFactory) -> Shell:
    """A shell with 64 attempts of Ada's, only to be read."""
    return with_a_season(tmp_path_factory.mktemp("season"))


@pytest.fixture(scope="session")
def found(season: Shell) -> dict[str, Any]:
    """What goes with Ada's failures, asked once because it takes a while."""
    return season.answers("findings")
