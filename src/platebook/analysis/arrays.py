"""Names for the numpy arrays that the statistics pass around; shapes stand in each docstring."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]
Whole = NDArray[np.intp]
