"""Lists of names as people have them."""

from io import BytesIO

import pytest
from openpyxl import Workbook

from platebook.exchange.name_list import names_in


@pytest.mark.parametrize(
    "text",
    [
        "Ada Quill\nBram Osk\n",
        "\n  Ada Quill \n\nBram Osk",
        "name\nAda Quill\nBram Osk\n",
        "No.,Student,Mail\n1,Ada Quill,a@b\n2,Bram Osk,\n",
        "Schülerin;Name\n1;Ada Quill\n2;Bram Osk\n",
        "First name\tLast name\nAda\tQuill\nBram\tOsk\n",
        "Quill, Ada\nOsk, Bram\n",
        "Ada Quill,\nBram Osk,\n,\n",
    ],
)
def test_names_are_found_however_a_list_has_them(text: str) -> None:
    """One a line, in a column of a table, in two columns, turned round."""
    assert names_in(text.encode("utf-8"), workbook=False) == (("Ada Quill", "Bram Osk"), None)


def test_a_workbook_is_read_as_a_table() -> None:
    """Its first sheet."""
    book, data = Workbook(), BytesIO()
    page = book.active
    assert page is not None
    for row in (("Thursday",), ("Nr", "Student"), (1, "Ada Quill"), (2, "Bram Osk")):
        page.append(row)
    book.save(data)
    names, problem = names_in(data.getvalue(), workbook=True)
    assert (names, problem) == (("Ada Quill", "Bram Osk"), None)


@pytest.mark.parametrize("data", [b"", b"\n\n", b"name\n", b"\xff\xfe\x00"], ids=repr)
def test_what_holds_no_names_is_told(data: bytes) -> None:
    """In words, and without a name."""
    names, problem = names_in(data, workbook=False)
    assert (names, problem is not None) == ((), True)
