"""A sign-off: an instructor's word that a grade is passed, where the course asks for one."""

from pydantic import AwareDatetime

from platebook.trade.value import Value


class SignOff(Value):
    """One grade of one course signed off for one setter.

    `signed_by` is the setter id of who signs, or a name where the logbook has none. `attempt_id` is
    the last whole setting that counted then: what comes after it may make the grade slip back, and
    then it has to be signed again. `signed` is when, with its offset.
    """

    sign_off_id: str | None = None
    setter_id: str
    course: str
    grade: str
    signed_by: str
    attempt_id: str = ""
    comment: str = ""
    signed: AwareDatetime | None = None
