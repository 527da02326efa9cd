"""Pages from templates: every value is escaped, and a value that is missing is an error."""

import functools
from importlib import resources
from typing import TYPE_CHECKING

from platebook.practice.text import clean

if TYPE_CHECKING:
    from jinja2 import Environment


STYLE = "report.css"


def fill_template(template: str, **values: object) -> str:
    """A page of `data/` filled with these values, its style inside it."""
    from markupsafe import Markup

    style = Markup(_data(STYLE))  # noqa: S704 - a file of our own
    page = _environment().get_template(template).render(style=style, **values)
    return "\n".join(line.rstrip() for line in page.splitlines()) + "\n"


@functools.cache
def _environment() -> "Environment":
    from jinja2 import DictLoader, Environment, StrictUndefined

    names = ("setter.html.j2", "class.html.j2")
    return Environment(
        loader=DictLoader({name: _data(name) for name in names}),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_cleaned,
    )


def _cleaned(value: object) -> object:
    """What people typed without control and direction signs; markup of ours as it is."""
    return clean(value, multiline=True) if type(value) is str else value


def _data(name: str) -> str:
    return resources.files("platebook.reports").joinpath("data", name).read_text(encoding="utf-8")
