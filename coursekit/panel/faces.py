"""The face of a block that is being found: Newton's method on the cells in contact, for many blocks at once.

The cells of each block lie side by side in memory, its moments are products with narrow matrices, and the work is
linear in cells.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre

from coursekit.panel.products import product

MOST_STEPS = 40
CLOSE = 0.01  # a block is settled when no more than this share of its cells in contact still change
FLAT = 0.1  # of the slope at a step's beginning: what may be left of it at its end
FEWER = 0.7  # share of unsettled blocks from which on it pays to leave the settled ones out


def settled(
    faces: Faces, height: np.ndarray, springs: np.ndarray, first: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Height (m) of the surface over the faces when they lie still, and the faces.

    height, springs  (cells across, blocks, cells along) m and Pa/m
    first            springs that the first step takes to be in touch
    """
    gap = faces.moved(height, first)
    # A block that lies on all of its springs is found at once, by a step in double precision.
    unfound = (_per_block((first < springs) | (springs > 0) & (gap <= 0)) > 0) | (gap.dtype != np.float64)
    # Heights over the first face are small: single precision carries them, and is twice as fast.
    faces.single()
    gap, soft = gap.astype(np.float32, copy=False), springs.astype(np.float32, copy=False)
    touching, whole, shapes = gap > 0, gap.copy(), faces.face.copy()
    going = np.flatnonzero(unfound)
    if not len(going):
        return whole.astype(float), shapes
    if len(going) < gap.shape[1]:
        gap, soft, touching = (np.ascontiguousarray(cells[:, going]) for cells in (gap, soft, touching))
        faces.keep(going)
    came = gap
    for _ in range(MOST_STEPS):
        weight = soft * touching
        left = faces.left(weight * gap)
        far = np.flatnonzero(faces.went_too_far(left))
        if len(far):
            back = faces.taken_back(far, came[:, far], soft[:, far])
            gap[:, far], touching[:, far] = back, back > 0
            weight[:, far] = soft[:, far] * touching[:, far]
            left[far] = faces.left(weight[:, far] * back, far)
        came, gap = gap, faces.moved(gap, weight, left)
        before, touching = touching, gap > 0
        unsettled = _per_block(before != touching) > CLOSE * _per_block(touching)
        going_on = np.count_nonzero(unsettled)
        if not going_on:
            break
        if going_on < FEWER * len(going):  # go on with the others alone
            whole[:, going], shapes[going] = gap, faces.face
            going = going[unsettled]
            gap, soft, touching, came = (
                np.compress(unsettled, cells, axis=1) for cells in (gap, soft, touching, came)
            )
            faces.keep(unsettled)
    whole[:, going], shapes[going] = gap, faces.face
    return whole.astype(float), shapes


def _per_block(cells: np.ndarray) -> np.ndarray:
    """How many cells of each block are true."""
    narrow = np.uint8 if len(cells) < 256 else np.uint16  # as wide as the cells themselves they add up much faster
    found: np.ndarray = np.add.reduce(
        np.add.reduce(cells.view(np.uint8), axis=0, dtype=narrow), axis=1, dtype=np.intp
    )
    return found


def _summed_per_block(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Sum over the cells of each block of the products."""
    found: np.ndarray = np.einsum("abc,abc->b", one, other)
    return found


@lru_cache(maxsize=16)
def _tables(degree: int) -> tuple[np.ndarray, np.ndarray]:
    """P_i P_j = Σ triple[k, (i, j)] P_k, and ∫ P_i″ P_j″ from −1 to 1."""
    # By Gauss's rule, exact for the polynomials there are.
    places, weights = legendre.leggauss(2 * degree + 1)
    every = legendre.legvander(places, 2 * degree)
    low, norm = every[:, : degree + 1], np.arange(2 * degree + 1) + 0.5
    triple = np.einsum("q,qk,qi,qj->kij", weights, every * norm, low, low, optimize=True)
    second = low[:, : max(degree - 1, 1)] @ second_derivative(degree)
    return triple.reshape(2 * degree + 1, -1), second.T * weights @ second


@lru_cache(maxsize=16)
def second_derivative(degree: int) -> np.ndarray:
    """(degrees of P_j, degrees) P_i″ = Σ found[j, i] P_j."""
    found = np.zeros((max(degree - 1, 1), degree + 1))
    for i in range(2, degree + 1):
        curved = legendre.legder(np.eye(degree + 1)[i], 2)
        found[: len(curved), i] = curved
    found.flags.writeable = False
    return found


class Faces:
    """The faces of blocks side by side while they are being found.

    A face is its coefficients along the length by degree and then, from the tilt on, those across. A step at whose
    end the energy rises again went too far: it is taken back to where the energy is least along it. A block on a
    line of contact turns about that line with next to nothing against it until its other end comes down, so such a
    step may be a thousand times too long.

    along, across  (n,)       places of a block's cells from its middle, −1 to 1
    force          (blocks,)  Pa, the sum of the pressures; moment likewise, of pressure × place along
    degrees                   along and across; none across for a block on a single line of cells
    bending        Pa/m       D·W·(2/L)³ and D·L·(2/W)³ over the area of a cell
    """

    def __init__(
        self,
        along: np.ndarray,
        across: np.ndarray,
        force: np.ndarray,
        moment: np.ndarray | None = None,
        degrees: tuple[int, int] = (1, 1),
        bending: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        self.last, self.wide = degrees[0] + 1, degrees[1]
        self.wanted = np.zeros((len(force), self.last + self.wide))
        self.wanted[:, 0] = force
        if moment is not None:
            self.wanted[:, 1] = moment
        self.columns, self.rows = (
            legendre.legvander(along, 2 * degrees[0]),
            legendre.legvander(across, 2 * degrees[1]),
        )
        (self.triple, bent), (self.triple_across, bent_across) = map(_tables, degrees)
        self.bent = np.zeros((self.last + self.wide,) * 2)
        self.bent[: self.last, : self.last] = bending[0] * bent
        self.bent[self.last :, self.last :] = bending[1] * bent_across[1:, 1:]
        self.bends = bool(self.bent.any())
        self.face = np.zeros_like(self.wanted)
        self.step, self.slope = np.zeros_like(self.face), np.zeros(len(force))
        self._parts()

    def _parts(self) -> None:
        self.low = np.ascontiguousarray(self.columns[:, : self.last])
        self.over = np.ascontiguousarray(self.rows[:, : self.wide + 1].T)
        self.ones = np.ones((len(self.columns), 1), dtype=self.columns.dtype)

    def single(self) -> None:
        """Go on in single precision, as from a new start: the first step let the springs pull."""
        self.step[:], self.slope[:] = 0, 0
        self.triple, self.triple_across, self.columns, self.rows = (
            array.astype(np.float32) for array in (self.triple, self.triple_across, self.columns, self.rows)
        )
        self._parts()

    def keep(self, blocks: np.ndarray) -> None:
        """Go on with those blocks alone."""
        self.wanted, self.face = self.wanted[blocks], self.face[blocks]
        self.step, self.slope = self.step[blocks], self.slope[blocks]

    def left(self, pulls: np.ndarray, blocks: np.ndarray | slice = slice(None)) -> np.ndarray:
        """(blocks, degrees) force and moments that are not balanced yet when the springs pull so."""
        found = product(self._summed(pulls, self.over[:1])[0], self.low)
        if self.wide:
            across = product(self._rows_of(pulls), self.rows[:, 1 : self.wide + 1])
            found = np.concatenate([found, across], axis=1)
        found = found - self.wanted[blocks]
        if self.bends:
            found -= product(self.face[blocks], self.bent)
        return found

    def went_too_far(self, left: np.ndarray) -> np.ndarray:
        """Blocks whose last step ended where the energy rises again as steeply as a tenth of what it fell by."""
        found: np.ndarray = (self.slope > 0) & ((left * self.step).sum(axis=1) < -FLAT * self.slope)
        return found

    def taken_back(self, blocks: np.ndarray, gap: np.ndarray, springs: np.ndarray) -> np.ndarray:
        """The gap of those blocks where their energy is least along the last step, which began at `gap`; faces too.

        The slope along the step is a sum of straight pieces: from its far end Newton's rule finds where it is level.
        """
        step, slope = self.step[blocks], self.slope[blocks]
        moves = self._moves(step)
        bent = product(step, self.bent)
        face = self.face[blocks] - step
        against = (self.wanted[blocks] * step).sum(axis=1) + (face * bent).sum(axis=1)
        stiff = (step * bent).sum(axis=1)
        low, high, share = np.zeros(len(blocks)), np.ones(len(blocks)), np.ones(len(blocks))
        pressed, softer = np.empty_like(gap), springs * moves
        for _ in range(MOST_STEPS):
            np.multiply(moves, share.astype(gap.dtype)[:, None], out=pressed)
            np.subtract(gap, pressed, out=pressed)
            np.maximum(pressed, 0, out=pressed)
            now = _summed_per_block(softer, pressed) - against - share * stiff
            if (np.abs(now) <= FLAT * slope).all():
                break
            rises = _summed_per_block(softer * (pressed > 0), moves) + stiff
            low, high = np.where(now > 0, share, low), np.where(now > 0, high, share)
            wanted = share + np.divide(now, rises, out=np.full_like(now, np.inf), where=rises > 0)
            wanted = np.where((wanted > low) & (wanted < high), wanted, (low + high) / 2)
            share = np.where(np.abs(now) > FLAT * slope, wanted, share)
        self.face[blocks] = face + share[:, None] * step
        found: np.ndarray = gap - moves * share.astype(gap.dtype)[:, None]
        return found

    def moved(self, gap: np.ndarray, weight: np.ndarray, left: np.ndarray | None = None) -> np.ndarray:
        """One step with those springs bearing, all of which may pull: faces move, and with them the gap."""
        left = self.left(weight * gap) if left is None else left
        self.step = self._newton(weight, left)
        self.slope = (left * self.step).sum(axis=1)
        self.face += self.step
        found: np.ndarray = gap - self._moves(self.step.astype(gap.dtype))
        return found

    def _moves(self, step: np.ndarray) -> np.ndarray:
        """(across, blocks, along) by how much a step moves the faces over the cells."""
        step = step.astype(self.low.dtype)
        found = product(step[:, : self.last], self.low.T)[None]
        if self.wide:
            found = found + product(self.over[1:].T, np.ascontiguousarray(step[:, self.last :].T))[:, :, None]
        return found

    def _summed(self, cells: np.ndarray, over: np.ndarray) -> np.ndarray:
        """(rows of `over`, blocks, along) sums across each block of cells (across, blocks, along)."""
        wide, blocks, long = cells.shape
        return (
            product(over, cells.reshape(wide, -1)).reshape(-1, blocks, long) if wide > 1 else over[:, :, None] * cells
        )

    def _rows_of(self, cells: np.ndarray) -> np.ndarray:
        """(blocks, across) sums along each block."""
        wide, blocks, long = cells.shape
        return np.ascontiguousarray(product(cells.reshape(-1, long), self.ones).reshape(wide, blocks).T)

    def _newton(self, weight: np.ndarray, left: np.ndarray) -> np.ndarray:
        last, wide = self.last, self.wide
        over = self._summed(weight, self.over)
        along = product(over[0], self.columns)
        matrix = np.empty((len(left), last + wide, last + wide))
        matrix[:, :last, :last] = product(along, self.triple).reshape(-1, last, last)
        if wide:
            mixed = product(over[1:].reshape(-1, over.shape[2]), self.low).reshape(wide, -1, last)
            matrix[:, :last, last:] = mixed.transpose(1, 2, 0)
            matrix[:, last:, :last] = mixed.transpose(1, 0, 2)
            across = product(product(self._rows_of(weight), self.rows), self.triple_across)
            matrix[:, last:, last:] = across.reshape(-1, wide + 1, wide + 1)[:, 1:, 1:]
        matrix += self.bent
        bears = along[:, 0]
        if not bears.all():  # a block that lost touch stays where it is
            matrix[bears <= 0], left = np.eye(last + wide), np.where(bears > 0, 1, 0)[:, None] * left
        # A block on a single line of cells leaves a tilt open: a spring holds it, small beside those that bear,
        # and large beside what the precision loses of their sum.
        holds = 1e-5 if self.low.dtype == np.float32 else 1e-10
        matrix[:, range(last + wide), range(last + wide)] += holds * bears[:, None]
        return np.linalg.solve(matrix, left[..., None])[..., 0]
