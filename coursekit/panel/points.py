"""From the cells of a panel to the points of its picture; what is drawn point by point: peel, specks, patterns."""

from __future__ import annotations

import functools

import numpy as np


class Spread:
    """Cells of the panel to points of the picture, whose row 0 is at the top."""

    def __init__(self, ny: int, nx: int, rows: int, width: int) -> None:
        self.rows, self.columns = (
            np.clip((np.arange(points) + 0.5) * cells / points - 0.5, 0, cells - 1)
            for points, cells in ((rows, ny), (width, nx))
        )
        self.rows = self.rows[::-1]

    def near(self, values: np.ndarray) -> np.ndarray:
        found: np.ndarray = values[np.ix_(np.rint(self.rows).astype(int), np.rint(self.columns).astype(int))]
        return found

    def smooth(self, values: np.ndarray) -> np.ndarray:
        low = np.minimum(self.columns.astype(int), values.shape[1] - 1)
        high = np.minimum(low + 1, values.shape[1] - 1)
        across = values[:, low] + (values[:, high] - values[:, low]) * (self.columns - low)
        low = np.minimum(self.rows.astype(int), values.shape[0] - 1)
        high = np.minimum(low + 1, values.shape[0] - 1)
        found: np.ndarray = across[low] + (across[high] - across[low]) * (self.rows - low)[:, None]
        return found


@functools.lru_cache(maxsize=8)
def peel(rows: int, width: int, length: float, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Leans along and up of a rough sea of waves about `length` points long, each with a mean square of one."""
    noise = np.random.default_rng(seed).standard_normal((rows, width))
    up, along = np.meshgrid(np.fft.fftfreq(rows), np.fft.rfftfreq(width), indexing="ij")
    wave = np.hypot(up, along) * length
    band = np.exp(-2 * np.log(np.maximum(wave, 1e-9)) ** 2)
    spectrum = np.fft.rfft2(noise) * band
    leans = [np.fft.irfft2(1j * part * spectrum, (rows, width)) for part in (along, -up)]
    found = tuple(lean / (lean.std() or 1.0) for lean in leans)
    return found[0], found[1]


@functools.lru_cache(maxsize=4)
def grain(rows: int, width: int) -> np.ndarray:
    """A number from 0 to 1 for each point: the powder's specks are darker where it is smaller."""
    found: np.ndarray = np.random.default_rng(7).random((rows, width))
    return found


@functools.lru_cache(maxsize=12)
def marks(pattern: str, rows: int, width: int) -> np.ndarray:
    row, column = np.indices((rows, width))
    if pattern == "lines":
        return (row + column) % 9 < 1
    if pattern == "cross":
        return ((row + column) % 14 < 1) | ((row - column) % 14 < 1)
    if pattern == "level":
        return row % 9 < 1
    return (row % 8 < 2) & (column % 8 < 2)
