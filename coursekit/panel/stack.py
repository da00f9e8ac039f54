"""Cutting through layers: the topmost material is taken first, each at its own rate, and none goes below zero."""

from __future__ import annotations

import numpy as np


class Stack:
    """Layers from the sheet up while they are being sanded, cell by cell, in any arrangement of cells.

    thickness     (layers, …) m; this object keeps its own copy
    coefficients  (layers,) 1/Pa: removal (m) per work (pressure × sliding, Pa·m)
    """

    def __init__(self, thickness: np.ndarray, coefficients: np.ndarray) -> None:
        self._shape = thickness.shape
        self._layers = thickness.reshape(len(thickness), -1).copy()
        self._rates = np.asarray(coefficients, dtype=float)
        self._cells = np.arange(self._layers.shape[1])
        self._top = np.zeros(len(self._cells), dtype=np.intp)
        for number, layer in enumerate(self._layers[1:], 1):
            self._top[layer > 0] = number
        self._left = self._layers[self._top, self._cells]
        self._rate = self._rates[self._top]

    @property
    def rate(self) -> np.ndarray:
        """Removal coefficient of what is on top, 1/Pa."""
        return self._rate.reshape(self._shape[1:])

    @property
    def top(self) -> np.ndarray:
        """Index of the layer on top."""
        return self._top.reshape(self._shape[1:])

    def cut(self, work: np.ndarray) -> np.ndarray:
        """Spend work on every cell; gives what went, m. Work left over at the bottom of the sheet goes unspent."""
        work = work.reshape(-1)
        gone = self._rate * work
        through = np.flatnonzero(gone > self._left)
        if len(through):
            self._cut_through(through, work, gone)
        self._left -= gone
        if len(through):
            self._left[through] = self._layers[self._top[through], through]
        found: np.ndarray = gone.reshape(self._shape[1:])
        return found

    def _cut_through(self, cells: np.ndarray, work: np.ndarray, gone: np.ndarray) -> None:
        """Cells whose top layer gives out: down through the next ones; their `gone` is the whole of it."""
        left, top = work[cells].copy(), self._top[cells]
        self._layers[top, cells] = self._left[cells]
        total = np.zeros(len(cells))
        going = np.arange(len(cells))
        while len(going):
            at = top[going], cells[going]
            here, rate = self._layers[at], self._rates[top[going]]
            spent = np.minimum(left[going], here / rate)
            ends = left[going] >= here / rate
            taken = np.where(ends, here, rate * spent)
            self._layers[at] = here - taken
            total[going] += taken
            left[going] -= spent
            deeper = ends & (top[going] > 0)
            top[going[deeper]] -= 1
            going = going[deeper]
        gone[cells] = total
        self._top[cells], self._rate[cells] = top, self._rates[top]

    def thickness(self) -> np.ndarray:
        """The layers as they are now."""
        self._layers[self._top, self._cells] = self._left
        return self._layers.reshape(self._shape)
