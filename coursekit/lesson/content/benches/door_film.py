"""The door after one coat: its wet film as a map, with what the hand did right and wrong in it."""

from __future__ import annotations

import functools
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from coursekit import panel, quantities, spraying
from coursekit.belief import band_si
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.draw.charts import Axis, Line, Part, chart, side_by_side
from coursekit.lesson.draw.colour_maps import TABLES, map_picture
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.panel import Panel
from coursekit.panel.looks import CombReading, GaugeReading
from coursekit.spraying.setting import SprayResult
from coursekit.uncertain import Band

GUN = ("turns", "gun_inlet_pressure", "tip_bore", "kinematic_viscosity", "density", "volume_solids")
HAND = ("gun_distance", "gun_speed", "overlap", "fan_opening")
SCALES = (60e-6, 120e-6, 240e-6, 600e-6, 2400e-6)  # m; the colours stay put until the next one is needed
ACROSS = np.linspace(-0.7, 0.7, 561)
Numbers = tuple[tuple[str, float], ...]


def gun_and_paint() -> dict[str, float]:
    """The chosen gun and paint, the trigger pulled fully: here only the hand moves."""
    mine = own.my_outfit().si
    return {**{key: mine[key] for key in GUN}, "trigger": 1.0}


def usual_hand() -> dict[str, float]:
    mine = own.my_outfit().si
    return {key: mine[key] for key in HAND}


def sides() -> tuple[float, float]:
    """Of the chosen panel, m: along and across the strokes."""
    mine = own.my_outfit().si
    return mine["panel_width"], mine["panel_height"]


def gun_words() -> str:
    """What the chosen gun and paint are, for the head of a bench."""
    mine, system = own.my_outfit(), unit_system.chosen()
    said = {key: quantities.shown(mine.si[key], key, system) for key in (*GUN, "panel_width", "panel_height")}
    return (
        f"Your gun: {mine.gun.name}, {said['tip_bore']} tip, {said['turns']} turns out, "
        f"{said['gun_inlet_pressure']} at its inlet, full trigger. Your paint: {mine.paint.name}, "
        f"{said['kinematic_viscosity']}, {said['volume_solids']} solids by volume."
    )


class Door(NamedTuple):
    panel: Panel
    wet: np.ndarray
    middle: float
    scatter: Band  # over the middle, for all that this gun may be
    thinnest: float
    thickest: float
    side_edge: float
    worst: float
    hangs: Band
    ahead: Band  # how much further the wettest place slides than the middle
    gauge: GaugeReading
    step: float
    width: float
    passes: int
    pass_time: float
    past_edge: float
    mist: float


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


def compute(
    fan_opening: float, shape: float, gun_distance: float, gun_speed: float, overlap: float, lead: float, tilt: float
) -> Door:
    mine = own.garage_file().using(spraying.spray_setting)
    known = tuple((key, float(c), c.low, c.high) for key, c in mine.items())
    paint, (across, up) = gun_and_paint(), sides()
    so = tuple({**paint, **usual_hand(), "panel_width": across, "panel_height": up}.items())
    set_so = gun(known, so, fan_opening, gun_distance, overlap)
    width, spot = float(set_so.width), own.coefficient("spot_depth")
    share = fan(shape, width, gun_distance, tilt)
    solvent = set_so.account.solvent
    done, used = panel.spray(
        bare_door(across, up),
        material="surfacer",
        volume_solids=paint["volume_solids"],
        flow=float(set_so.fluid_delivery),
        speed=gun_speed,
        pitch=float(set_so.pitch),
        sigma_across=width / 4,
        sigma_along=float(spraying.fan_depth.si(gun_distance, spot)) / 4,
        captured=float(set_so.captured),
        lead=lead,
        flashed=float(solvent.in_flight / (solvent.in_flight + solvent.in_wet_film + solvent.with_missed)),
        cumulative=lambda distance: np.interp(distance, ACROSS, share),
    )
    wet = done.layers[-1].wet
    rows, columns = wet.shape
    inner = wet[rows // 4 : rows - rows // 4, columns // 4 : columns - columns // 4]
    middle = float(inner.mean())
    stress = own.coefficient("yield_stress")
    hangs = Band(
        *(
            float(spraying.critical_wet_film.si(end, paint["density"]))
            for end in (stress.low, float(stress), stress.high)
        )
    )
    worst = float(wet.max())
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
    sprayed = used.solids["sprayed"]
    side_edge = float(wet[rows // 4 : rows - rows // 4, 0].mean())
    return Door(
        done,
        wet,
        middle,
        scatter(known, so),
        float(inner.min()),
        float(inner.max()),
        side_edge,
        worst,
        hangs,
        ahead,
        panel.gauge(dry, seed=1),
        float(set_so.pitch),
        width,
        int(used.strokes),
        float(used.pass_time),
        float(used.solids["past edge"] / sprayed),
        float((used.solids["settling"] + used.solids["airborne"]) / sprayed),
    )


def scale_of(now: Now) -> float:
    most = max(n.result.worst for n in (now, now.kept) if n)
    return next((end for end in SCALES if end >= most), SCALES[-1])


def draw(now: Now) -> str:
    film = now.axis("wet_film", 0, scale_of(now))
    width, height = sides()
    across = now.axis("panel_width", 0, width, "along the panel")
    up = now.axis("panel_height", 0, height, "up the panel")
    image = map_picture(now.number(now.result.wet, "wet_film"), across, up, film, TABLES["film"], now.words, 520)
    return page.paragraph(figures(now)) + side_by_side(image, section(now, film, up))


def section(now: Now, film: Axis, up: Axis) -> str:
    """The film through the middle of the door from bottom to top, beside the map and as high as it."""
    y = now.number(now.result.panel.shape.y, "panel_height")
    hangs = now.number(now.result.hangs, "wet_film")
    parts: list[Part] = [Line(now.number(middle_column(now), "wet_film"), y, "now" if now.kept else "")]
    if now.kept:
        parts.append(Line(now.number(middle_column(now.kept), "wet_film"), y, "kept", "dashed"))
    if hangs.low < film.high:
        parts.append(Line([hangs.low] * 2, [up.low, up.high], "may run from here", "dotted"))
    return chart(film, up, parts, 280, 296)


def middle_column(now: Now) -> np.ndarray:
    column: np.ndarray = now.result.wet[:, now.result.wet.shape[1] // 2]
    return column


def say(now: Now) -> str:
    door = now.result
    uncertain = Band(*(door.middle * end for end in door.scatter))
    words = f"In the middle the coat is {now.show(door.middle, 'wet_film', 2)} wet"
    if uncertain.high > 1.05 * uncertain.low:
        words += f" ({now.show(uncertain, 'wet_film')} with your gun)"
    return f"{words}. {run_words(now)}"


def figures(now: Now) -> str:
    """What comb and gauge would read, and where the paint went, above the picture."""
    door = now.result
    width, height = sides()
    comb = panel.comb(door.panel, width / 2, height / 2, "us" if now.system == "us" else "metric")
    assert door.gauge.readings is not None and door.gauge.mean is not None
    return (
        f"{door.passes} passes, {now.show(door.step, 'pitch')} apart; fan {now.show(door.width, 'width')} wide. Wet "
        f"film: {now.show(door.thinnest, 'wet_film', 2)} to {now.show(door.thickest, 'wet_film', 2)} across the "
        f"stripes, {now.show(door.side_edge, 'wet_film', 2)} at the side edges. {comb_words(now, comb)} Dry, a gauge "
        f"reads {now.show(door.gauge.mean, 'dry_film', 2)}. Of the solids, "
        f"{now.show(door.past_edge, 'solids_share', 2)} go past the edge and "
        f"{now.show(door.mist, 'solids_share', 2)} become mist."
    )


def comb_words(now: Now, comb: CombReading) -> str:
    if not comb.wetted:
        return f"In the middle even the first tooth of the comb, {now.show(comb.dry, 'dry_tooth')}, stays dry."
    if not np.isfinite(comb.dry):
        return f"In the middle the comb wets up to its last tooth, {now.show(comb.wetted, 'wetted_tooth')}."
    return (
        f"A comb in the middle comes up wet at {now.show(comb.wetted, 'wetted_tooth')} and dry at "
        f"{now.show(comb.dry, 'dry_tooth')}."
    )


def run_words(now: Now) -> str:
    worst, hangs = now.result.worst, now.result.hangs
    shown = f"The wettest spot has {now.show(worst, 'wet_film', 2)}"
    limit = f"the sag limit of this paint, {now.show(hangs, 'wet_film')}"
    if worst < hangs.low:
        return f"{shown}, below {limit}."
    shown += (", within " if worst < hangs.high else ", above ") + limit
    ahead, seen = now.result.ahead, own.coefficient("seen_sag")
    visible = now.show(Band(seen.low, 0.0, seen.high), "sag_distance")
    slides = (
        f"It slides {now.show(ahead, 'sag_distance')} further than the film beside it; a painter sees a run at "
        f"{visible}."
    )
    verdict = "No run shows." if ahead.high < seen.low else "Expect runs." if ahead.low > seen.high else "It may run."
    return f"{shown}. {slides} {verdict}"


bench = Bench(
    title="One coat on the door",
    about=lambda: (
        f"{gun_words()} Here you change your hand. The first pass runs along the lower edge, the last "
        "along the upper one."
    ),
    controls={
        "fan_opening": Control("75 %", outfit=True),
        "shape": Control("2.5", measured="fan_shape"),
        "gun_distance": Control("175 mm", outfit=True, slider_us=(4.75, 11.75, 0.25)),
        "gun_speed": Control("0.4 m/s", outfit=True, slider=(0.1, 1.0, 0.02), slider_us=(20, 200, 5)),
        "overlap": Control("50 %", outfit=True),
        "lead": "50 mm",
        "tilt": "0 °",
    },
    compute=compute,
    draw=draw,
    say=say,
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
