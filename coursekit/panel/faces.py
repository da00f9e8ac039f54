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


class Places:
    """Legendre polynomials at the places of a block's cells along one of its sides, −1 to 1.

    shared  (n,)         places that all blocks have
    own     (blocks, m)  places after these that each block has of its own
    """

    def __init__(self, shared: np.ndarray, degree: int, own: np.ndarray | None = None) -> None:
        self.shared = legendre.legvander(shared, degree)
        self.own = None if own is None else legendre.legvander(own, degree)

    def single(self) -> None:
        """Go on in single precision."""
        self.shared = self.shared.astype(np.float32)
        self.own = None if self.own is None else self.own.astype(np.float32)

    def keep(self, blocks: np.ndarray) -> None:
        """Go on with those blocks alone."""
        self.own = None if self.own is None else self.own[blocks]

    def moments(self, values: np.ndarray, degrees: slice, blocks: np.ndarray | slice = slice(None)) -> np.ndarray:
        """(blocks, degrees) sums over the places of values (blocks, places) times the polynomials."""
        shared, last = self.shared[:, degrees], len(self.shared)
        if self.own is None:
            return product(values, shared)
        own = self.own[blocks][:, :, degrees]
        found: np.ndarray = product(values[:, :last], shared) + (values[:, None, last:] @ own)[:, 0]
        return found

    def at(self, shapes: np.ndarray, degrees: slice, blocks: np.ndarray | slice = slice(None)) -> np.ndarray:
        """(blocks, places) sums of the polynomials times those shapes (blocks, degrees)."""
        found = product(shapes, np.ascontiguousarray(self.shared[:, degrees].T))
        if self.own is None:
            return found
        own = (self.own[blocks][:, :, degrees] @ shapes[:, :, None])[:, :, 0]
        return np.concatenate([found, own], axis=1)


class Faces:
    """The faces of blocks side by side while they are being found.

    A face is its coefficients along the length by degree and then, from the tilt on, those across. A step at whose
    end the energy rises again went too far: it is taken back to where the energy is least along it. A block on a
    line of contact turns about that line with next to nothing against it until its other end comes down, so such a
    step may be a thousand times too long.

    along, across  (n,)       places of a block's cells from its middle, −1 to 1
    own            (blocks, m) places after these that each block has of its own, along and across; or none
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
        own: tuple[np.ndarray | None, np.ndarray | None] = (None, None),
    ) -> None:
        self.last, self.wide = degrees[0] + 1, degrees[1]
        self.wanted = np.zeros((len(force), self.last + self.wide))
        self.wanted[:, 0] = force
        if moment is not None:
            self.wanted[:, 1] = moment
        self.columns, self.rows = Places(along, 2 * degrees[0], own[0]), Places(across, 2 * degrees[1], own[1])
        (self.triple, bent), (self.triple_across, bent_across) = map(_tables, degrees)
        self.bent = np.zeros((self.last + self.wide,) * 2)
        self.bent[: self.last, : self.last] = bending[0] * bent
        self.bent[self.last :, self.last :] = bending[1] * bent_across[1:, 1:]
        self.bends = bool(self.bent.any())
        self.face = np.zeros_like(self.wanted)
        self.step, self.slope = np.zeros_like(self.face), np.zeros(len(force))

    def single(self) -> None:
        """Go on in single precision, as from a new start: the first step let the springs pull."""
        self.step[:], self.slope[:] = 0, 0
        self.triple, self.triple_across = self.triple.astype(np.float32), self.triple_across.astype(np.float32)
        self.columns.single()
        self.rows.single()

    def keep(self, blocks: np.ndarray) -> None:
        """Go on with those blocks alone."""
        self.wanted, self.face = self.wanted[blocks], self.face[blocks]
        self.step, self.slope = self.step[blocks], self.slope[blocks]
        self.columns.keep(blocks)
        self.rows.keep(blocks)

    def left(self, pulls: np.ndarray, blocks: np.ndarray | slice = slice(None)) -> np.ndarray:
        """(blocks, degrees) force and moments that are not balanced yet when the springs pull so."""
        found = self.columns.moments(self._summed(pulls, 1, blocks)[0], slice(self.last), blocks)
        if self.wide:
            across = self.rows.moments(self._rows_of(pulls), slice(1, self.wide + 1), blocks)
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
        moves = self._moves(step, blocks)
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

    def _moves(self, step: np.ndarray, blocks: np.ndarray | slice = slice(None)) -> np.ndarray:
        """(across, blocks, along) by how much a step moves the faces over the cells."""
        step = step.astype(self.columns.shared.dtype)
        found = self.columns.at(step[:, : self.last], slice(self.last), blocks)[None]
        if self.wide:
            across = self.rows.at(step[:, self.last :], slice(1, self.wide + 1), blocks)
            found = found + np.ascontiguousarray(across.T)[:, :, None]
        return found

    def _summed(self, cells: np.ndarray, degrees: int, blocks: np.ndarray | slice = slice(None)) -> np.ndarray:
        """(degrees, blocks, along) sums across each block of cells (across, blocks, along) times the polynomials."""
        over = np.ascontiguousarray(self.rows.shared[:, :degrees].T)
        wide, (number, long) = len(self.rows.shared), cells.shape[1:]
        if wide > 1:
            found = product(over, cells[:wide].reshape(wide, -1)).reshape(-1, number, long)
        else:
            found = over[:, :, None] * cells[:1]
        if self.rows.own is not None:
            own = self.rows.own[blocks][:, :, :degrees].transpose(0, 2, 1) @ cells[wide:].transpose(1, 0, 2)
            found = found + own.transpose(1, 0, 2)
        return found

    def _rows_of(self, cells: np.ndarray) -> np.ndarray:
        """(blocks, across) sums along each block."""
        wide, blocks, long = cells.shape
        ones = np.ones((long, 1), dtype=cells.dtype)
        return np.ascontiguousarray(product(cells.reshape(-1, long), ones).reshape(wide, blocks).T)

    def _newton(self, weight: np.ndarray, left: np.ndarray) -> np.ndarray:
        last, wide = self.last, self.wide
        over = self._summed(weight, wide + 1)
        along = self.columns.moments(over[0], slice(None))
        matrix = np.empty((len(left), last + wide, last + wide))
        matrix[:, :last, :last] = product(along, self.triple).reshape(-1, last, last)
        for degree in range(1, wide + 1):
            mixed = self.columns.moments(over[degree], slice(last))
            matrix[:, :last, last + degree - 1] = matrix[:, last + degree - 1, :last] = mixed
        if wide:
            across = product(self.rows.moments(self._rows_of(weight), slice(None)), self.triple_across)
            matrix[:, last:, last:] = across.reshape(-1, wide + 1, wide + 1)[:, 1:, 1:]
        matrix += self.bent
        bears = along[:, 0]
        if not bears.all():  # a block that lost touch stays where it is
            matrix[bears <= 0], left = np.eye(last + wide), np.where(bears > 0, 1, 0)[:, None] * left
        # A block on a single line of cells leaves a tilt open: a spring holds it, small beside those that bear,
        # and large beside what the precision loses of their sum.
        holds = 1e-5 if self.columns.shared.dtype == np.float32 else 1e-10
        matrix[:, range(last + wide), range(last + wide)] += holds * bears[:, None]
        return np.linalg.solve(matrix, left[..., None])[..., 0]
