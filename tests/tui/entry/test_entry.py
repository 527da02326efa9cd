"""An attempt while it is filled in: what a draft of it keeps, and what is no draft of one."""

import json

import pytest
from hypothesis import given
from tests.tui.entries import KEYS, started, typed

from platebook.tui.entry.entry import (
    from_draft,
    to_draft,
)


@given(KEYS)
def test_a_draft_gives_back_the_same_entry(keys: str) -> None:
    """What the draft file holds is the whole entry, through JSON."""
    entry = typed(started(), keys)
    assert from_draft(json.loads(json.dumps(to_draft(entry)))) == entry


@pytest.mark.parametrize("draft", [{}, {"readings": 3}, {"readings": [], "others": []}])
def test_a_draft_of_something_else_is_no_entry(draft: dict[str, object]) -> None:
    """A file that holds no entry gives None instead of a fault."""
    assert from_draft(draft) is None
