"""A coat by stamping footprints one after another: the plain way, for comparison with the closed form."""

import numpy as np


def stamped(passes, across, along, sigma_across, sigma_along, stamps=200):
    """Film (len(across), len(along)) m of Gaussian footprints set down `stamps` times along every pass."""
    film = np.zeros((len(across), len(along)))
    peak = 1 / (2 * np.pi * sigma_across * sigma_along)
    for where, start, end, strength in zip(*passes, strict=True):
        step = (end - start) / stamps
        for at in start + (np.arange(stamps) + 0.5) * step:
            distance = ((across[:, None] - where) / sigma_across) ** 2 + ((along - at) / sigma_along) ** 2
            film += strength * step * peak * np.exp(-distance / 2)
    return film
