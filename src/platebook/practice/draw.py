"""A draw: which position of a setter was picked at random for an instructor's look.

It is kept so that it stays what it is, whoever asks again and whatever is logged after.
"""

from pydantic import AwareDatetime, Field

from platebook.trade.value import Value


class Draw(Value):
    """One attempt drawn out of `pool`, in which every attempt was as likely as any other.

    `pool` holds the ids that were drawn from and `seed` the text that decided, so that anybody can
    draw it again (`platebook.advice.drawing`). `drawn` is when, with its offset.
    """

    draw_id: str | None = None
    setter_id: str
    attempt_id: str
    pool: tuple[str, ...] = Field(min_length=1)
    seed: str
    drawn: AwareDatetime | None = None
