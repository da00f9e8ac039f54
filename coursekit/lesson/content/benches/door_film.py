"""The door after one coat: its wet film as a map, with what the hand did right and wrong in it."""

from __future__ import annotations

import functools
import math
from dataclasses import replace
from typing import Any

import numpy as np

from coursekit import panel, spraying
from coursekit.belief import band_si
from coursekit.figure import Axis
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.content.shared.my_gun import Numbers, gun_and_paint, gun_words, sides, usual_hand
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.hand import Stroke, from_the_side, way_of_the_hand
from coursekit.lesson.draw.map_pictures import Map
from coursekit.lesson.draw.picture import Chart, Line, Row, upright
from coursekit.lesson.learner import own
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel import Panel
from coursekit.spraying.setting import SprayResult
from coursekit.uncertain import Band

SCALES = (60e-6, 120e-6, 240e-6, 600e-6, 2400e-6)  # m; the colours stay put until the next one is needed
ACROSS = np.linspace(-0.7, 0.7, 561)


@functools.lru_cache(maxsize=2)
def bare_door(width: float, height: float) -> Panel:
    """A door without sections: a slider's picture shows the grid only."""
    return panel.sheet_metal(replace(one_coat.door(width, height), lines=()))


@functools.lru_cache(maxsize=64)
def fan(shape: float, width: float, gun_distance: float, tilt: float) -> np.ndarray:
    share: np.ndarray = spraying.fan_share.si("beta", ACROSS, width, gun_distance, tilt, shape)
    return share


Known = tuple[tuple[str, float, float, float], ...]  # what the learner has measured: key, value, low, high


@functools.lru_cache(maxsize=64)
def gun(known: Known, so: Numbers, fan_opening: float, gun_distance: float, overlap: float) -> SprayResult:
    """What leaves the gun and what of it lands: the same at whatever speed, lead and tilt the hand moves it."""
    hand = {"fan_opening": fan_opening, "gun_distance": gun_distance, "overlap": overlap}
    setting: dict[str, Any] = {**dict(so), **hand, **{key: value for key, value, *_ in known}}
    found: SprayResult = spraying.spray_setting.si(**setting)
    return found


@functools.lru_cache(maxsize=4)
def scatter(known: Known, so: Numbers) -> Band:
    """The film of the usual hand over its middle, for every gun that this one may be, the `known` numbers measured.

    The hand moves all of them alike, so it is worked out once and not at each move of a slider.
    """
    mine = own.garage_file().using(spraying.spray_setting)
    setting: dict[str, Any] = {**dict(so), **{key: mine[key] for key, *_ in known}}
    found = band_si(spraying.spray_setting, draws=1000, **setting)
    return Band(*(end / found.wet_film.middle for end in found.wet_film))


@declare(
    "One coat on the door",
    gives={
        "wet": "wet_film",
        "middle": "wet_film",
        "with_gun": "wet_film",  # in the middle, for all that this gun may be
        "thinnest": "wet_film",
        "thickest": "wet_film",
        "side_edge": "wet_film",
        "worst": "wet_film",
        "hangs": "wet_film",
        "ahead": "sag_distance",  # how much further the wettest place slides than the middle
        "gauge": "dry_film",
        "step": "pitch",
        "pass_time": "pass_time",
        "width": "width",
        "past_edge": "solids_share",
        "mist": "solids_share",
    },
    about=lambda units: (
        f"{gun_words(units)} Here you change your hand. The first pass runs along the lower edge, the last along the "
        "upper one."
    ),
    sources=[
        "open_fan",
        "fan_shape",
        "yield_stress",
        "landed_viscosity",
        "tenfold_time",
        "seen_sag",
        "drop_calibration",
        "moving-bell",
        "ray-geometry",
        "falling-film",
    ],
    measurement="pattern",
)
def bench(
    fan_opening: float = at("75 %", outfit=True),
    shape: float = at("2.5", seldom=True, measured="fan_shape"),
    gun_distance: float = at("175 mm", outfit=True, slider_us=(4.75, 11.75, 0.25)),
    gun_speed: float = at("0.4 m/s", outfit=True, slider=(0.1, 1.0, 0.02), slider_us=(20, 200, 5)),
    overlap: float = at("50 %", outfit=True),
    lead: float = at("50 mm"),
    tilt: float = at("0 °"),
) -> dict[str, Any]:
    mine = own.garage_file().using(spraying.spray_setting)
    known = tuple((key, float(c), c.low, c.high) for key, c in mine.items())
    paint, (across, up) = gun_and_paint(), sides()
    so = tuple({**paint, **usual_hand(), "panel_width": across, "panel_height": up}.items())
    set_so = gun(known, so, fan_opening, gun_distance, overlap)
    width = float(set_so.width)
    deep = float(spraying.fan_depth.si(gun_distance, own.coefficient("spot_depth")))
    share = fan(shape, width, gun_distance, tilt)
    solvent = set_so.account.solvent
    done, used = panel.spray(
        bare_door(across, up),
        material="surfacer",
        volume_solids=paint["volume_solids"],
        flow=float(set_so.fluid_delivery),
        fan=panel.Fan.seen(width, deep, lambda distance: np.interp(distance, ACROSS, share)),
        speed=gun_speed,
        pitch=float(set_so.pitch),
        captured=float(set_so.captured),
        lead=lead,
        flashed=float(solvent.in_flight / (solvent.in_flight + solvent.in_wet_film + solvent.with_missed)),
    )
    wet = done.layers[-1].wet
    rows, columns = wet.shape
    inner = wet[rows // 4 : rows - rows // 4, columns // 4 : columns - columns // 4]
    middle, worst = float(inner.mean()), float(wet.max())
    stress = own.coefficient("yield_stress")
    ahead = band_si(
        spraying.neighbour_sag,
        worst,
        min(middle, worst),
        own.coefficient("landed_viscosity"),
        paint["density"],
        own.coefficient("tenfold_time"),
        stress,
    )
    dry, _ = panel.wait(done, time=86_400.0)
    sprayed = used.solids.laid
    return {
        "panel": done,
        "wet": wet,
        "middle": middle,
        "with_gun": Band(*(middle * end for end in scatter(known, so))),
        "thinnest": float(inner.min()),
        "thickest": float(inner.max()),
        "side_edge": float(wet[rows // 4 : rows - rows // 4, 0].mean()),
        "worst": worst,
        "hangs": Band(*(float(spraying.critical_wet_film.si(end, paint["density"])) for end in stress.band)),
        "ahead": ahead,
        "gauge": panel.gauge(dry, seed=1).mean,
        "step": float(set_so.pitch),
        "one_pass": np.gradient(share, ACROSS),  # over ACROSS
        "deep": deep,
        "width": width,
        "passes": int(used.strokes),
        "pass_time": float(used.pass_time),
        "past_edge": float(used.solids.past_edge / sprayed),
        "mist": float((used.solids.settling + used.solids.airborne) / sprayed),
    }


@bench.says
def say(now: Now) -> str:
    words = f"In the middle the coat is {now.middle:2} wet"
    if now.with_gun.high > 1.05 * now.with_gun.low:
        words += f" ({now.with_gun} with your gun)"
    return f"{words}. {run_words(now)}"


def run_words(now: Now) -> str:
    told = f"The wettest spot has {now.worst:2}"
    limit = f"the sag limit of this paint, {now.hangs}"
    if now.worst < now.hangs.low:
        return f"{told}, below {limit}."
    told += (", within " if now.worst < now.hangs.high else ", above ") + limit
    seen = now.ahead.of(own.coefficient("seen_sag").band)
    verdict = (
        "No run shows."
        if now.ahead.high < seen.low
        else "Expect runs."
        if now.ahead.low > seen.high
        else "It may run."
    )
    return f"{told}. It slides {now.ahead} further than the film beside it; a painter sees a run at {seen}. {verdict}"


@bench.draws
def draw(now: Now) -> Drawn:
    film = now.wet.axis(SCALES)
    width, height = sides()
    across = now.figure(0.0, "panel_width").axis(width, "along the panel")
    up = now.figure(0.0, "panel_height").axis(height, "up the panel")
    return [hand(now), Row(Map(now.wet, across, up, film, 400), section(now, film, up))]


def hand(now: Now) -> Sketch:
    """How the gun is held and where it goes."""
    held = (now.gun_distance.si, math.radians(now.tilt.shown), ACROSS, now.one_pass)
    stroke = Stroke(*held, now.width.si, now.deep, now.step.si, now.lead.si, sides())
    words = (f"{now.step:2}", f"{now.lead}", f"{now.passes} passes, fan {now.width:2}")
    side = from_the_side(stroke, f"{now.gun_distance}", f"{now.tilt}")
    return Sketch([*side, *way_of_the_hand(stroke, words)], height=192)


def section(now: Now, film: Axis, up: Axis) -> Chart:
    """The film through the middle of the door from bottom to top, beside the map and as high as it."""
    column = now.wet[:, now.wet.si.shape[1] // 2]
    parts = [Line(column, now.figure(now.panel.shape.y, "panel_height"), pinned="pinned")]
    if now.hangs.low.shown < film.high:
        parts.append(upright(now.hangs.low, up, "may run from here"))
    return Chart(film, up, parts, 225, 205)


@bench.adds
def figures(now: Now) -> page.Markup:
    """What comb and gauge would read, and where the paint went."""
    told = page.paragraph(
        f"{now.passes} passes of {now.pass_time:2}, {now.step} apart; fan {now.width} wide. Wet film: "
        f"{now.thinnest:2} to {now.thickest:2} across the stripes, {now.side_edge:2} at the side edges. "
        f"{comb_words(now)} Dry, a gauge reads {now.gauge:2}. Of the solids, {now.past_edge:2} go past the edge and "
        f"{now.mist:2} become mist."
    )
    return page.folded("What comb and gauge read, and where the paint went", told)


def comb_words(now: Now) -> str:
    width, height = sides()
    comb = panel.comb(now.panel, width / 2, height / 2, now.system)
    wetted, dry = now.figure(comb.wetted, "wetted_tooth"), now.figure(comb.dry, "dry_tooth")
    if not comb.wetted:
        return f"In the middle even the first tooth of the comb, {dry}, stays dry."
    if not np.isfinite(comb.dry):
        return f"In the middle the comb wets up to its last tooth, {wetted}."
    return f"A comb in the middle comes up wet at {wetted} and dry at {dry}."
