"""What classes have shown is worked out once, kept, and told of the setter who logged something."""

import io
from pathlib import Path

import numpy as np
import pytest
from tests.services.bench import a_row, logged
from tests.services.class_of_six import class_of_six

from platebook.services.classes.class_sums import (
    class_priors,
    pack_class,
    unpack_class,
    unpack_sums,
)
from platebook.services.progress_callback import Stopped
from platebook.services.session import Session, opened


def asked(session: Session, told: list[float] | None = None) -> list[tuple[str, str]]:
    """What every setter of the class would be told, and how far the work was in between."""
    steps: list[float] = [] if told is None else told

    def watch(done: float, of: int) -> None:
        assert of == 6
        steps.append(done)

    with opened(session) as book:
        return list(class_priors(session, book, watch=watch))


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Six setters of one class."""
    return class_of_six(tmp_path)


def test_it_is_worked_out_for_whom_it_changed(session: Session) -> None:
    """The first time for all; then for nobody; after one more attempt for that setter alone."""
    first, second, third = list[float](), list[float](), list[float]()
    before = asked(session, first)
    assert ([setter_id for setter_id, _ in before], len(before)) == (sorted(dict(before)), 6)
    assert asked(session, second) == before
    logged(session, a_row(setter="Setter 2", result="loose"))
    after = asked(session, third)
    assert ([*map(int, first)], second, [*map(int, third)]) == ([1, 2, 3, 4, 5, 6], [], [6])
    assert sum(a != b for a, b in zip(before, after, strict=True)) >= 5


def test_without_a_watch_only_what_is_kept_is_told(session: Session) -> None:
    """The own file is not kept waiting for the rest."""
    with opened(session) as book:
        assert list(class_priors(session, book, watch=None)) == []
        told = list(class_priors(session, book))
        assert list(class_priors(session, book, watch=None)) == told


def test_what_was_done_before_a_stop_is_not_done_again(session: Session) -> None:
    """Each setter's part is kept as it comes."""

    def stop_at_three(done: float, of: int) -> None:
        if done >= 3 and of:
            raise Stopped

    with opened(session) as book, pytest.raises(Stopped):
        class_priors(session, book, watch=stop_at_three)
    left: list[float] = []
    asked(session, left)
    assert left == [4, 5, 6]


def test_one_setter_is_told_the_same_as_among_all(session: Session) -> None:
    """A bundle about one setter holds what the whole bundle says of them."""
    whole = asked(session)
    with opened(session) as book:
        assert list(class_priors(session, book, about=whole[2][0])) == [whole[2]]


def test_sums_come_back_as_they_were_kept_and_odd_bytes_are_none(session: Session) -> None:
    """Bytes of something else, or arrays that are not those of the cells, are no sums."""
    with opened(session) as book:
        (sums,) = class_priors(session, book).sums.values()
    again = unpack_class(pack_class(sums))
    assert again.setters == sums.setters
    assert [again.prior(n) for n in range(6)] == [sums.prior(n) for n in range(6)]
    for odd in (b"", b"PK", pack_class(sums)[:-20]):
        with pytest.raises(ValueError, match="these bytes are no sums"):
            unpack_sums(odd)
    with np.load(io.BytesIO(pack_class(sums))) as arrays:
        short = io.BytesIO()
        np.savez(short, header=arrays["header"], u=arrays["u"][:, 1:], v=arrays["v"])
    with pytest.raises(ValueError, match="not those of the cells"):
        unpack_class(short.getvalue())
