"""The panel as the eye sees it: what lies on top, in its colour, and what a lamp or a striped board does in it.

The panel is drawn from in front, as on a map, with what somebody sees at each place who stands aside of it and
looks across it at a board: the mirror image of the board moves by twice the lean of the surface. So a wave bends the
stripes, orange peel breaks them, and a dull surface shows none. What is finer than a point of the picture is no
bend but a blur of the line; what is finer than light is a loss of gloss.
"""

from __future__ import annotations

import functools
import math
from typing import Any, NamedTuple

import numpy as np

from coursekit.colour.reflection import CLEAR_INDEX, WATER_INDEX, mirror_reflectance, wet_reflectance
from coursekit.colour.swatch import encoded
from coursekit.nomenclature import load_data, number_of
from coursekit.panel.looks import LEAST_SEEN
from coursekit.panel.points import Spread, grain, marks, peel
from coursekit.panel.state import TEXTURE_BANDS, Area, Panel, cells_of
from coursekit.sanding.showthrough import mirrored_share
from coursekit.sources import coefficient

SOURCES = ("fresnel", "mirror-geometry", "picked-surfaces")  # of a panel seen under a light
LIGHTS = ("striped board", "tube lamp", "daylight alone")
WAYS = ("upright", "level")  # which way the lines of the board run on the panel

_PICKED = {name: number_of(row["value"]) for name, row in load_data("viewing").items()}
EYE, BOARD = _PICKED["eye"], _PICKED["board"]
SIGHT = _PICKED["sight"]
PITCH, TUBE = _PICKED["stripe"], _PICKED["tube"]
BRIGHT = dict(zip(LIGHTS, (_PICKED["board_brightness"], _PICKED["tube_brightness"], 0.0), strict=True))
ROOM = dict(zip(LIGHTS, (*2 * (_PICKED["room_beside_lamp"],), _PICKED["room_in_daylight"]), strict=True))
AROUND = 2.5  # m of the board to either side of the middle
STEPS = 4096  # of the board
BLURS = np.array([0.0, 1.0, 2.0, 3.5, 6.0, 10.0, 16.0, 26.0, 40.0, 70.0, 120.0, 200.0, 320.0, 500.0]) * 1e-3  # m
RQ_OF_RA = _PICKED["rq_of_ra"]
SANDED_SLOPE = _PICKED["sanded_slope"]
COVERS = _PICKED["guide_coat_covers"]
OVERSPRAY = _PICKED["overspray_mist"]
MARKED = _PICKED["marked"]
WHITE = _PICKED["brightest"]


class Light(NamedTuple):
    """What the panel is looked at by.

    kind   one of LIGHTS
    place  0 to 1  where the lamp stands across the panel, or the board within a stripe
    lines  "upright" or "level"
    wet    whether a film of water lies on the panel
    """

    kind: str = "striped board"
    place: float = 0.5
    lines: str = "upright"
    wet: bool = False


class Seen(NamedTuple):
    """A picture: numbers (rows, columns) in `palette`, row 0 at the top; the last place is nothing.

    share  material → share of the panel that shows it
    """

    codes: np.ndarray
    palette: np.ndarray
    share: dict[str, float]


class Surface(NamedTuple):
    """A row of `tables/data/surfaces.toml`: linear colour, pattern, what bare metal mirrors, rms height and slope."""

    colour: np.ndarray
    hex: str
    pattern: str
    mirrors: float
    rq: float
    slope: float


@functools.lru_cache(maxsize=1)
def surfaces() -> dict[str, Surface]:
    """What each material looks like, by its name in the trade."""
    found = {}
    for name, row in load_data("surfaces").items():
        channels = np.array([int(row["colour"][at : at + 2], 16) for at in (1, 3, 5)]) / 255
        linear = np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)
        found[name] = Surface(
            linear, row["colour"], row["pattern"], row.get("mirrors", 0.0), number_of(row["rq"]), row["slope"]
        )
    return found


def named(material: str) -> str:
    """The material as it looks: one old paint, bare metal."""
    if material.startswith("old "):
        return "old paint"
    return {"steel": "bare metal", "plastic": "bare plastic"}.get(material, material)


def shade(name: str) -> str:
    """The colour of a material in every drawing, as in daylight: six digits of sRGB."""
    one = surfaces()[name]
    mirrors = one.mirrors or float(mirror_reflectance.si(0.0))
    channels = np.round(255 * np.clip(encoded(one.colour + mirrors * ROOM["daylight alone"]), 0, 1)).astype(int)
    return "#" + "".join(f"{part:02x}" for part in channels)


def on_top(panel: Panel) -> tuple[list[str], np.ndarray]:
    """Names of what may lie on top, as the trade says them, and the number of one for each cell; −1 off the panel."""
    kinds = [named(layer.material) for layer in panel.layers]
    known = list(dict.fromkeys(kinds))
    order = np.array([known.index(kind) for kind in kinds] + [-1])
    return known, order[_top(panel)]


# --- the picture ------------------------------------------------------------------------------------------


def seen(panel: Panel, light: Light | None = None, width: int = 480) -> Seen:
    """The panel under a light, `width` points wide."""
    light = light or Light()
    view = _view(panel, light.lines, light.wet, width)
    step = 2 * AROUND / STEPS
    mirrored = _board(light.kind)
    shift = _shift(light)
    place = view.place * (1 / step) + (AROUND - shift) / step
    np.clip(place, 0, STEPS - 1, out=place)
    at = place.astype(np.int32)
    bright = np.take(mirrored, view.sharp + at) * view.keeps
    lobe = np.take(mirrored, view.wide + at)
    lobe *= view.scatters
    bright += lobe
    np.minimum(bright, WHITE, out=bright)
    np.sqrt(bright, out=bright)
    levels = 255 // len(view.colours)
    bright *= (levels - 1) / math.sqrt(WHITE)
    codes = bright.astype(np.uint8)
    codes += (view.top * levels).astype(np.uint8)
    codes[view.off] = 255
    white = WHITE * (np.arange(levels) / (levels - 1)) ** 2
    linear = view.colours[:, None, :] + white[None, :, None]
    palette = np.full((256, 3), 128, dtype=np.uint8)
    palette[: levels * len(view.colours)] = np.round(255 * np.clip(encoded(linear), 0, 1)).reshape(-1, 3)
    return Seen(codes, palette, view.share)


class _View(NamedTuple):
    """What does not change while the lamp is moved; arrays have the shape of the picture.

    place     m      on the board, seen at each point
    sharp     where the row of the board begins that is blurred by what is too fine to be drawn
    wide      the same for what is scattered
    keeps     share of the board's light that is mirrored sharply
    scatters  share that is scattered around the mirrored direction
    top       number in `colours`
    off       points beside the panel
    """

    place: np.ndarray
    sharp: np.ndarray
    wide: np.ndarray
    keeps: np.ndarray
    scatters: np.ndarray
    top: np.ndarray
    off: np.ndarray
    colours: np.ndarray
    share: dict[str, float]


@functools.lru_cache(maxsize=6)
def _view(panel: Panel, lines: str, wet: bool, width: int) -> _View:
    ny, nx = panel.dents.shape
    rows = max(round(width * ny / nx), 2)
    spread = Spread(ny, nx, rows, width)
    look = _look(panel.shape.form.shape, panel.cell, lines)
    point = nx * panel.cell / width
    lean = [spread.smooth(part) for part in _leans(panel)]
    turn = [spread.smooth(part) for part in (look.along, look.up)]
    bend = turn[0] * lean[0] + turn[1] * lean[1]
    place = spread.smooth(look.place) + bend
    known, cell_kind = on_top(panel)
    inside = panel.shape.inside
    counts = np.bincount(cell_kind[inside], minlength=len(known))
    share = {name: float(count) / counts.sum() for name, count in zip(known, counts, strict=True) if count}
    rough = [surfaces()[name] for name in known]
    finish = _finish(panel, rough, cell_kind, look.cosine, wet)
    turning = np.hypot(look.along, look.up)
    fine = np.zeros_like(finish.slope)
    drawn = []
    for (low, high), height in zip(TEXTURE_BANDS, panel.texture, strict=True):
        length = math.sqrt(low * high)
        steep = height * (math.pi / length)  # rms slope each way of waves of that amplitude
        if length >= 2 * point:
            drawn.append((length, steep))
        else:
            fine += steep**2
    for number, (length, steep) in enumerate(drawn):
        waves = peel(rows, width, length / point, number)
        place += (turn[0] * waves[0] + turn[1] * waves[1]) * spread.smooth(steep)
    blur = turning * np.sqrt(fine)
    sharp, wide = (_row_of(one) for one in (blur, np.hypot(blur, turning * finish.slope)))
    index = spread.near(cell_kind)
    colours = [wetted(one.colour) if wet else one.colour for one in rough]
    index, marked = _patterned(index, rough, colours)
    guide = spread.smooth(panel.guide_coat)
    if guide.any():
        specks = guide * COVERS > grain(rows, width)
        index = np.where(specks, len(colours), index)
        dark = surfaces()["guide coat"]
        colours.append(wetted(dark.colour) if wet else dark.colour)
        marked = np.where(specks, 1.0 if wet else 0.1, marked)
    keeps, scatters = (spread.smooth(finish.mirrors * part) * marked for part in (finish.kept, 1 - finish.kept))
    f4 = np.float32
    return _View(
        place.astype(f4),
        spread.near(sharp).astype(np.int32),
        spread.near(wide).astype(np.int32),
        keeps.astype(f4),
        scatters.astype(f4),
        index.astype(np.uint8),
        ~spread.near(inside),
        np.array(colours),
        share,
    )


def clarity(panel: Panel, area: Area = None, wet: bool = False) -> float:
    """Contrast of the mirrored stripes, (M − m) / (M + m) of their brightness: the middle of an area's cells.

    It counts gloss and what is finer than 10 mm; waves bend the stripes and leave their contrast.
    """
    where = cells_of(panel, area)
    look = _look(panel.shape.form.shape, panel.cell, "upright")
    known, kind = on_top(panel)
    rough = [surfaces()[name] for name in known]
    finish = _finish(panel, rough, kind, look.cosine, wet)
    fine = sum(
        (height * (math.pi / math.sqrt(low * high))) ** 2
        for (low, high), height in zip(TEXTURE_BANDS, panel.texture, strict=True)
    )
    blur = np.hypot(look.along, look.up) * np.sqrt(fine)
    blur, kept = float(np.median(blur[where])), float(np.median(finish.kept[where]))
    mirrors = float(np.median(finish.mirrors[where]))
    row = int(_row_of(np.array(blur))) // STEPS
    lines = _board("striped board").reshape(len(BLURS), STEPS)[row][STEPS // 4 : 3 * STEPS // 4]
    light = mirrors * (kept * lines + (1 - kept) * lines.mean())
    ground = np.median(np.array([one.colour for one in rough]).mean(axis=1)[kind][where])
    light = light + float(wetted(ground) if wet else ground)
    return float((light.max() - light.min()) / (light.max() + light.min()))


class _Finish(NamedTuple):
    """Of each cell: share of the light that comes back as from a mirror or near it, the share of that which is
    mirrored sharply, and the rms slope of what scatters the rest."""

    mirrors: np.ndarray
    kept: np.ndarray
    slope: np.ndarray


def _finish(panel: Panel, rough: list[Surface], kind: np.ndarray, cosine: np.ndarray, wet: bool) -> _Finish:
    film = mirror_reflectance.si(np.arccos(np.clip(cosine, 0.02, 1)), WATER_INDEX if wet else CLEAR_INDEX)
    if wet:  # water fills what is finer than waves
        return _Finish(film, np.ones_like(film), np.zeros_like(film))
    rq, slope, metal = (np.array([getattr(one, part) for one in rough])[kind] for part in ("rq", "slope", "mirrors"))
    # A film that dries matt stays matt whatever lies beneath; a glossy one has the scratches left in it.
    scratched = panel.scratch / scratch_of_rq(1.0)
    slope = np.where(scratched > rq, SANDED_SLOPE, slope)
    rq = np.maximum(rq, scratched)
    return _Finish(np.where(metal > 0, metal, film), np.asarray(mirrored_share(rq, cosine)), slope)


def scratch_of_rq(rq: float) -> float:
    """Depth of the scratches that make a roughness Rq, m."""
    return rq * float(coefficient("rz_to_ra")) / RQ_OF_RA


def wetted(colour: Any) -> Any:
    """A linear colour under a film of water: what the water mirrors is drawn by itself."""
    return np.maximum(wet_reflectance.si(colour) - mirror_reflectance.si(0.0, WATER_INDEX), 0)


class _Look(NamedTuple):
    """The eye, the panel's own form and the board, cell by cell: m on the board, m per lean along and up, cosine."""

    place: np.ndarray
    along: np.ndarray
    up: np.ndarray
    cosine: np.ndarray


@functools.lru_cache(maxsize=8)
def _look(cells: tuple[int, int], cell: float, lines: str) -> _Look:
    """The geometry of a flat panel; its crown and lines come with the leans."""
    ny, nx = cells
    x, y = np.meshgrid((np.arange(nx) + 0.5 - nx / 2) * cell, (np.arange(ny) + 0.5 - ny / 2) * cell)

    def place(lean_x: float, lean_y: float) -> tuple[np.ndarray, np.ndarray]:
        normal = np.array([-lean_x, -lean_y, 1.0])
        normal /= np.linalg.norm(normal)
        eye = EYE * np.array([-math.sin(SIGHT), 0.0, math.cos(SIGHT)])
        sight = np.stack([eye[0] - x, eye[1] - y, np.full_like(x, eye[2])], axis=-1)
        sight /= np.linalg.norm(sight, axis=-1, keepdims=True)
        cosine = sight @ normal
        ray = 2 * cosine[..., None] * normal - sight
        facing = np.array([math.sin(SIGHT), 0.0, math.cos(SIGHT)])
        far = (BOARD - (x * facing[0])) / np.maximum(ray @ facing, 0.05)
        at = np.stack([x, y, np.zeros_like(x)], axis=-1) + far[..., None] * ray
        across = np.array([math.cos(SIGHT), 0.0, -math.sin(SIGHT)]) if lines == "upright" else np.array([0, 1.0, 0])
        return at @ across, cosine

    flat, cosine = place(0.0, 0.0)
    small = 1e-4
    along, up = ((place(*lean)[0] - flat) / small for lean in ((small, 0.0), (0.0, small)))
    return _Look(flat, along, up, cosine)


def _leans(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    """Slope of the surface along and up, its form with it; beside the rim from inside alone."""
    height = np.where(panel.shape.inside, panel.shape.form + panel.surface, 0.0)
    inside = panel.shape.inside
    found = []
    for axis in (1, 0):
        step = np.diff(height, axis=axis) / panel.cell
        both = np.logical_and(
            *(np.take(inside, np.arange(at, inside.shape[axis] - 1 + at), axis=axis) for at in (0, 1))
        )
        step = np.where(both, step, 0.0)
        none = np.zeros_like(np.take(step, [0], axis=axis))
        total = np.concatenate([step, none], axis=axis) + np.concatenate([none, step], axis=axis)
        count = np.concatenate([both, none], axis=axis) + np.concatenate([none, both], axis=axis)
        found.append(total / np.maximum(count, 1))
    return found[0], found[1]


def _top(panel: Panel) -> np.ndarray:
    """Number of the layer on top; −1 off the panel. Overspray is a mist, no coat."""
    index = panel.shape.inside.astype(int) - 1
    for number, layer in enumerate(panel.layers[1:], 1):
        index[layer.meant(LEAST_SEEN) | (layer.thickness > OVERSPRAY)] = number
    return index


# --- the board --------------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=len(LIGHTS))
def _board(kind: str) -> np.ndarray:
    """Brightness along the board, times white paper, blurred by each of BLURS, one after the other."""
    step = 2 * AROUND / STEPS
    at = (np.arange(STEPS) + 0.5) * step - AROUND
    if kind == "tube lamp":
        lit = (np.abs(at) < TUBE / 2).astype(float)
    else:
        lit = (np.mod(at, PITCH) < PITCH / 2).astype(float)
    light = ROOM[kind] + lit * BRIGHT[kind]
    waves = np.fft.rfftfreq(2 * STEPS, step)
    padded = np.fft.rfft(np.concatenate([light, light[::-1]]))
    found = [
        np.fft.irfft(padded * np.exp(-2 * (np.pi * waves * max(blur, step)) ** 2), 2 * STEPS)[:STEPS]
        for blur in BLURS
    ]
    result = np.concatenate(found).astype(np.float32)
    result.setflags(write=False)
    return result


def _shift(light: Light) -> float:
    """How far (m) the light has been moved: the lamp over most of what the panel mirrors, the board by one stripe."""
    return (light.place - 0.5) * (1.6 if light.kind == "tube lamp" else 2 * PITCH)


def _row_of(blur: np.ndarray) -> np.ndarray:
    """Where the row of `_board` begins that is blurred so."""
    edges = (BLURS[1:] + BLURS[:-1]) / 2
    found: np.ndarray = np.searchsorted(edges, blur) * STEPS
    return found


def _patterned(
    index: np.ndarray, rough: list[Surface], colours: list[np.ndarray]
) -> tuple[np.ndarray, np.ndarray | float]:
    """The index with a darker colour on the marks of each pattern, and how bright what is mirrored is there.

    The colours are added to the list.
    """
    marked = np.ones(index.shape)
    for number, one in enumerate(rough):
        if one.pattern == "plain":
            continue
        here = (index == number) & marks(one.pattern, *index.shape)
        index, marked = np.where(here, len(colours), index), np.where(here, MARKED, marked)
        colours.append(MARKED * colours[number])
    return index, marked
