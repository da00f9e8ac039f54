"""A coat on the door: the closed form against stamping footprints, and how its cost grows."""

import numpy as np

from coursekit import panel
from coursekit.panel.spraying import Fan, Passes, deposit
from tests.benchmarks.timing import Figure, least
from tests.stamping import stamped

SIGMA_ACROSS, SIGMA_ALONG = 0.0625, 0.018


def _passes(count, width, height):
    where = np.linspace(0, height, count)
    return Passes(where, np.full(count, -0.05), np.full(count, width + 0.05), np.full(count, 1e-6))


def _closed(passes, x, y):
    return deposit(passes, y, x, x[1] - x[0], Fan(SIGMA_ACROSS, SIGMA_ALONG))


def figures():
    door = panel.sheet_metal(panel.door(), coats=panel.FACTORY_COATS)
    x, y = door.shape.x, door.shape.y
    passes = _passes(16, *door.shape.size)
    film = _closed(passes, x, y)
    for stamps in range(20, 400, 5):  # the fewest footprints a pass that keep the coat within 1 % of its peak
        off = np.abs(film - stamped(passes, y, x, SIGMA_ACROSS, SIGMA_ALONG, stamps)).max() / film.max()
        if off <= 0.01:
            break
    yield Figure(f"{stamps} stamps a pass: difference to the closed form", 100 * off, "%", 1)
    stamping = least(lambda: stamped(passes, y, x, SIGMA_ACROSS, SIGMA_ALONG, stamps), 3)
    closed = least(lambda: _closed(passes, x, y), 200)
    settings = {"material": "surfacer", "volume_solids": 0.45, "flow": 4e-6, "pitch": 0.8 / 15}
    whole = least(lambda: panel.spray(door, **settings), 200)
    by_hand = least(lambda: panel.spray(door, **settings, hand=0.1), 200)
    yield Figure("film of 16 passes on 240 × 160 cells", 1e3 * closed, "ms", 1)
    yield Figure("the whole act: layers, sections, every drop counted", 1e3 * whole, "ms", 1)
    yield Figure("the whole act, every pass its own (hand)", 1e3 * by_hand, "ms")
    yield Figure("stamping the same coat", 1e3 * stamping, "ms")
    yield Figure("stamping over the closed form", stamping / closed, "×", 500, "≥")
    yield Figure("stamping over the whole act", stamping / whole, "×", 500, "≥")
    sizes = [(120, 80), (240, 160), (480, 320), (960, 640)]
    cost = []
    for nx, ny in sizes:
        grid = (np.arange(nx) + 0.5) * 1.2 / nx, (np.arange(ny) + 0.5) * 0.8 / ny
        cost.append(least(lambda grid=grid: _closed(_strayed(16), *grid), 40))
    cells = np.array([nx * ny for nx, ny in sizes])
    yield Figure("growth of cost with cells (1: linear)", _growth(cells, cost), "", 1.1)
    counts, cost = np.array([8, 16, 32, 64]), []
    grid = (np.arange(480) + 0.5) * 2.5e-3, (np.arange(320) + 0.5) * 2.5e-3
    for count in counts:
        cost.append(least(lambda count=count: _closed(_strayed(count), *grid), 40))
    yield Figure("growth of cost with passes (1: linear)", _growth(counts, cost), "", 1.1)


def _strayed(count):
    """Passes of a hand: no two alike, so that none is saved."""
    passes = _passes(count, 1.2, 0.8)
    return passes._replace(start=passes.start - np.linspace(0, 0.02, count))


def _growth(size, cost):
    """Exponent of the cost over the size."""
    return float(np.polyfit(np.log(size), np.log(cost), 1)[0])
