"""The page of one person: where they stand as their class sees it, and whose keys are theirs."""

from pathlib import Path

from tests.services.bench import ADA, a_row, logged
from tests.services.school import desk_of

from platebook.services.classes.class_answers import class_so_far
from platebook.services.people.keys import keys_here
from platebook.services.people.person_page import person_page
from platebook.services.people.setters import list_setters


def test_a_person_stands_there_as_in_their_class(tmp_path: Path) -> None:
    """The same line as the class has, and the key that they sign with here."""
    session = desk_of(tmp_path, "ada", ADA)
    logged(session, a_row())
    (listed,) = list_setters(session)
    page = person_page(session, listed)
    (standing,), _ = class_so_far(session)
    assert page.standing == standing
    assert page.standing.attempts == 1
    assert page.keys == keys_here(session)
    assert [key.name for key in page.keys] == [ADA]
