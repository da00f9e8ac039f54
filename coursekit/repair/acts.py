"""One step of a recipe carried out on a panel."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from coursekit import panel as acts
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.drying.evaporation import COLDEST, WARMEST, vapour_pressure
from coursekit.nomenclature import load_data
from coursekit.panel import Panel, Paper, Tool, Used, cells_of
from coursekit.panel.tools import HARDNESS, pieces_of, removal_of
from coursekit.quantities import InputError
from coursekit.repair.recipe import Recipe, Step
from coursekit.repair.vocabulary import tools
from coursekit.sanding.grits import Grade
from coursekit.sanding.scratches import LEAST_PRESSURE, MOST_PRESSURE, scratch_of
from coursekit.sources import coefficient
from coursekit.spraying.runs import drying_constant
from coursekit.uncertain import Coefficient

HALF_TIME = 300.0  # s (assumed; the data sheet's flash time is some three of them)
SOLVENT = "n-butyl acetate"
ALONG = {"along": "x", "across": "y", "cross": "cross"}
FLASHED = 0.2  # of the solvent of landed drops, lost in flight at 20 °C (assumed)
STOPS_FLOWING = {name: float(coefficient(f"{name}_solids")) for name in ("base", "clear")}  # share of solids then
SPREAD = 4  # standard deviations in the visible width of a fan
_SEEDS = 1009  # a prime: seeds of one hand's steps never meet those of the next hand's within a recipe


def act(panel: Panel, recipe: Recipe, step: Step, finer: float = 1.0) -> tuple[Panel, Used]:
    """The panel after a step, and what the step used. Raises InputError that names the step.

    finer  times as many visits in sanding as the answer needs; fewer than one make a preview
    """
    try:
        if step.do in _SANDED:
            return _SANDED[step.do](panel, recipe, step, finer)
        return _ACTS[step.do](panel, recipe, step)
    except InputError as error:
        place = f"step {step.number} ({step.words}), {error.argument}"
        raise error.at(
            where=("step", step.number - 1, error.problems[0].key), file=recipe.name, line=step.line, place=place
        ) from None


def seed_of(recipe: Recipe, step: Step) -> int:
    """The seed of one step's luck."""
    return int(recipe.hand["seed"]) * _SEEDS + step.number


@lru_cache(maxsize=64)
def half_time(temperature: float) -> float:
    """Time in which half of a wet film's solvent leaves, s: it goes with the vapour pressure of a usual solvent."""
    pressures = [vapour_pressure.si(SOLVENT, held) for held in (ROOM_TEMPERATURE, spraying_air(temperature))]
    return HALF_TIME * float(pressures[0] / pressures[1])


@lru_cache(maxsize=64)
def flashed(temperature: float) -> float:
    """Share of the solvent of landed drops that is lost in flight: it goes with how fast a drop dries in that air."""
    return float(1 - (1 - FLASHED) ** drying_constant.si(spraying_air(temperature), 1.0, 1.0))


def spraying_air(temperature: float) -> float:
    """The temperature of a garage, held to where vapour pressures are known."""
    return min(max(temperature, COLDEST), WARMEST)


# --- time --------------------------------------------------------------------------------------------------


def _wait(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    return acts.wait(panel, time=step["time"], solvent_half_time=half_time(recipe.garage["temperature"]))


def _while_drying(panel: Panel, recipe: Recipe, step: Step, call: Any, **settings: Any) -> tuple[Panel, Used]:
    """An act that takes time, in which the wet films go on drying."""
    dried, waited = _wait(panel, recipe, step)
    done, used = call(dried, time=0.0, **settings)
    return done, replace(used, time=waited.time or step["time"], solvent=waited.solvent)


def _clean(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    return _while_drying(panel, recipe, step, acts.wash, wipes=step["wipes"], area=step["area"])


def _guide_coat(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    return _while_drying(panel, recipe, step, acts.guide_coat, area=step["area"])


def _mask(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    return _while_drying(
        panel,
        recipe,
        step,
        acts.mask,
        area=step["open"],
        outside=True,
        edge=step["edge"],
        lip_height=max(step["lip"], 1e-5),
    )


def _unmask(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    return _while_drying(panel, recipe, step, acts.unmask)


def _fill(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    return _while_drying(
        panel,
        recipe,
        step,
        acts.fill,
        area=step["area"],
        proud=step["proud"],
        ripple=step["ripple"],
        seed=seed_of(recipe, step),
    )


# --- sanding -----------------------------------------------------------------------------------------------


def tool_of(step: Step, recipe: Recipe | None = None) -> Tool:
    """What the hand or the machine holds in a step; given the recipe, its pad as the learner measured it."""
    row = tools()[step["tool"]]
    backing = row["backing"]
    if recipe is not None and isinstance(backing, Coefficient):
        backing = float(coefficients_of(recipe)[backing.key])
    length, width = row["length"], row["width"]
    block = step.settings.get("block")
    if row.get("disc") or (block is not None and block.disc):
        length = width = (block.length if block else length) * math.sqrt(math.pi) / 2  # the square of equal area
    elif block is not None:
        length, width = block.length, block.width
    return Tool(step["tool"], length, width, float(backing), row["bending"])


def hardness_of(recipe: Recipe) -> dict[str, float]:
    """Hardness (Pa) of the materials that the repair brings; the old ones keep the course's own."""
    return {name: float(row["hardness"]) for name, row in recipe.materials.items()}


def coefficients_of(recipe: Recipe) -> dict[str, float]:
    """The coefficients of sanding, measured ones first."""
    return {key: coefficient(key) if value is None else value for key, value in recipe.measured.items()}


def paper_of(recipe: Recipe, step: Step, distance: float = 0.0) -> Paper:
    """The paper or compound of a step as it cuts under that hand while the tool slides that far (m)."""
    tool, known = tool_of(step, recipe), coefficients_of(recipe)
    known.pop("pad_stiffness")
    pressure = step["force"] / tool.area
    if not LEAST_PRESSURE <= pressure <= MOST_PRESSURE:
        raise InputError(
            "force",
            f"{step['force']:g} N on {tool.area * 1e4:.0f} cm² is {pressure:.3g} Pa; scratches "
            "are known from 100 Pa to 100 kPa.",
            "A hand gives 10 to 40 N: press so, or take another block.",
        )
    if step.do != "polish":
        return acts.paper_of(step["paper"], tool, step["force"], hardness_of(recipe), **known, distance=distance)
    grain = load_data("compounds")[step["compound"]]["grain"] * 1e-6
    compound = Grade("compound", 0, grain, 1.0)
    usual = {name: float(coefficient(f"hardness_{key}")) for name, key in HARDNESS.items()}
    hard = usual | hardness_of(recipe)
    factor = known.pop("scratch_factor")
    return Paper(
        f"{step['compound']} compound",
        {name: float(scratch_of(compound, pressure, value, factor).mean) for name, value in hard.items()},
        removal_of(compound, hard, **known),
    )


def _sanded(
    panel: Panel, recipe: Recipe, step: Step, call: Any, distance: float, **settings: Any
) -> tuple[Panel, Used]:
    """The act, its paper as sharp as it is in the mean over that distance (m), and the pieces that it takes."""
    tool = tool_of(step, recipe)
    new, used = call(
        panel,
        tool=tool,
        paper=paper_of(recipe, step, distance),
        force=step["force"],
        area=step["area"],
        overhang=step["overhang"],
        keep_off=step["keep_off"],
        hand=recipe.hand["variation"],
        seed=seed_of(recipe, step),
        **settings,
    )
    if step.do != "polish":
        pieces = pieces_of(step["paper"], tool, sum(used.removed.values()), used.travel)
        used = replace(used, figures={**used.figures, "pieces": pieces})
    return new, used


def _block(panel: Panel, recipe: Recipe, step: Step, finer: float) -> tuple[Panel, Used]:
    call, tool = acts.block if step.do == "block" else acts.hand_sand, tool_of(step, recipe)
    distance = step["strokes"] * tool.length * max(1.0, _worked(panel, step) / tool.area)
    return _sanded(
        panel, recipe, step, call, distance, strokes=step["strokes"], along=ALONG[step["direction"]], finer=finer
    )


def _machine(panel: Panel, recipe: Recipe, step: Step, finer: float) -> tuple[Panel, Used]:
    call = acts.machine_sand if step.do == "machine sand" else acts.polish
    distance = math.pi * step["orbit"] * step["rotation"] * step["time"]
    return _sanded(
        panel,
        recipe,
        step,
        call,
        distance,
        time=step["time"],
        orbit=step["orbit"],
        rate=step["rotation"],
        finer=finer,
    )


def _worked(panel: Panel, step: Step) -> float:
    """Area that a step sands, m²."""
    return int((cells_of(panel, step["area"]) & (panel.mask < 0.5)).sum()) * panel.cell_area


# --- spraying ----------------------------------------------------------------------------------------------


def mixed_solids(recipe: Recipe, step: Step) -> float:
    """Volume solids of what is in the cup."""
    return float(recipe.materials[step["material"]]["volume_solids"] / (1 + step["reduction"]))


def _spray(panel: Panel, recipe: Recipe, step: Step) -> tuple[Panel, Used]:
    solids, material = mixed_solids(recipe, step), recipe.materials[step["material"]]
    sigma_along, lost = float(coefficient("spot_depth")) / SPREAD, flashed(recipe.garage["temperature"])
    total: dict[str, dict[str, float]] = {"solids": {}, "solvent": {"left": panel.solvent_volume()}}
    time = travel = strokes = hung = 0.0
    over = {"over contamination": 0.0, "over dust": 0.0}
    for coat in range(step["coats"]):
        if coat:
            panel, waited = acts.wait(
                panel, time=step["flash"], solvent_half_time=half_time(recipe.garage["temperature"])
            )
            time += waited.time
            total["solvent"]["air"] = total["solvent"].get("air", 0.0) + waited.solvent["air"]
        panel, used = acts.spray(
            panel,
            material=step["material"],
            volume_solids=solids,
            flow=step["delivery"],
            speed=step["speed"],
            pitch=step["step"],
            sigma_across=step["fan"] / SPREAD,
            sigma_along=sigma_along,
            captured=step["captured"],
            flashed=lost,
            along=ALONG[step["direction"]],
            lead=step["lead"],
            offset=0.5 * (coat % 2),
            area=step["area"],
            cover=step["cover"],
            texture=(0.0, 0.0, material["texture"], material["texture"]),
            levelled_solids=max(solids, STOPS_FLOWING.get(step["material"], 0.0)),
            hand=recipe.hand["variation"],
            seed=seed_of(recipe, step) + coat * 1_000_003,
        )
        _add(total["solids"], used.solids)
        _add(total["solvent"], {k: v for k, v in used.solvent.items() if k != "panel"})
        time, travel, strokes = time + used.time, travel + used.travel, strokes + used.strokes
        hung = max(hung, _hangs(panel, solids, lost))
        if coat == 0:
            over = {key: used.figures[key] for key in over}
    total["solvent"]["panel"] = panel.solvent_volume()
    sprayed = step["delivery"] * travel / step["speed"]
    figures = {
        **over,
        "hung": hung,
        "mixed": sprayed + step["left"],
        "liquid": sprayed,
        "left in cup": step["left"],
        "volume solids": solids,
        "trigger time": travel / step["speed"],
    }
    return panel, Used(
        "spray", time, total["solids"], total["solvent"], strokes=strokes, travel=travel, figures=figures
    )


def _liquid(panel: Panel) -> np.ndarray | float:
    """Solvent in all films, m, cell by cell."""
    return sum((la.solvent for la in panel.layers if la.solvent is not None), 0.0)


def _hangs(panel: Panel, solids: float, lost: float) -> float:
    """Wet film (m) that hangs where most hangs: the coat, and as much of those under it as is still liquid."""
    solvent = _liquid(panel)[panel.shape.inside]  # type: ignore[index]
    landed = (1 - solids) * (1 - lost)
    share = landed / (solids + landed)
    place = int(0.999 * len(solvent))
    return float(np.partition(solvent, place)[place]) / share if share > 0 else 0.0


def _add(total: dict[str, float], more: Mapping[str, float]) -> None:
    for key, value in more.items():
        total[key] = total.get(key, 0.0) + value


_SANDED = {"block": _block, "hand sand": _block, "machine sand": _machine, "polish": _machine}
_ACTS = {
    "clean": _clean,
    "fill": _fill,
    "guide coat": _guide_coat,
    "mask": _mask,
    "unmask": _unmask,
    "spray": _spray,
    "wait": _wait,
}
