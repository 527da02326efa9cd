"""The session at the bench, which every screen is handed: who sits there, and the way to use cases.

A screen calls a use case of `platebook.services` through `BenchSession.call`, in a thread worker.
Only Now is painted before pydantic, numpy and the logbook's library are imported, so Now imports
its use cases inside its calls; every other screen imports them at its head.
"""

import threading
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from textual.worker import get_current_worker

if TYPE_CHECKING:
    from platebook.services.attempts.drafts import Drafts
    from platebook.services.session import Session

PATIENCE_S = 0.1
"""How often a call that waits for the session looks whether it is still wanted."""

Answer = TypeVar("Answer")
Arguments = ParamSpec("Arguments")


class BenchSession:
    """One window on one session, made by `open`, and another one when somebody else sits down.

    A use case called before that waits for the session, so that keys typed ahead of the first paint
    count. What is wrong with the logbook is raised as `LogbookUnusable`.
    """

    def __init__(self, make_session: "Callable[[], Session]") -> None:
        self._make_session = make_session
        self._session: Session | None = None
        self._opened = threading.Event()
        self._error: Exception | None = None
        self._drafts: Drafts | None = None

    @property
    def setter(self) -> str:
        """Who is at the bench, a setter or a teacher; empty until the session is open."""
        if self._session is None:
            return ""
        return self._session.author if self.teaching else self._session.setter_name

    @property
    def teaching(self) -> bool:
        """Whether a teacher is at the bench, who has no exercise of their own."""
        return self._session is not None and self._session.teacher_id is not None

    @property
    def setter_id(self) -> str | None:
        """The id of who is at the bench; None where nobody is, or before the session is open."""
        return self._session.setter_id if self._session is not None else None

    @property
    def invented(self) -> bool:
        """Whether the logbook holds the invented class."""
        return self._session is not None and self._session.invented

    def open(self) -> None:
        """Make the session, or raise what stands in the way; whoever waits for it goes on."""
        self._opened.clear()
        try:
            self._session = self._make_session()
        except Exception as error:
            self._error = error
            raise
        finally:
            self._opened.set()

    def call(
        self,
        use_case: "Callable[Concatenate[Session, Arguments], Answer]",
        *args: Arguments.args,
        **kwargs: Arguments.kwargs,
    ) -> Answer:
        """What this use case answers for whoever is at the bench."""
        return use_case(self._wait_for_session(), *args, **kwargs)

    def sit_down(
        self,
        use_case: "Callable[Concatenate[Session, Arguments], Session]",
        *args: Arguments.args,
        **kwargs: Arguments.kwargs,
    ) -> None:
        """Call a use case that lets somebody sit down, and go on with the session it gives."""
        self._session = self.call(use_case, *args, **kwargs)

    def clock(self) -> datetime:
        """The time at the bench."""
        return self._wait_for_session().clock()

    def new_id(self) -> str:
        """An id for an attempt that begins now; ids sort by the time they were made."""
        from uuid_utils import uuid7

        return str(uuid7())

    def drafts(self) -> "Drafts":
        """The keeper of what is typed and not saved yet, for whoever is at this window now."""
        from platebook.services.attempts.drafts import Drafts, Owner

        session = self._wait_for_session()
        owner = Owner(session.setter_id, session.setter_name)
        if self._drafts is None:
            self._drafts = Drafts.beside(session.path, owner)
        self._drafts.hand_over(owner)
        return self._drafts

    def _wait_for_session(self) -> "Session":
        while not self._opened.wait(PATIENCE_S):
            # Someone who leaves before the session is open is not kept waiting for it.
            if get_current_worker().is_cancelled:
                raise RuntimeError("the app was left before the session was open")
        if self._session is None:
            raise self._error or RuntimeError("the session could not be opened")
        return self._session
