"""The smallest app there can be, which first paint and memory are compared with."""

from textual.app import App, ComposeResult
from textual.widgets import Static


class Hello(App[None]):
    """One line."""

    def compose(self) -> ComposeResult:
        """The line."""
        yield Static("hello-on-screen")


if __name__ == "__main__":
    Hello().run()
