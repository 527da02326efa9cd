"""Settings: how the screens of this machine are, each with what it is now; Enter changes one."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult

from platebook.trade.setup_sheet import SetUpSheet
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.keys.command import key_text
from platebook.tui.messages import Answered
from platebook.tui.parts.colour_sample import ColourSample, example_sizes
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import PickList, Words
from platebook.tui.running.as_set_app import REST_KEY, AsSetApp
from platebook.tui.running.rest_nudge import SAYS

REMEMBERED = "Kept for this machine in {file}."
NOT_KEPT = "Kept until the program ends."
NOT_TO_CHOOSE = (
    "Nothing to choose: sizes are shown in millimetres, and typed as you like (1.98, .078 in, 20 "
    "ga, #60). Days are written 5 November 2026 in sentences and 2026-11-05 in tables."
)
RESTS = {
    True: f"Said after 25 minutes: {SAYS.format(key=key_text(REST_KEY))}",
    False: "Nothing is said, however long you work at a stretch.",
}
METHODS = {
    True: (
        "Findings has under each one what it rests on, and what could not be judged and why; "
        "Course how likely its points pass somebody."
    ),
    False: "Findings and Course do without it; m opens how it is judged.",
}
"""What a setting comes to, by its value."""
HOW = "Enter takes the next of it."
YES, NO = "yes", "no"
COLOURS = {"bench": "dark", "daylight": "daylight", "high contrast": "high contrast"}
"""What our own sets of colours are called; one of the terminal's goes by its own name."""


class SettingsScreen(ListScreen[None]):
    """A line a setting, with what it does below; `kept` is the app, which keeps them."""

    PLACE: ClassVar[str] = "settings"
    DEFAULT_CSS = """
    SettingsScreen {
        PickList { height: 5; padding: 1 1; max-width: 78; }
        #sample { height: auto; max-width: 76; padding: 0 1; }
        #about { height: auto; max-width: 76; padding: 0 1; margin: 0 0 1 0; }
    }
    """

    class Sized(Answered[SetUpSheet]):
        """The sizes of the example."""

    def __init__(self, session: BenchSession, kept: AsSetApp) -> None:
        super().__init__(session)
        self.kept = kept

    def body(self) -> ComposeResult:
        """The settings, and what the one marked does."""
        yield Headline()
        yield PickList()
        yield Words(id="about")
        yield Words(id="sample")
        yield ColourSample()

    def start(self) -> None:
        """Show them as they are, and what the first of them changes."""
        self.show()
        self.ask(example_sizes, self.Sized)

    @on(Sized)
    def show_example(self, event: Sized) -> None:
        """The seat in section, in the colours that are set."""
        self.query_one(ColourSample).show_seat(event.value)

    def show(self) -> None:
        """Every setting with its value of now, and what the one marked does."""
        set_to = self.kept.settings.now
        listed = self.query_one(PickList)
        listed.rows = [
            ("Colours", COLOURS.get(self.kept.theme, self.kept.theme)),
            ("Say after 25 minutes that it is time to rest", _yes_no(set_to.rest)),
            ("Show in Findings and Course how it is judged", _yes_no(set_to.method)),
        ]
        file = self.kept.settings.file
        keys = ("F9", "F10", "m in Findings and in Course")
        name, value = listed.rows[listed.marked]
        same = f"{HOW} {keys[listed.marked]} does the same anywhere."
        if listed.marked == len(listed.rows) - 1:
            same = f"{HOW} {keys[-1]} does the same."
        self.query_one(Headline).show(Head(txt(f"{name}: {value}"), txt(same)))
        self.query_one("#about", Words).show(
            stack(
                txt(REMEMBERED.format(file=file) if file is not None else NOT_KEPT, "$muted"),
                txt(""),
                txt(NOT_TO_CHOOSE, "$muted"),
            )
        )
        self.query_one(ColourSample).display = not listed.marked
        shown = ("", RESTS[set_to.rest], METHODS[set_to.method])[listed.marked]
        self.query_one("#sample", Words).say(txt(shown))

    @on(PickList.Marked)
    def show_marked(self) -> None:
        """What the one marked does."""
        self.show()

    def action_change(self) -> None:
        """The next value of the one marked."""
        marked = self.query_one(PickList).marked
        if marked == 0:
            self.kept.action_next_theme()
        elif marked == 1:
            self.kept.keep_set(rest=not self.kept.settings.now.rest)
        else:
            self.kept.keep_set(method=not self.kept.settings.now.method)
        self.show()

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


def _yes_no(so: bool) -> str:  # noqa: FBT001 - a setting's own value
    return YES if so else NO
