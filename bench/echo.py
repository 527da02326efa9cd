"""How long after a key the terminal shows it: in the app while it works, and in a bare input."""

import time

from textual.app import App, ComposeResult
from textual.widgets import Input

from bench.terminal import PATIENCE, Typed

KEYS = "αβγδεζηθικλμνξοπρστυφχψωбвгджзийклмнптуфцчшщъыьэюя"
"""Letters that stand nowhere else on a screen, each typed once, so that an echo is nothing else."""
READY = b"type-here"


class Bare(App[None]):
    """One input and nothing else, which echoes are compared with."""

    def compose(self) -> ComposeResult:
        """The input."""
        yield Input(placeholder=READY.decode())


def echoes(program: Typed) -> list[float]:
    """Seconds until each of the letters, typed one after the other, was written back."""
    found = []
    for letter in KEYS:
        # What a bar draws meanwhile is not taken for the echo of the next key.
        while program.read():
            pass
        key = letter.encode()
        began = time.perf_counter()
        program.press(key)
        while key not in program.read(PATIENCE):
            pass
        found.append(time.perf_counter() - began)
    return found


if __name__ == "__main__":
    Bare().run()
