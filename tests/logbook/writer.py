"""A program that writes attempts until it is killed; it writes out an id once it is saved.

python writer.py LOGBOOK SETTER_ID ROWS
"""

import sys
from datetime import UTC, datetime

from platebook.logbook import open_logbook
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt

NOW = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)


def main() -> None:
    """Write a change of ROWS attempts again and again."""
    path, setter_id, rows = sys.argv[1:]
    attempts = [Attempt(setter_id=setter_id, began=NOW, note="x" * 100)] * int(rows)
    with open_logbook(path) as book:
        while True:
            ids = book.tell(add_attempts, attempts, book.stamp("writer", NOW, "record"))
            sys.stdout.write(f"{ids[0]}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
