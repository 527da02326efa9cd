"""What all tests share: one thread for linear algebra, as in the program; no example is timed."""

import os

from hypothesis import HealthCheck, settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Pictures of screens are those of a terminal with 16 colours, whatever terminal the tests run in.
os.environ["TEXTUAL_COLOR_SYSTEM"] = "standard"

# How long an example takes says how busy the machine is, not whether the program is right.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
