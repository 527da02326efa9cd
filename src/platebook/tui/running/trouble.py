"""When something did not work: the window that says so, and the steps of it in a log file."""

import contextlib
import traceback
from datetime import datetime
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from platebook.tui.commands import bindings_for
from platebook.tui.parts.text import stack, txt

KEPT = "Nothing was lost: what is being typed is kept as a draft."
NOT_KEPT = "The disk does not take what is being typed either: leave it on the screen till it does."


class TroubleScreen(ModalScreen[bool]):
    """A window with the sentence; it answers whether to try again."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("trouble")]
    DEFAULT_CSS = """
    TroubleScreen { align: center middle; }
    TroubleScreen > Vertical {
        width: 68; height: auto; padding: 1 2;
        background: $surface; border: round $warning; border-title-color: $warning;
    }
    TroubleScreen Static { height: auto; margin: 0 0 1 0; }
    """

    def __init__(self, sentence: str, cause: str, *, kept: bool = True) -> None:
        """`kept` says whether what is being typed is on the disk."""
        super().__init__()
        self.sentence, self.cause, self.kept = sentence, cause, kept

    def compose(self) -> ComposeResult:
        """The sentence, the cause as a short word, and the ways on."""
        with Vertical() as window:
            window.border_title = txt("That did not work")
            yield Static(stack(txt(self.sentence), txt(self.cause and f"({self.cause})")))
            yield Static(txt(KEPT if self.kept else NOT_KEPT))
            yield Static(txt("Enter tries again, Esc goes back, Ctrl+Q leaves.", "$muted"))

    def action_again(self) -> None:
        """Try again."""
        self.dismiss(result=True)

    def action_close(self) -> None:
        """Go back as it is."""
        self.dismiss(result=False)


def write_log(log_file: Path | None, error: Exception) -> None:
    """Where it went wrong, line by line, without values; nothing where there is no file."""
    if log_file is None:
        return
    steps = traceback.extract_tb(error.__traceback__)
    lines = [f"{datetime.now().astimezone():%Y-%m-%d %H:%M:%S} {type(error).__name__}"]
    lines += [f"  {step.filename}:{step.lineno} {step.name}" for step in steps]
    with contextlib.suppress(OSError):
        log_file.parent.mkdir(parents=True, exist_ok=True)
        with log_file.open("a", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")
