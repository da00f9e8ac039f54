"""An independent solution of a block on a strip: every place by itself, one-sided, force and moment balanced.

Written from the statics alone, for comparison with `coursekit.panel`: no lattice of blocks, no Newton's method.
At a given tilt the height that carries the force follows exactly from the sorted heights (filling up from the
highest point); the tilt that leaves no moment is found by bisection.
"""

import numpy as np


def pressures(heights, stiffness, force, cell, u=None):
    """(places, n) pressure (Pa) under blocks whose undersides meet `heights` (places, n) m; force in N per width.

    u  where each cell lies along the block, m: side by side unless given
    """
    n = heights.shape[1]
    u = (np.arange(n) - (n - 1) / 2) * cell if u is None else u
    steep = np.ptp(heights, axis=1, keepdims=True) / cell + force / (stiffness * cell**2 * n)
    low, high = -steep, steep
    for _ in range(80):
        tilt = (low + high) / 2
        found = _carried(heights - tilt * u, stiffness, force / cell)
        moment = (found * u).sum(axis=1, keepdims=True)
        low, high = np.where(moment > 0, tilt, low), np.where(moment > 0, high, tilt)
    return found


def _carried(heights, stiffness, wanted):
    """Pressures of a level plane that carries `wanted` (sum over the cells)."""
    falling = -np.sort(-heights, axis=1)
    count = np.arange(1, heights.shape[1] + 1)
    planes = (falling.cumsum(axis=1) - wanted / stiffness) / count  # plane if the highest `count` points bear
    bears = np.maximum((falling > planes).sum(axis=1) - 1, 0)
    return stiffness * np.maximum(heights - planes[np.arange(len(planes)), bears][:, None], 0)


def mean_pressure(surface, n, stiffness, force, cell):
    """Pressure of a block of n cells on a strip, averaged over all places where it lies on it whole."""
    windows = np.lib.stride_tricks.sliding_window_view(surface, n)
    found = pressures(np.array(windows), stiffness, force, cell)
    total = np.zeros_like(surface)
    for at in range(n):
        total[at : at + len(found)] += found[:, at]
    return total / n


def worn(surface, n, stiffness, force, cell, rate, sliding, steps):
    """The strip after `sliding` (m) over every place, in `steps` small equal steps."""
    surface = surface.copy()
    for _ in range(steps):
        surface -= rate * sliding / steps * mean_pressure(surface, n, stiffness, force, cell)
    return surface


def bent_pressures(height, stiffness, force, cell, bending):
    """(n,) pressure (Pa) under a board of bending stiffness per width, N·m, evenly loaded by `force` (N per width).

    The board is a free beam by finite differences, one unknown for every cell; springs that would pull are let go
    one round after another.
    """
    n = len(height)
    second = np.diff(np.eye(n), n=2, axis=0)
    beam = bending / cell**4 * second.T @ second
    load = force / (n * cell)
    bears = np.ones(n, dtype=bool)
    for _ in range(500):
        springs = np.where(bears, stiffness, 0.0)
        face = np.linalg.solve(beam + np.diag(springs) + 1e-12 * stiffness * np.eye(n), springs * height - load)
        found = height - face > 0
        if (found == bears).all():
            return np.where(bears, stiffness * (height - face), 0)
        bears = found if _ < 20 else bears ^ (np.arange(n) == np.flatnonzero(found != bears)[0])
    raise AssertionError("no contact found")
