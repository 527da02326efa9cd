"""One row of the table of commands: its keys, its name, what it says and where it works."""

from platebook.practice.results import RESULT_KEYS
from platebook.values import Value

LEAVES = "app.leave"
DIGITS = tuple("0123456789")
LETTERS = tuple(key for key in RESULT_KEYS if key not in DIGITS)
"""Keys of the defects beyond those that the digits say."""

KEY_NAMES = {
    "question_mark": "?",
    "slash": "/",
    "plus": "+",
    "equals_sign": "=",
    "full_stop": ".",
    "asterisk": "*",
    "escape": "Esc",
    "enter": "Enter",
    "backspace": "Bksp",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pageup": "Page up",
    "pagedown": "Page down",
    "home": "Home",
    "end": "End",
    "space": "Space",
}


class Command(Value):
    """One thing a person can ask for by key, by mouse on the key line, or in the palette.

    `places` names the screens where it works, `foot` is its rank in the key line (0 = not shown
    there), `{key}` in an action stands for the key that was pressed, and `title` is its name in the
    palette where the label is too short to be found by. It `opens_line` where what is typed after
    it is meant for a line that it opens, on its screen or another, or for what comes after one.
    """

    action: str
    keys: tuple[str, ...]
    label: str
    says: str
    places: tuple[str, ...]
    foot: int = 0
    title: str = ""
    opens_line: bool = False

    @property
    def key_text(self) -> str:
        """The keys as a person reads them: "?, F1"."""
        if self.keys[: len(DIGITS)] == DIGITS:
            letters = (key for key in self.keys[len(DIGITS) :] if len(key) == 1)
            return ", ".join(("0 … 9", *letters))
        return ", ".join(key_text(key) for key in self.keys)


def key_text(key: str) -> str:
    """One key as a person reads it."""
    if key in KEY_NAMES:
        return KEY_NAMES[key]
    if key.startswith("ctrl+"):
        return f"Ctrl+{key_text(key.removeprefix('ctrl+')).upper()}"
    return key.upper() if len(key) > 1 else key


def character_of(key: str) -> str | None:
    """The sign that a key types; None where it types none."""
    sign = KEY_NAMES.get(key, key)
    return sign if len(sign) == 1 and sign.isascii() else None


def leads_elsewhere(command: Command) -> bool:
    """Whether a key typed after it is meant for the line or the screen that it opens."""
    return command.opens_line or (command.action.startswith("app.") and command.action != LEAVES)


def is_f_key(key: str) -> bool:
    """Whether it is an F-key, which works while something is typed too."""
    return key[:1] == "f" and key[1:].isdecimal()


def says_nothing(key: str) -> str:
    """What a person is told of a key that means nothing where they are."""
    return f"{key} does nothing here."
