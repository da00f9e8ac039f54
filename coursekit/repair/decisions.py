"""The questions of a repair, each answered with its reason and figures.

What needs the panel takes an entry of a replay, or plays a step again in other ways; what a trade can answer by
itself is asked there. Figures are quantities with units; `system` only chooses how the reason speaks.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit import panel as acts
from coursekit import sanding
from coursekit.figure import Figure
from coursekit.nomenclature import System
from coursekit.panel.looks import waviness
from coursekit.quantities import InputError, Written, give, in_range, read, read_choice, shown_band
from coursekit.repair.case import SPOT
from coursekit.repair.change import LEAST_OPENED
from coursekit.repair.condition import STRICT_SLOPE, Condition
from coursekit.repair.entry import Entry
from coursekit.repair.opened import opened_areas, opened_words
from coursekit.repair.playing import RecipeLike, as_recipe, replay
from coursekit.repair.readiness import FEATHER_OUT, FULL_BUILD, KIND, too_deep, waves_reasons
from coursekit.repair.start import starting_panel
from coursekit.repair.steps import Sand
from coursekit.repair.verdicts import goes_on_first
from coursekit.repair.vocabulary import tools
from coursekit.repair.words import spot_words
from coursekit.sanding.wear import ease_of

HAND_BLOCK = "70 x 125 mm"
LONG_BOARD = "70 x 400 mm"
PAPER_ON_BLOCK = 1e9  # Pa/m: paper on a hard backing, as the blocks of tools.toml
DISTANCES = (0.0, 0.005, 0.01, 0.02, 0.03, 0.05, 0.08)  # m tried beside a body line
FILLER_STILL = 2.0  # times what most people see may filler still have: surfacer is blocked over it (assumed)
SAFE_SHARE = 0.5  # of the film on the line that should be left (assumed)


class Decision(NamedTuple):
    """An answer, its reason, and the figures behind it."""

    answer: str
    reason: str
    figures: Mapping[str, Any]

    def __str__(self) -> str:
        return f"{self.answer[:1].upper() + self.answer[1:]}. {self.reason}"


def _entry(value: Any, argument: str = "entry") -> Entry:
    if not isinstance(value, Entry):
        raise InputError(
            argument,
            "is not a step that was played.",
            "Give an entry of a replay, such as played[5].",
            kind="unknown",
        )
    return value


# --- straight, through, recoat -----------------------------------------------------------------------------


def is_straight(entry: Entry, system: System = "metric") -> Decision:
    """Is it straight? To a strict eye and to most, and which waves are worst."""
    after = _entry(entry).condition
    grid = [wave for wave in waviness(entry.panel, entry.area) if wave.low >= 10e-3]
    worst = max(grid, key=lambda wave: wave.amplitude / wave.strict)
    answer = (
        "straight, even to a strict eye"
        if after.waves <= 1
        else "straight to most eyes"
        if after.waves <= KIND
        else "not straight"
    )
    (judged,) = waves_reasons(after)
    words = judged.text(system)
    reason = (
        f"{words[:1].upper() + words[1:]}. The worst waves of the repair are "
        f"{shown_band(worst.low, worst.high, 'wavelength', system)} long and "
        f"{Figure(worst.amplitude, 'amplitude', system):2} high; a strict eye sees "
        f"{Figure(worst.strict, 'amplitude', system):2} of them, most people "
        f"{Figure(worst.kind, 'amplitude', system):2}."
    )
    return Decision(
        answer,
        reason,
        {
            "times_strict": after.waves,
            "times_kind": after.waves / KIND,
            "wavelength": give(after.wavelength, "wavelength"),
            "amplitude": give(worst.amplitude, "amplitude"),
        },
    )


def broken_through(entry: Entry, system: System = "metric") -> Decision:
    """Broken through to what – filler, old paint, bare metal – and what must go on first?"""
    broken = opened_areas(_entry(entry))
    figures = {f"{through} to {to}": give(area, "area") for (through, to), area in sorted(broken.items())}
    reason = " ".join(opened_words(entry, system))
    if not broken:
        return Decision("not broken through", f"No other material shows than before. {reason}".strip(), figures)
    *others, last = dict.fromkeys(to for _, to in broken)
    return Decision("broken through to " + (f"{', '.join(others)} and {last}" if others else last), reason, figures)


def film_for_waves(after: Condition, length: float, width: float, force: float) -> float:
    """Mean film (m) that a block takes off until the waves of a panel are straight to most eyes."""
    if after.waves <= KIND or after.wavelength <= 0:
        return 0.0
    amplitude = min(after.waves * STRICT_SLOPE * after.wavelength / (2 * math.pi), 5e-3)
    target = float(sanding.visible_wave.si(after.wavelength, KIND).kind)
    return float(
        sanding.film_to_level.si(
            amplitude,
            min(max(target, 1e-8), 1e-3),
            length,
            after.wavelength,
            force / (length * width),
            PAPER_ON_BLOCK,
        )
    )


def recoat_or_go_on(entry: Entry, system: System = "metric") -> Decision:
    """Recoat or go on? From what shows, whether it is straight, and the film that is left to level with."""
    after = _entry(entry).condition
    step = entry.step if isinstance(entry.step, Sand) else None
    tool = step.holds() if step else None
    length, width = (tool.length, tool.width) if tool else (0.125, 0.070)
    force = step.force if step else 20.0
    needed = film_for_waves(after, length, width, force)
    laid = next((name for name in ("surfacer", "filler") if name in after.film), "")
    # The thinnest filler is its feathered rim, not the crest of a wave.
    left = (after.film[laid].mean if laid == "filler" else after.film[laid].thin) if laid else 0.0
    metal, filler = after.shows.get("bare metal", 0.0), after.shows.get("filler", 0.0)
    figures = {
        "surfacer_left": give(left if laid == "surfacer" else 0.0, "film"),
        "film_to_straight": give(needed, "film"),
        "bare_metal": give(metal, "area"),
        "filler": give(filler, "area"),
        "times_strict": after.waves,
    }
    said = (
        _through_to_metal(after, system)
        or _not_straight(after, laid, left, needed, system)
        or _through_to_filler(filler, laid, system)
        or ("go on", "Straight to most eyes, and neither filler nor metal shows.")
    )
    return Decision(*said, figures)


Said = tuple[str, str] | None  # an answer and its reason, where there is something to say


def _through_to_metal(after: Condition, system: System) -> Said:
    if (metal := after.shows.get("bare metal", 0.0)) > SPOT:
        where = f"on {spot_words(metal, system)}"
    elif opened := [
        f"{Figure(length, 'extent', system):2} of the {line}"
        for line, seen in after.lines.items()
        if (length := seen.get("bare metal", 0.0)) > LEAST_OPENED
    ]:
        where = f"along {' and '.join(opened)}"
    else:
        return None
    return "primer first", f"Bare metal shows {where}: {goes_on_first('surfacer', 'bare metal')}."


def _not_straight(after: Condition, laid: str, left: float, needed: float, system: System) -> Said:
    """What to do with waves, by the film (m) that is left and that levelling needs."""
    if after.waves <= (KIND if laid != "filler" else FILLER_STILL * KIND):
        return None
    times = f"({after.waves:.0f} times a strict eye's limit)"
    if after.beside and (after.in_damage or 0.0) <= KIND:
        how = FEATHER_OUT.partition(": ")[2]  # the answer says the rest
        return (
            "feather out wider",
            f"The damage itself is straight to most eyes, but beside it the waves are {after.waves:.0f} times a "
            f"strict eye's limit: where blocking ended. More strokes there only dig deeper. "
            f"{how[:1].upper()}{how[1:]}.",
        )
    if laid == "surfacer" and (deep := too_deep(after)) > FULL_BUILD:
        return (
            "back to filler",
            f"It is not straight {times}: {Figure(deep, 'film', system):2} would have to go from the crests of its "
            f"waves, more than full coats of surfacer build ({Figure(FULL_BUILD, 'film', system):2}). Sand back to "
            "the filler, fill the lows, and shape it anew.",
        )
    takes, there = (f"{Figure(film, 'film', system):2}" for film in (needed, left))
    if needed > left:
        return (
            "build again",
            f"It is not straight {times}, and levelling takes about {takes} of film, but only {there} is left: "
            + ("surfacer in full coats, or filler in the lows." if laid == "surfacer" else "filler in the lows."),
        )
    return "block on", f"It is not straight yet {times}, and the {there} left allow the {takes} that levelling takes."


def _through_to_filler(filler: float, laid: str, system: System) -> Said:
    if filler <= SPOT:
        return None
    shows = spot_words(filler, system)
    if laid == "filler":
        straight = "The filler is straight enough to block surfacer over it."
        return "surfacer next", f"{straight} It shows on {shows} with no surfacer yet: spray it in full coats."
    thin = "A thin coat of surfacer covers it; no build is needed."
    return "one thin coat", f"It is straight to most eyes, but sanded through to filler on {shows}. {thin}"


# --- papers and films --------------------------------------------------------------------------------------


def thinnest_recoat(
    grade: object = "P320",
    finish_grade: object = "P600",
    force: Written = "20 N",
    block: object = HAND_BLOCK,
    hardness: object = "surfacer",
    system: System = "metric",
) -> Decision:
    """How thin may the recoat be and still hide the scratches of a paper?"""
    found = sanding.thinnest_recoat.si(
        grade, finish_grade, float(read(force, "force")), block, read(hardness, "hardness")
    )
    reason = (
        f"It takes {shown_band(found.film.low, found.film.high, 'film', system)} of dry film: "
        f"{shown_band(found.fill.low, found.fill.high, 'scratch_depth', system)} fill the deepest scratch, the "
        "rest takes the last paper, twice over."
    )
    return Decision(
        f"{found.verdict}, {Figure(found.film.high, 'film', system):2} dry at least",
        reason,
        {"film": give(found.film.high, "film"), "fill": give(found.fill.high, "scratch_depth")},
    )


def finishing_strokes(
    previous_grade: object = "P320",
    grade: object = "P600",
    force: Written = "15 N",
    block: object = HAND_BLOCK,
    hardness: object = "surfacer",
    film: Written = "20 µm",
) -> Decision:
    """How many strokes of the last paper sand out the one before, without going through?"""
    hard = read(hardness, "hardness")
    found = sanding.strokes_between.si(
        previous_grade,
        grade,
        float(read(force, "force")),
        block,
        hard,
        float(read(film, "film")),
        cutting_ease=float(ease_of(hard)),
    )
    answer = (
        "there is not enough film"
        if found.verdict == "no"
        else f"{Figure(found.least.middle, 'strokes'):2} over each spot sand it out"
    )
    return Decision(
        answer,
        found.reason + " Gauge, 50 strokes, gauge: your own figure is worth more.",
        {"least": float(found.least.middle), "most": float(found.most.middle), "ratio": float(found.ratio.middle)},
    )


def board_or_block(
    wavelength: Written,
    amplitude: Written,
    film: Written,
    force: Written = "20 N",
    block: object = HAND_BLOCK,
    board: object = LONG_BOARD,
    kindness: Written = 5,
    system: System = "metric",
) -> Decision:
    """Long board or short block for this wave?

    kindness  how many times a strict eye's limit still counts as straight, 1 to 30
    """
    wave, high = float(read(wavelength, "wavelength")), float(read(amplitude, "amplitude"))
    target = min(max(float(sanding.visible_wave.si(wave, float(read(kindness, "kindness"))).kind), 1e-8), 1e-3)
    goal = f"{Figure(target, 'amplitude', system):2}"
    found = sanding.board_or_block.si(
        wave, high, target, float(read(film, "film")), float(read(force, "force")), block, board, PAPER_ON_BLOCK
    )
    figures = {
        "block_film": give(found.block_film, "removed"),
        "board_film": give(found.board_film, "removed"),
        "target": give(target, "amplitude"),
    }
    if high <= target:
        return Decision("leave it", f"Such an eye calls waves of that length straight up to {goal}.", figures)
    takes = [
        "more than any film" if value > 5e-3 else f"{Figure(value, 'removed', system):2}"
        for value in (found.block_film, found.board_film)
    ]
    return Decision(
        {"block": "the short block", "board": "the long board", "neither": "neither"}[found.choice],
        f"{found.reason} Down to {goal} the block takes {takes[0]}, the board {takes[1]}.",
        figures,
    )


# --- tried on the panel ------------------------------------------------------------------------------------


def stop_from_line(recipe: RecipeLike, number: int, system: System = "metric") -> Decision:
    """How far from the body line must I stop? The sanding step is played again at several distances.

    recipe  a recipe, its replay or the path of its file
    number  of the step that sands; it is tried crossing the line and keeping off it
    """
    base = as_recipe(recipe)
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= len(base.steps):
        raise InputError("number", "is no step of this recipe.", f"Give 1 to {len(base.steps)}.", kind="unknown")
    step = base.steps[number - 1]
    if not isinstance(step, Sand) or "body line" not in {
        line.name for line in starting_panel(base.panel).shape.lines
    }:
        raise InputError("number", "sands no panel with a body line.", "Give a sanding step on a door.")
    left: dict[float | None, float] = {}
    before = math.nan
    for distance in (None, *DISTANCES):
        tried = base.changed("step", number, "keep_off", to="" if distance is None else f"{distance * 1e3:g} mm")
        played = replay(tried, until=number)
        panels = (played[number - 2].panel if number > 1 else played.start), played[number - 1].panel
        sanded = _sanded_most(played[number - 1])
        before, left[distance] = (_film_on_line(panel, sanded) for panel in panels)
    wanted = SAFE_SHARE * before
    enough = [distance for distance in DISTANCES if left[distance] >= wanted]
    words = ", ".join(
        f"{Figure(left[distance], 'film', system):2} at {Figure(distance, 'stop_distance', system):2}"
        for distance in DISTANCES
    )
    film = f"{Figure(before, 'film', system):2}"
    across = f"{Figure(left[None], 'film', system):2}"
    if left[None] >= wanted:
        answer = "it may cross the line"
    elif enough:
        answer = f"stop {Figure(enough[0], 'stop_distance', system):2} short of the line"
    else:
        answer = "tape the line"
    reason = (
        f"Of {film} on the line at its thinnest {across} are left when the block crosses it; kept off it, "
        f"{words}. Half of the film should be left; add what your hand varies."
    )
    figures = {
        "film_before": give(before, "film"),
        "crossing": give(left[None], "film"),
        "kept_off": give(np.array([left[distance] for distance in DISTANCES]), "film"),
        "distances": give(np.array(DISTANCES), "stop_distance"),
    }
    return Decision(answer, reason, figures)


def _sanded_most(entry: Entry) -> str:
    removed = entry.used.removed
    return max(removed, key=lambda name: removed[name]) if removed else "old clear"


def _film_on_line(panel: acts.Panel, material: str) -> float:
    """The thinnest film of a material on the body line's ridge, m: the mean of the stations where it lies."""
    numbers = [n for n, layer in enumerate(panel.layers) if layer.material == material]
    for section in panel.sections:
        if section.line.name == "body line" and numbers:
            film = np.sum([section.thickness[n] for n in numbers], axis=0)
            least, lies = film.min(axis=1), film.max(axis=1) > 1e-6
            return float(least[lies].mean()) if lies.any() else 0.0
    return 0.0


def cross_hatch(
    wavelength: Written = "150 mm",
    amplitude: Written = "3 µm",
    strokes: Written = 100,
    force: Written = "20 N",
    tool: str = "long board",
    grade: object = "P320",
    system: System = "metric",
    finer: float = 1.0,
) -> Decision:
    """What does cross-hatch buy? A card with equal waves both ways is blocked one way, and crosswise as much."""
    wave, high = float(read(wavelength, "wavelength")), float(read(amplitude, "amplitude"))
    in_range("wavelength", wave, 40e-3, 0.3, "The waves must fit on a card.")
    row = tools()[read_choice(tool, tuple(name for name in tools() if "block" in tools()[name]["use"]), "tool")]
    held = acts.Tool(tool, row["length"], row["width"], float(row["backing"]), row["bending"])
    push, work = float(read(force, "force")), float(read(strokes, "strokes"))
    side = 4 * wave + held.length
    card = acts.test_card(side, side, 10e-3 if wave > 80e-3 else 5e-3)
    along_x, along_y = (np.cos(2 * np.pi * (axis - axis.mean()) / wave) for axis in (card.x, card.y))
    start = acts.sheet_metal(
        card, dents=high * (along_x + along_y[:, None]), coats=(("surfacer", 1e-3),), contamination=0.0
    )
    paper = acts.paper_of(grade, held, push)
    left = {}
    for along in ("x", "cross"):
        sanded, _ = acts.block(start, tool=held, paper=paper, force=push, strokes=work, along=along, finer=finer)
        left[along] = _waves_left(sanded, wave)
    worst = {along: max(ways) for along, ways in left.items()}
    gain = 1 - worst["cross"] / worst["x"] if worst["x"] else 0.0
    words = {along: [f"{Figure(value, 'amplitude', system):2}" for value in ways] for along, ways in left.items()}
    reason = (
        f"Of waves of {Figure(high, 'amplitude', system):2} both ways, one direction leaves {words['x'][0]} "
        f"along the strokes and {words['x'][1]} across them; crosswise leaves {words['cross'][0]} and "
        f"{words['cross'][1]}, with equal work."
    )
    answer = f"{gain:.0%} less wave in the worse direction" if gain > 0.05 else "next to nothing here"
    return Decision(
        answer,
        reason,
        {
            "one_way": give(np.array(left["x"]), "amplitude"),
            "crosswise": give(np.array(left["cross"]), "amplitude"),
            "gain": gain,
        },
    )


def _waves_left(panel: acts.Panel, wave: float) -> tuple[float, float]:
    """Amplitude of the waves along x and along y, away from the card's edges."""
    shape = panel.shape
    middle = [np.abs(axis - axis.mean()) < wave for axis in (shape.x, shape.y)]
    surface = panel.surface[np.ix_(middle[1], middle[0])]
    found = []
    for axis, places in ((0, shape.x[middle[0]]), (1, shape.y[middle[1]])):
        phase = 2 * np.pi * (places - places.mean()) / wave
        fitted = np.stack([np.cos(phase), np.sin(phase), np.ones_like(phase)], axis=1)  # and the mean: a thick coat
        found.append(float(np.hypot(*np.linalg.lstsq(fitted, surface.mean(axis=axis), rcond=None)[0][:2])))
    return found[0], found[1]
