"""The program imports no library that its installation does not bring."""

import ast
import re
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
BROUGHT = {
    "aiobotocore": "s3fs",
    "aiohttp": "textual-serve",
    "aiohttp_jinja2": "textual-serve",
    "httpx": "webdav4",
    "markupsafe": "jinja2",
    "pydantic_core": "pydantic",
}
"""Libraries that come with another one that is declared, by that one."""


def _imported() -> set[str]:
    """The libraries that any line of the program imports, also within a function."""
    names: set[str] = set()
    for file in (ROOT / "src").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                names.add(node.module.split(".")[0])
    return names - sys.stdlib_module_names - {"platebook"}


def test_each_library_that_is_imported_is_declared() -> None:
    """As needed, or with an extra; what only tests have is missing where people install it."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = {k: v for k, v in project["optional-dependencies"].items() if k != "dev"}
    said = [*project["dependencies"], *(one for extra in extras.values() for one in extra)]
    declared = {re.split(r"[\[<>=~! ]", one)[0] for one in said}
    asked = {name: BROUGHT.get(name, name.replace("_", "-")) for name in _imported()}
    assert {name: needs for name, needs in asked.items() if needs not in declared} == {}
