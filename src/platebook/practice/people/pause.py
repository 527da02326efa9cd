"""From when on nothing heard of a setter is a pause: one meaning for the evening and for the rest.

Known are only moments: when an attempt began, when a key was pressed. Between two of them goes the
work itself, with both hands and the loupe at the eye, so a slow setting is one long silence and a
pause shorter than it cannot be told from it. Of the two mistakes the smaller is chosen: half an
hour at tea that is taken for work asks for a rest once too often, and hardly moves the middle time
of an evening; work that is taken for a pause never asks for a rest at all.
"""

from datetime import timedelta

A_PAUSE = timedelta(minutes=40)
"""Between two begins, or two keys, from which on something else was done in between (judgement)."""
