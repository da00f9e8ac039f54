"""What a block can flatten: waves shorter than itself, as far as board and backing are stiff enough."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, Real, Scalar, Value, in_range, one_value, public
from coursekit.sanding.blocks import read_block

_TERMS = 14
# Taylor coefficients of G in q², from q⁴ on: below q = 1 the closed form loses its digits.
_SERIES = [
    (-1) ** k
    * (
        1.5 * 4.0 ** (k + 2) / math.factorial(2 * k + 4)
        + 4.0 ** (k + 1) / math.factorial(2 * k + 2)
        - 3 * 2.0 ** (2 * k + 3) / math.factorial(2 * k + 3)
    )
    for k in range(2, 2 + _TERMS)
]


class BlockOrBoard(NamedTuple):
    """A short block and a long board on the same wave: film each takes off to level it, and which to take."""

    block_film: Value
    board_film: Value
    choice: str  # "block", "board" or "neither"
    reason: str


@public(gives="levelling_factor")
def levelling_factor(block_length: Real, wavelength: Real) -> Real:
    """Share of a wave that a rigid block cuts as if it could neither rise nor tilt: 0 it rides along, 1 it bridges.

    Gives (...) share.
    Holds on a flat, or for a block that bends to the form of the panel, while its whole face touches. It is the
    share of a sine that no plane can follow: 1 - j₀² - 3 j₁² of π times length over wave. Source: levelling-derived.
    """
    q = np.pi * block_length / wavelength
    square = np.minimum(q, 1.0) ** 2
    small = np.polyval(_SERIES[::-1], square) * square**2
    big = np.maximum(q, 1.0)
    j0 = np.sin(big) / big
    j1 = (j0 - np.cos(big)) / big
    return np.where(q < 1, small, 1 - j0**2 - 3 * j1**2)[()]


@public(gives="bending_stiffness")
def bending_stiffness(modulus: Real, thickness: Real, poisson: Real = 0.35) -> Real:
    """Bending stiffness of a board per width.

    modulus: of its material; hard plastic 3 GPa, soft rubber 50 MPa and less
    Gives (...) N·m.
    Holds for one sheet of one material. Source: derived-here.
    """
    return modulus * thickness**3 / (12 * (1 - poisson**2))


@public(gives="wavelength")
def bending_wavelength(bending_stiffness: Real, backing_stiffness: Real) -> Real:
    """Wave that a flexible board follows by half.

    Gives (...) m.
    Holds for a long board. Source: levelling-derived.
    """
    return 2 * np.pi * (bending_stiffness / backing_stiffness) ** 0.25


@public(gives="levelling_factor")
def board_factor(block_length: Real, wavelength: Real, bending_stiffness: Real, backing_stiffness: Real) -> Real:
    """Share of a wave that a board of finite length and finite stiffness cuts.

    Gives (...) share.
    Holds as `levelling_factor` does, for a hand that presses evenly: what a free beam on the backing cannot follow,
    summed over its own shapes; beyond their number, the share of an endless board. Source: levelling-derived.
    """
    q = np.pi * block_length / wavelength
    stiff = 16 * bending_stiffness / (backing_stiffness * block_length**4)
    rigid = levelling_factor.si(block_length, wavelength)
    followed = sum(
        (_in_wave(number, np.minimum(q, MOST_SHAPES)) / 2) ** 2 / (1 + stiff * BETAS[number] ** 4)
        for number in range(len(BETAS))
    )
    endless = 1 / (1 + (wavelength / bending_wavelength.si(bending_stiffness, backing_stiffness)) ** 4)
    share = np.where(q > MOST_SHAPES, rigid, np.maximum(rigid - followed, 0.0))
    found: Real = np.minimum(share, endless)  # free ends follow more than an endless board, never less
    return found


MOST_SHAPES = 60.0  # π times length over wave, up to which the shapes below hold all of it


def _shapes(count: int) -> np.ndarray:
    """β of the shapes of a free beam from −1 to 1, cos 2β cosh 2β = 1: the first is alike on both sides, the next
    turns about, and so on."""
    twice = (np.arange(count) + 1.5) * np.pi
    for _ in range(8):
        twice += (np.cos(twice) - 1 / np.cosh(twice)) / (np.sin(twice) - np.tanh(twice) / np.cosh(twice))
    return twice / 2


BETAS = _shapes(46)


def _in_wave(number: int, q: Real) -> Real:
    """Integral from −1 to 1 of a shape of the free beam, its square two in all, times cos q x or sin q x."""
    beta = BETAS[number]
    even = number % 2 == 0
    sign, near, far = 1 if even else -1, np.sinc((q - beta) / np.pi), np.sinc((q + beta) / np.pi)
    trig = (near + sign * far) / (np.cos(beta) if even else np.sin(beta))
    if even:
        steep = beta * np.tanh(beta) * np.cos(q) + q * np.sin(q)
    else:
        steep = beta / np.tanh(beta) * np.sin(q) - q * np.cos(q)
    found: Real = trig + 2 * steep / (beta**2 + q**2)
    return found


@public(gives="amplitude")
def backing_compression(pressure: Real, backing_stiffness: Real) -> Real:
    """How far the backing yields under the hand: waves lower than this keep the whole face in touch.

    Gives (...) m.
    Holds for an elastic backing. Source: levelling-derived.
    """
    return pressure / backing_stiffness


@public(gives="amplitude")
def wave_left(
    amplitude: Real, removed: Real, block_length: Real, wavelength: Real, pressure: Real, backing_stiffness: Real
) -> Real:
    """Height of a wave after a mean depth of film has been blocked off.

    pressure: 1 Pa to 1 MPa
    amplitude: before, from the middle to the crest
    removed: mean film taken off
    Gives (...) m. Raises InputError for a wrong unit, RangeError out of those ranges, and for a wave higher than the
    backing yields (`backing_compression`), where the block rides on crests.
    Holds in full contact, on a flat, for a rigid block. Source: levelling-derived; preston-1927.
    """
    in_range("pressure", pressure, 1.0, 1e6)
    yields = backing_compression.si(pressure, backing_stiffness)
    if np.any(np.asarray(amplitude) > np.asarray(yields) * (1 + 1e-9)):
        raise InputError(
            "amplitude",
            "the wave is higher than the backing yields, "
            f"{float(np.min(yields)) * 1e6:.3g} µm: the block leaves the hollows.",
            "Use film_to_level, press harder or take a softer backing.",
            kind="impossible",
        )
    found: Real = amplitude * np.exp(-removed / yields * levelling_factor.si(block_length, wavelength))
    return found


@public(gives="removed")
def film_to_level(
    amplitude: Real, target: Real, block_length: Real, wavelength: Real, pressure: Real, backing_stiffness: Real
) -> Real:
    """Mean film that it costs to bring a wave down to a target height.

    pressure: 1 Pa to 1 MPa
    amplitude: before, from the middle to the crest
    Gives (...) m; far more than any film means that the block cannot do it.
    Holds on a flat for a rigid block; while the wave is higher than the backing yields it is an upper estimate, and a
    perfectly hard block needs at least the height itself. Source: levelling-derived; preston-1927.
    """
    in_range("pressure", pressure, 1.0, 1e6)
    yields = backing_compression.si(pressure, backing_stiffness)
    factor = np.maximum(levelling_factor.si(block_length, wavelength), 1e-12)
    riding = np.maximum(amplitude - np.maximum(yields, target), 0.0)
    touching = np.log(np.maximum(np.minimum(amplitude, yields), target) / target)
    found: Real = np.minimum((riding + yields * touching) / factor, MOST_FILM)
    return found


MOST_FILM = 1.0  # m: "never", and finite


@public(gives={"block_film": "removed", "board_film": "removed"})
def board_or_block(
    wavelength: Scalar,
    amplitude: Scalar,
    target: Scalar,
    film: Scalar,
    force: Scalar,
    block: object,
    board: object,
    backing_stiffness: Scalar,
) -> BlockOrBoard:
    """Long board or short block for this wave? What each takes off to level it, under the same hand.

    force: 0.1 to 500 N
    block: the short one: "70 x 125 mm", longer side along the wave
    board: the long one: "70 x 400 mm"
    backing_stiffness: of paper, hook-and-loop and foam under both
    Gives m each, the choice and its reason. Raises InputError for a wrong unit or block, RangeError out of those
    ranges.
    Holds as `film_to_level` does: on a flat, or where the board bends to the form. Source: levelling-derived.
    """
    one_value(
        wavelength=wavelength,
        amplitude=amplitude,
        target=target,
        film=film,
        force=force,
        backing_stiffness=backing_stiffness,
    )
    in_range("force", force, 0.1, 500.0)
    short, long = read_block(block, "block"), read_block(board, "board")
    if long.length <= short.length:
        raise InputError("board", "is not longer than the block.", "Give the short one as block.", kind="order")
    pressures = [min(max(force / size.area, 1.0), 1e6) for size in (short, long)]
    by_block, by_board = (
        float(film_to_level.si(amplitude, target, size.length, wavelength, pressure, backing_stiffness))
        for size, pressure in zip((short, long), pressures, strict=True)
    )
    share = [levelling_factor.si(size.length, wavelength) for size in (short, long)]
    text = f"The block levels {share[0]:.0%} of such a wave, the board {share[1]:.0%}."
    if min(by_block, by_board) > film:
        return BlockOrBoard(by_block, by_board, "neither", f"{text} Neither levels it with the film there: build up.")
    if by_block <= film and by_block < 1.2 * by_board:
        return BlockOrBoard(
            by_block, by_board, "block", f"{text} The block takes no more film for it, and reaches more places."
        )
    return BlockOrBoard(by_block, by_board, "board", f"{text} The board does it for less film.")


# --- roughness and waviness parted -------------------------------------------------------------------------


@public(gives="transmission")
def gaussian_transmission(wavelength: Real, cutoff: Real) -> Real:
    """Share of a wave's height that passes the Gaussian profile filter: waviness; the rest is roughness.

    wavelength: of the profile
    Gives (...) share.
    Holds for the long-wave filter line. Source: iso-16610-21.
    """
    return np.exp2(-((cutoff / wavelength) ** 2))  # exp(-π (α cutoff/wave)²) with α² = ln 2 / π


@public(gives="cutoff")
def roughness_cutoff(roughness: Real) -> Real:
    """Cut-off to measure a roughness with, by the Ra expected.

    roughness: Ra expected
    Gives m.
    Holds for profiles that do not repeat; the evaluation length is five cut-offs. Source: iso-4288.
    """
    rows = load_data("roughness_cutoffs")["row"]
    limits, cutoffs = [r["most_ra"] * 1e-6 for r in rows], [r["cutoff"] * 1e-3 for r in rows]
    return np.asarray(cutoffs)[np.searchsorted(np.asarray(limits[:-1]) * (1 + 1e-9), roughness)]
