"""The app on an evening's session with drafts on disk, to be driven in a pseudo-terminal.

Run as `python -m tests.tui.evening_app FOLDER [sizes | bram]`; saved rows go to FOLDER/saved.jsonl.
With `sizes` four lengths are read of each stone; with `bram` it is Bram who sits there.
SIGUSR1 lets the event loop stand still for a while.
"""

import json
import signal
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.tui.fakes import SessionOfAnEvening
from tests.tui.sizes import sizes_asked

from platebook.services.attempts.drafts import Drafts, Owner
from platebook.services.attempts.recording import Recorded
from platebook.tui.app import BenchApp

STALL_S = 0.5


class SessionOnDisk(SessionOfAnEvening):
    """An evening whose drafts and saved rows outlive the process."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.on_disk = Drafts(folder / "drafts")

    def _record(self, rows: Sequence[Mapping[str, object]], *, as_typed: bool) -> Recorded:
        assert as_typed, "the screens show and ask everything themselves"
        with (self.folder / "saved.jsonl").open("a", encoding="utf-8") as file:
            file.writelines(json.dumps(dict(row)) + "\n" for row in rows)
        return self.recorded

    def drafts(self) -> Any:
        """The real keeper of drafts, of whoever sits there."""
        self.on_disk.hand_over(Owner(self.setter_id, self.setter))
        return self.on_disk


def main() -> int:
    """Run until the person, or a signal, ends it."""
    folder = Path(sys.argv[1])
    session = SessionOnDisk(folder)
    signal.signal(signal.SIGUSR1, lambda *_: time.sleep(STALL_S))
    if sys.argv[2:] == ["sizes"]:
        session.view = sizes_asked().view
    if sys.argv[2:] == ["bram"]:
        session.setter, session.setter_id = "Bram Osk", "s2"
    app = BenchApp(session, log_file=folder / "platebook.log")
    app.run()
    return app.return_code or 0


if __name__ == "__main__":
    sys.exit(main())
