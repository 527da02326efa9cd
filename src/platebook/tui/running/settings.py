"""What is set for the screens of this machine: kept in one small file, never in the logbook.

The file is `settings.json` in the folder where this system keeps settings of programs. One that
cannot be read counts as none, and one that cannot be written changes nothing but that it is not
remembered.
"""

import contextlib
import json
import os
from pathlib import Path

import platformdirs

from platebook.practice.text import json_in
from platebook.values import Value, as_dict, replace

FILE_NAME = "settings.json"


class Settings(Value):
    """`colours` is a set of colours by name, empty for the first; `rest` whether to say when to.

    `method` says whether Findings and Course show how it is judged.
    """

    colours: str = ""
    rest: bool = True
    method: bool = False


def settings_file() -> Path:
    """Where settings are kept on this system."""
    return platformdirs.user_config_path("platebook", appauthor=False) / FILE_NAME


class KeptSettings:
    """The settings and the file that keeps them; without one they last until the program ends."""

    def __init__(self, file: Path | None = None) -> None:
        self.file = file
        self.now = _read(file) if file is not None else Settings()

    def keep(self, settings: Settings) -> None:
        """These from now on, and remembered."""
        self.now = settings
        if self.file is None:
            return
        partial = self.file.with_name(f"{FILE_NAME}.{os.getpid()}.part")
        with contextlib.suppress(OSError):
            self.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            partial.write_text(json.dumps(as_dict(self.now), indent=1), encoding="utf-8")
            partial.replace(self.file)


def _read(file: Path) -> Settings:
    """What the file says of settings that are known, of their kind; the usual ones for the rest."""
    usual = Settings()
    try:
        kept = json_in(file.read_bytes())
    except (OSError, ValueError):
        return usual
    if not isinstance(kept, dict):
        return usual
    known = {
        name: kept[name]
        for name in Settings.__struct_fields__
        if isinstance(kept.get(name), type(getattr(usual, name)))
    }
    return replace(usual, **known)
