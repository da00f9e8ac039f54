"""The film across lines while it is worn, visit after visit."""

from __future__ import annotations

import math

import numpy as np

from coursekit.panel.stack import Stack

COMPARED = 4  # visits, of whose mean the next one strays


def weight_of_now(visits: int) -> float:
    """Weight of the last of so many visits in the mean of those that are remembered."""
    return 1 / min(visits, COMPARED)


def wearing(backing: float, give: np.ndarray) -> np.ndarray:
    """Backing (Pa/m) in series with wear that gives `give` (m/Pa) during a visit.

    A wave that the block cuts in full shrinks by exp(−w), w = give × backing, and one that it hardly cuts at the
    full rate: the second term of the exponent holds both within w/4.
    """
    wear = give * backing
    return backing * np.where(wear > 1e-9, -np.expm1(-wear * (1 + wear / 4)) / np.maximum(wear, 1e-9), 1.0)


class Worn:
    """Film across lines, arrays (stations, points), and its height (m)."""

    def __init__(self, stack: Stack, height: np.ndarray) -> None:
        self.stack, self.height = stack, height
        self.mean = np.zeros(height.shape)  # Pa, of the visits before
        self.visits = 0

    def cut(self, pressure: np.ndarray, step: float) -> float:
        """Wear by that pressure (Pa) over so much sliding (m).

        Gives by how much the cut, per sliding, strayed from the visits before: at the worst point of a section, the
        root mean square over the sections.
        """
        self.visits += 1
        off = (self.stack.rate * (pressure - self.mean)).max(axis=1)
        self.mean += (pressure - self.mean) * weight_of_now(self.visits)
        self.height = self.height - self.stack.cut(pressure * step)
        return math.sqrt(float((off**2).sum()) / max(int(np.count_nonzero(off)), 1))
