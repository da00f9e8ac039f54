"""The error function on arrays: numpy has none, and a loop over `math.erf` is too slow for a map of film."""

import math
from typing import Any

import numpy as np

_STEP = 1 / 256
_END = 6.0  # 1 - erf(6) is below the last digit of a double
_NODES = np.arange(0, _END + 2 * _STEP, _STEP)
_VALUES = np.array([math.erf(x) for x in _NODES])
_SLOPES = 2 / math.sqrt(math.pi) * np.exp(-(_NODES**2))


def erf(x: Any) -> Any:
    """Error function of a float or array: a Taylor step of four terms from the nearest tabulated node."""
    size = np.minimum(np.abs(x), _END)
    place = np.rint(size / _STEP)
    near, node = place * _STEP, place.astype(int)
    step = size - near
    series = step * (1 - step * (near - step * ((2 * near**2 - 1) / 3 + step * near * (3 - 2 * near**2) / 6)))
    return np.copysign(_VALUES[node] + _SLOPES[node] * series, x)[()]


def normal_share(z: object) -> Any:
    """Share of a normal distribution below z standard deviations."""
    return 0.5 * (1 + erf(np.asarray(z) / math.sqrt(2)))
