"""What all tests share: the linear algebra runs in one thread, as the program itself has it."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
