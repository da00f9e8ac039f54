"""Spraying: film laid in closed form, cut off by edges and masks, every drop counted."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from coursekit.panel.products import product
from coursekit.panel.state import (
    TEXTURE_BANDS,
    Layer,
    Panel,
    Section,
    Solids,
    Solvent,
    Used,
    cells_of,
    changed,
    check,
    frozen,
    known_material,
)
from coursekit.quantities import InputError
from coursekit.sources import coefficient
from coursekit.special import erf, normal_share
from coursekit.spraying.stroke import SPREAD, laid_passes

HIDES = 1e-6  # m of film that hides guide coat, wax and dust (assumed); less is mist
# Film on the top of a body line, and at the fold of an edge, over that on the flat beside it.
ON_LINE, ON_EDGE = (float(coefficient(key)) for key in ("film_on_line", "film_on_edge"))
HIDDEN = ("guide_coat", "contamination", "embedded", "dust")
SETTLES = 0.5  # share of what the panel does not catch that falls at once (assumed); the rest stays in the air
TURN_TIME = 1.0  # s from the end of one pass to the start of the next
DRAWN_OFF = 1e-3  # m: half of the strip that runs thin, √(length that levels before the film sets) (assumed)
LEVELS_BELOW = 3e-3  # m: longer texture is too slow to level before the film sets (Orchard)


@dataclass(frozen=True, repr=False, kw_only=True)
class Coat(Used):
    """What a coat used, its film, and what lay under it.

    mean_film, thickest_film        m        dry, over the whole panel
    over_contamination, over_dust   0 to 1   of what the film lies on, in the mean
    pass_time                       s        trigger time of a pass
    """

    mean_film: float
    thickest_film: float
    over_contamination: float
    over_dust: float
    pass_time: float


class Fan(NamedTuple):
    """What a gun lays while it stands: standard deviations across and along the stroke (m), or a profile across.

    profile  share of the fan on the near side of a distance (m) across the stroke; Gaussian unless given
    """

    sigma_across: float = 0.0625
    sigma_along: float = 0.018
    profile: Callable[[np.ndarray], np.ndarray] | None = None

    @classmethod
    def seen(cls, width: float, depth: float, profile: Callable[[np.ndarray], np.ndarray] | None = None) -> Fan:
        """A fan as wide and as deep (m) as it looks."""
        return cls(float(width) / SPREAD, float(depth) / SPREAD, profile)

    def near(self, distance: np.ndarray) -> np.ndarray:
        """Share of the fan on the near side of a distance (m) across the stroke."""
        return normal_share(distance / self.sigma_across) if self.profile is None else self.profile(distance)


USUAL_FAN = Fan()


class Passes(NamedTuple):
    """Straight passes along one axis: where across, from and to along, and film volume per metre of stroke (m²)."""

    across: np.ndarray
    start: np.ndarray
    end: np.ndarray
    strength: np.ndarray

    @property
    def travel(self) -> float:
        """Length with the trigger pulled, m."""
        return float(np.abs(self.end - self.start).sum())

    @property
    def volume(self) -> float:
        """Film volume laid by all of them, m³."""
        return float((np.abs(self.end - self.start) * self.strength).sum())


def deposit(passes: Passes, across: np.ndarray, along: np.ndarray, cell: float, fan: Fan) -> np.ndarray:
    """Film (len(across), len(along)) m, the mean over each cell, as one matrix product."""
    near = _across(passes, across, cell, fan) * passes.strength
    far = _along(passes, along, cell, fan.sigma_along)
    return np.outer(near.sum(axis=1), far[0]) if len(far) == 1 else product(near, far)


def _across(passes: Passes, across: np.ndarray, cell: float, fan: Fan) -> np.ndarray:
    borders = np.append(across - cell / 2, across[-1] + cell / 2)
    return np.maximum(np.diff(fan.near(borders[:, None] - passes.across), axis=0), 0) / cell


def _along(passes: Passes, along: np.ndarray, cell: float, sigma: float) -> np.ndarray:
    """One row per pass, or a single one when all begin and end alike."""
    borders = np.append(along - cell / 2, along[-1] + cell / 2)
    ends = np.stack([passes.start, passes.end])
    alike = bool((ends == ends[:, :1]).all())
    start, end = (ends[:, :1] if alike else ends)[:, :, None]
    share = np.diff(_erf_area(borders - start, sigma) - _erf_area(borders - end, sigma), axis=1) / (2 * cell)
    found: np.ndarray = np.maximum(share, 0)  # far off the stroke the difference of the two is rounding alone
    return found


def _erf_area(x: np.ndarray, sigma: float) -> np.ndarray:
    """Integral of erf(x / √2 σ)."""
    u = x / (math.sqrt(2) * sigma)
    found: np.ndarray = math.sqrt(2) * sigma * (u * erf(u) + np.exp(-(u**2)) / math.sqrt(math.pi))
    return found


def spray(
    panel: Panel,
    *,
    material: str,
    volume_solids: float,
    flow: float,
    fan: Fan = USUAL_FAN,
    speed: float = 0.45,
    pitch: float = 0.125,
    captured: float = 0.75,
    flashed: float = 0.2,
    along: str = "x",
    lead: float = 0.05,
    offset: float = 0.0,
    area: tuple[float, float, float, float] | None = None,
    cover: float = 0.0,
    texture: tuple[float, ...] | float = 0.0,
    levelled_solids: float | None = None,
    hand: float = 0.0,
    seed: int = 0,
) -> tuple[Panel, Coat]:
    """One coat of straight passes over an area: the pitch is kept, the outermost lie on its borders or past them.

    The film is that of a hand that follows the form: right within 2.4 % on a crown of 1 m radius. A gun that moves
    straight over such a crown is further from its ends, so there this film is up to 15 % too thick.

    volume_solids    share          of the liquid as sprayed
    flow             m³/s           liquid through the tip while the trigger is pulled
    speed, pitch     m/s, m         of the hand; from one pass to the next
    captured         share          of the solids that stay where the fan points; the rest never lands there
    flashed          share          of the solvent of landed drops lost in flight
    along            "x", "y", "cross"   cross: both ways, each a full set of passes
    lead             m              trigger on before the area and off after it
    offset           share          of a pitch by which the set is shifted: half for a second coat
    cover            m              how far the neighbours are covered beyond the panel's rectangle
    texture          m              amplitude of the landed film per band, or one for all bands above 1 mm
    levelled_solids  share          volume solids when the film stops flowing; as sprayed unless given: upper bound
    hand             share          standard deviation of the hand's speed; its steps and trigger stray with it"""
    known_material(material)
    check(
        volume_solids=(volume_solids, 0.01, 1),
        flow=(flow, 0, 1e-4),
        speed=(speed, 0.02, 3),
        pitch=(pitch, 2e-3, 1),
        sigma_across=(fan.sigma_across, 1e-3, 0.5),
        sigma_along=(fan.sigma_along, 1e-3, 0.5),
        captured=(captured, 0, 1),
        flashed=(flashed, 0, 1),
        lead=(lead, -0.5, 1),
        cover=(cover, 0, 20),
        hand=(hand, 0, 0.5),
        offset=(offset, -1, 1),
    )
    if along not in ("x", "y", "cross"):
        raise InputError("along", f"{along!r} is not a direction.", 'Choose "x", "y" or "cross".', kind="unknown")
    width, height = panel.shape.size
    x0, x1, y0, y1 = area or (0.0, width, 0.0, height)
    random = np.random.default_rng(seed)
    raw = np.zeros(panel.dents.shape)
    sprayed = covered = triggered = 0.0
    strokes = 0
    for axis in ("x", "y") if along == "cross" else (along,):
        ends, steps = ((x0, x1), (y0, y1)) if axis == "x" else ((y0, y1), (x0, x1))
        passes = _passes(steps, ends, pitch, lead, offset, flow * volume_solids / speed, hand, random)
        sprayed += passes.volume  # a slow pass sprays more, so it is counted pass by pass
        passes = passes._replace(strength=passes.strength * captured)
        ours = (passes, panel.shape.y, panel.shape.x) if axis == "x" else (passes, panel.shape.x, panel.shape.y)
        film = deposit(*ours, panel.cell, fan)
        raw += film if axis == "x" else film.T
        covered += _within(passes, panel.shape.size if axis == "x" else panel.shape.size[::-1], cover, fan)
        triggered += passes.travel
        strokes += len(passes.across)
    film = raw * panel.shape.inside_share
    on_car = _total(film, panel)
    if panel.mask.any():
        film *= 1 - panel.mask
    film.setflags(write=False)
    on_panel = _total(film, panel)
    on_masks = on_car - on_panel + max(covered - _total(raw, panel), 0.0)
    solids = _where_solids_went(sprayed, captured, on_panel, on_masks)
    solvent_rate = (1 - volume_solids) / volume_solids
    new = _laid(
        panel,
        material,
        film,
        frozen(film * (solvent_rate * (1 - flashed))),
        raw,
        volume_solids if levelled_solids is None else levelled_solids,
        texture,
        frozen(cells_of(panel, area) & (panel.mask < 0.5)),
    )
    seconds = triggered / speed + max(strokes - 1, 0) * TURN_TIME
    whole = max(on_panel / panel.cell_area, 1e-30)
    return changed(new, time=panel.time + seconds), Coat(
        act="spray",
        time=seconds,
        solids=solids,
        solvent=_where_solvent_went(sprayed, on_panel, solvent_rate, flashed),
        strokes=float(strokes),
        travel=triggered,
        mean_film=on_panel / panel.shape.area,
        thickest_film=float(film.max()),
        over_contamination=float((panel.contamination * film).sum()) / whole,
        over_dust=float((panel.dust * film).sum()) / whole,
        pass_time=(triggered / speed) / max(strokes, 1),
    )


def _where_solids_went(sprayed: float, captured: float, on_panel: float, on_masks: float) -> Solids:
    """All that was sprayed, m³ of solids: what landed past panel and masks is the rest."""
    missed = sprayed * (1 - captured)
    return Solids(
        laid=sprayed,
        panel=on_panel,
        masks=on_masks,
        past_edge=sprayed * captured - on_panel - on_masks,
        settling=missed * SETTLES,
        airborne=missed * (1 - SETTLES),
    )


def _where_solvent_went(sprayed: float, on_panel: float, rate: float, flashed: float) -> Solvent:
    """The same of the solvent, m³; `rate` is solvent per solids of the liquid."""
    in_flight = on_panel * rate * flashed
    return Solvent(
        sprayed=sprayed * rate,
        panel=on_panel * rate * (1 - flashed),
        in_flight=in_flight,
        with_missed=(sprayed - on_panel) * rate,
    )


def _total(film: np.ndarray, panel: Panel) -> float:
    return float(film.sum()) * panel.cell_area


def _passes(
    steps: tuple[float, float],
    ends: tuple[float, float],
    pitch: float,
    lead: float,
    offset: float,
    rate: float,
    hand: float,
    random: np.random.Generator,
) -> Passes:
    laid, past = laid_passes(steps[1] - steps[0], pitch)
    count = int(laid)
    if count > 2000:
        raise InputError(
            "pitch", "needs more than two thousand passes.", "Step further between passes.", kind="count"
        )
    first = steps[0] - past + offset * pitch
    stray = random.standard_normal((4, count)) * hand
    across = first + np.arange(count) * pitch + stray[1] * pitch / 2
    start = np.full(count, ends[0] - lead) + stray[2] * pitch
    end = np.maximum(ends[1] + lead + stray[3] * pitch, start)
    return Passes(across, start, end, rate * np.exp(-stray[0]))


def _within(
    passes: Passes,
    size: tuple[float, float],
    reach: float,
    fan: Fan,
) -> float:
    """Film volume that lands within `reach` of the bounding rectangle, itself included, m³."""
    across = np.diff(fan.near(np.array([[-reach], [size[1] + reach]]) - passes.across), axis=0)[0]
    borders = np.array([-reach, size[0] + reach])
    along = (
        np.diff(
            _erf_area(borders - passes.start[:, None], fan.sigma_along)
            - _erf_area(borders - passes.end[:, None], fan.sigma_along),
            axis=1,
        )[:, 0]
        / 2
    )
    return float((passes.strength * across * along).sum())


def _laid(
    panel: Panel,
    material: str,
    film: np.ndarray,
    solvent: np.ndarray,
    raw: np.ndarray,
    levelled: float,
    texture: tuple[float, ...] | float,
    aimed: np.ndarray,
) -> Panel:
    """The panel with that film on top: layers, sections, and what the film hides and brings."""
    merge = panel.layers[-1].material == material
    if merge:
        top = panel.layers[-1]
        both = solvent if top.solvent is None else frozen(top.solvent + solvent)
        meant = None if top.aimed is None else frozen(top.aimed | aimed)
        layers = (*panel.layers[:-1], Layer(material, frozen(top.thickness + film), both, panel.time, meant))
    else:
        layers = (*panel.layers, Layer(material, film, solvent, panel.time, aimed))
    brought = (0.0, 0.0, texture, texture) if isinstance(texture, (int, float)) else texture
    if len(brought) != len(TEXTURE_BANDS):
        raise InputError(
            "texture", "does not have one amplitude per band.", f"Give {len(TEXTURE_BANDS)}.", kind="list"
        )
    bands = tuple(
        _peel(old, new, levelled if band[1] <= LEVELS_BELOW else 0.0, film, solvent)
        for old, new, band in zip(panel.texture, brought, TEXTURE_BANDS, strict=True)
    )
    bare = film < HIDES
    hidden = {name: frozen(getattr(panel, name) * bare) for name in HIDDEN if getattr(panel, name).any()}
    sections = tuple(_section_laid(panel, section, raw, merge) for section in panel.sections)
    return changed(
        panel,
        layers=layers,
        scratch=_peel(panel.scratch, 0.0, levelled, film, solvent),
        texture=bands,
        sections=sections,
        **hidden,
    )


def _peel(old: np.ndarray, new: float, levelled: float, film: np.ndarray, solvent: np.ndarray) -> np.ndarray:
    """Dips that show through a film that shrinks as it dries, and the film's own."""
    shows = old
    if levelled and old.any():
        shows = frozen(old - levelled * np.minimum(old, film + solvent))
    return frozen(np.sqrt(shows**2 + np.minimum(new, film) ** 2)) if new else shows


def _section_laid(panel: Panel, section: Section, raw: np.ndarray, merge: bool) -> Section:
    at = section.at
    if section.line.kind == "mask edge":
        return section.with_film(raw[at][:, None] * section.share, merge)
    on_top = ON_EDGE if section.line.kind == "edge" else ON_LINE
    return section.with_film(
        (raw[at] * (1 - panel.mask[at]))[:, None] * section.share * ran_off(section.across, on_top), merge
    )


def ran_off(across: np.ndarray, on_top: float) -> np.ndarray:
    """Film across a line over that on the flat: what surface tension draws off the top lies on both sides of it.

    The second derivative of a bell: where the film sinks and swells when a bend is smoothed; nothing is lost.
    """
    place = (across / DRAWN_OFF) ** 2
    return 1 - (1 - on_top) * (1 - place) * np.exp(-place / 2)
