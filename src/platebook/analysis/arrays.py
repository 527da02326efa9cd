"""Names for the numpy arrays that the statistics pass around; shapes stand in each docstring.

`log_sum` adds up what is known by its logarithm.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]
Whole = NDArray[np.intp]


def log_sum(logs: Floats, axis: int) -> Floats:
    """The logarithm of the sum, along an axis, of what finite `logs` are the logarithms of.

    `np.logaddexp.reduce` says the same, one pair after the other.
    """
    top = logs.max(axis=axis, keepdims=True)
    return np.asarray(top.squeeze(axis) + np.log(np.exp(logs - top).sum(axis=axis)))
