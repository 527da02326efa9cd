"""What a setter keeps down beside the record: columns of their own, and answers about their sheets.

Both are records like the others: they travel in bundles with the setter, go where the setter's
attempts go when two entries are made one, are erased with the person, and an import that brought
them is taken back with them.
"""

from collections.abc import Iterable
from typing import Literal

from pydantic import Field

from platebook.practice.courses.course import ExtraField
from platebook.trade.records import CheckedValue


class OwnField(CheckedValue):
    """One column of a setter's own: its name in the record, its type, its words for people."""

    own_field_id: str | None = None
    setter_id: str
    name: str = Field(min_length=1)
    type: Literal["text", "integer", "number", "length", "choice", "yes/no"]
    meaning: str = ""
    choices: tuple[str, ...] = ()


class SheetAnswers(CheckedValue):
    """What a setter answered about sheets of one kind.

    `headings` is a digest of the sheet's headings, `answers` the TOML of the answers.
    """

    sheet_answers_id: str | None = None
    setter_id: str
    headings: str = Field(min_length=1)
    answers: str


def united(kept: Iterable[OwnField]) -> tuple[ExtraField, ...]:
    """The columns by name, as fields that are asked, shown and judged.

    A name may be there twice, where two entries of one person were made one or two logbooks met:
    lists of choices are united, and two types together are text.
    """
    fields: dict[str, ExtraField] = {}
    for own in kept:
        field = ExtraField(
            name=own.name, type=own.type, meaning=own.meaning or own.name, choices=own.choices
        )
        known = fields.get(own.name)
        if known is not None:
            choices = tuple(dict.fromkeys((*known.choices, *own.choices)))
            changes: dict[str, object] = {"choices": choices}
            if known.type != own.type:
                changes = {"type": "text", "choices": ()}
            field = known.model_copy(update=changes)
        fields[own.name] = field
    return tuple(fields.values())
