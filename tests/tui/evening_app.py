"""The app on an evening's services with drafts on disk, to be driven in a pseudo-terminal.

Run as `python -m tests.tui.evening_app FOLDER`; saved rows go to FOLDER/saved.jsonl.
"""

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.tui.fakes import ServicesOfAnEvening

from platebook.services.drafts import Drafts
from platebook.tui.app import BenchApp


class ServicesOnDisk(ServicesOfAnEvening):
    """An evening whose drafts and saved rows outlive the process."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.on_disk = Drafts(folder / "drafts")

    def record(self, row: Mapping[str, object]) -> Any:
        """Append the row."""
        with (self.folder / "saved.jsonl").open("a", encoding="utf-8") as file:
            file.write(json.dumps(dict(row)) + "\n")
        return self.recorded

    def drafts(self) -> Any:
        """The real keeper of drafts."""
        return self.on_disk


def main() -> int:
    """Run until the person, or a signal, ends it."""
    folder = Path(sys.argv[1])
    app = BenchApp(ServicesOnDisk(folder), log_file=folder / "platebook.log")
    app.run()
    return app.return_code or 0


if __name__ == "__main__":
    sys.exit(main())
