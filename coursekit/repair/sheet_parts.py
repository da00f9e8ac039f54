"""The rows of the job sheet in words: what to buy, mix, set, sand, mask, wait for and look for."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from coursekit.mixing.batches import batch
from coursekit.mixing.ratio import Ratio, read_ratio
from coursekit.nomenclature import System
from coursekit.quantities import shown, shown_band
from coursekit.repair.acts import FLASHED, SPREAD, mixed_solids, tool_of
from coursekit.repair.condition import FEW
from coursekit.repair.order import SANDING
from coursekit.repair.playing import Entry, Replay
from coursekit.repair.readiness import planned_film, time_needed
from coursekit.repair.recipe import Recipe, Step
from coursekit.repair.verdicts import pot_life_of
from coursekit.repair.words import spot_words, time_words
from coursekit.sources import coefficient

RESERVE = 0.20  # over what the coats take (common practice)
PAPER_LASTS = 300  # strokes until a piece is changed (assumed; change it when it stops cutting)
PARTS = {
    "filler": ("filler", "hardener"), "epoxy primer": ("epoxy primer", "activator", "reducer"),
    "surfacer": ("surfacer", "activator", "reducer"), "base": ("base", "reducer", "reducer"),
    "clear": ("clear", "activator", "reducer"),
}  # fmt: skip
CUP_TIME = 15.0  # s of the cup test
GUN_ADVICE = (
    "Distance 150 to 200 mm (6 to 8 in), square to the panel and moved parallel to it (common practice).",
    "Trigger on before the panel begins, off after it ends. Set the second coat half a pass off the first.",
    "Spray a card or a taped-up sheet first, look at the pattern, turn the fan and look again.",
    "Thin recoat: air kept low, about 12 psi at the gun, fluid about two turns out from closed, fan a little "
    "narrowed, trigger not pulled all the way (common practice); more air when it spits.",
)
MASK_ADVICE = (
    "Sheet over the whole car, taped down; cut out the work area. What lies open nearby collects mist.",
    "Raised edge: fold the tape back on itself so that its edge stands up, paper behind it.",
)


# --- what it is about --------------------------------------------------------------------------------------


def garage_words(recipe: Recipe, system: System) -> str:
    """The garage in a few words."""
    temperature, humidity = (shown(recipe.garage[key], key, system) for key in ("temperature", "humidity"))
    return f"{temperature} and {humidity} humidity"


def about(replay: Replay, system: System) -> str:
    """The panel, the garage and the size of the job."""
    recipe = replay.recipe
    shape = replay.start.shape
    sides = " by ".join(shown(side, "extent", system) for side in shape.size)
    text = f"A {shape.name} of {recipe.panel['sheet']}, {sides}"
    if recipe.panel["damage"]:
        wide, high, low = (shown(recipe.panel["damage"][key], name, system) for key, name in
                           (("width", "extent"), ("height", "extent"), ("low", "low_metal")))  # fmt: skip
        text += f"; the damage is {wide} wide and {high} high and lies {low} low at its deepest"
    return f"{text}. The garage is at {garage_words(recipe, system)}. {len(recipe.steps)} steps."


# --- to buy ------------------------------------------------------------------------------------------------


def mix_ratio(recipe: Recipe, step: Step) -> Ratio:
    """The parts of a step's mix, its own reducer as the last part."""
    ratio = read_ratio(recipe.materials[step["material"]]["ratio"])
    if not step["reduction"]:
        return ratio
    parts = (*ratio.parts, step["reduction"] * sum(ratio.parts))
    return Ratio(parts, ":".join(f"{part:.3g}" for part in parts))


def part_names(material: str, count: int, ratio_parts: int) -> tuple[str, ...]:
    """What each part is called; a part that a step adds is reducer."""
    names = PARTS[material]
    return tuple(names[n] if n < min(len(names), ratio_parts) else "reducer" for n in range(count))


def shopping(replay: Replay, system: System) -> Iterator[tuple[str, str, str]]:
    """What to buy, how much of it, and a note."""
    recipe = replay.recipe
    volumes: dict[str, float] = {}
    for entry in replay:
        step = entry.step
        if step.do == "spray":
            ratio = mix_ratio(recipe, step)
            own = len(read_ratio(recipe.materials[step["material"]]["ratio"]).parts)
            total = entry.used.figures["mixed"] * (1 + RESERVE)
            for name, share in zip(part_names(step["material"], len(ratio.parts), own), ratio.shares, strict=True):
                key = name if name == step["material"] else f"{name} for {step['material']}"
                volumes[key] = volumes.get(key, 0.0) + total * float(share)
        elif step.do == "fill":
            volumes["filler"] = volumes.get("filler", 0.0) + entry.used.solids["spread"] * (1 + RESERVE)
    for name, volume in volumes.items():
        yield name, shown(volume, "paint_volume", system), "with its hardener" if name == "filler" else ""
    for paper, count in replay.totals.strokes.items():
        pieces = max(2, math.ceil(count / PAPER_LASTS))
        if "compound" in paper:
            yield paper, "1 bottle", ""
        else:
            yield f"paper {paper}", f"{pieces} pieces", "for the block named below; change one that stops cutting"
    done = {entry.step.do for entry in replay}
    if "clean" in done:
        wipes = sum(entry.step["wipes"] for entry in replay if entry.step.do == "clean")
        yield "wax-and-grease remover, clean cloths", f"{2 * wipes} cloths", "one wet, one dry for each wipe"
    if "guide coat" in done:
        yield "guide coat", "1 can or pot", "in a colour that stands out"
    if "mask" in done:
        yield "masking tape and paper", _tape_words(replay, system), "twice around for a folded edge"
    if "spray" in done:
        yield "strainers, mixing cups, stirring sticks", "one a mix", ""
        yield "cloth that takes up dust", "1", "last wipe before colour"


def _tape_words(replay: Replay, system: System) -> str:
    around = [2 * (x1 - x0 + y1 - y0) for x0, x1, y0, y1 in
              (entry.step["open"] for entry in replay if entry.step.do == "mask")]  # fmt: skip
    return shown(2 * sum(around), "room_side", system, digits=2)


# --- mixing and gun ----------------------------------------------------------------------------------------


class Mix(NamedTuple):
    """One mix: its title, the rows of its parts, and a note on its life."""

    title: str
    rows: tuple[tuple[str, str, str], ...]
    note: str


def mix_of(recipe: Recipe, entry: Entry, system: System) -> Mix:
    """Fill lines and running weights of a spraying step."""
    step = entry.step
    row = recipe.materials[step["material"]]
    ratio, own = mix_ratio(recipe, step), len(read_ratio(row["ratio"]).parts)
    densities = (*row["densities"], *[float(coefficient("volatile_density"))] * (len(ratio.parts) - own))
    total = entry.used.figures["mixed"]
    poured = batch.si(ratio, total, densities)
    names = part_names(step["material"], len(ratio.parts), own)
    rows = tuple((name, shown(line, "part_volume", system), shown(weight, "part_mass", system)) for name, line, weight
                 in zip(names, poured.fill_lines, poured.running_weights, strict=True))  # fmt: skip
    life = pot_life_of(recipe, step["material"])
    lives = f"The mix lives about {time_words(life)} in this garage." if life else "Ask the sheet how long it lives."
    whole, left = (shown(volume, "paint_volume", system) for volume in (total, step["left"]))
    return Mix(f"Step {step.number}: {step['material']} {ratio.text} by volume, {whole}", rows,
               f"{left} of it are for cup, gun and strainer. {lives}")  # fmt: skip


def gun_cards(replay: Replay, system: System) -> Iterator[tuple[str, str, str, str]]:
    """Of each spraying step: what to set, how to move, what to expect."""
    for entry in replay:
        step = entry.step
        if step.do != "spray":
            continue
        cup = step["delivery"] * CUP_TIME
        film = planned_film(replay.recipe, step) / step["coats"]
        solids = mixed_solids(replay.recipe, step)
        wet = film * (1 + (1 / solids - 1) * (1 - FLASHED))
        overlap = 1 - step["step"] / step["fan"]
        passes = entry.used.strokes / step["coats"]
        seconds = entry.used.figures["trigger time"] / max(entry.used.strokes, 1)
        yield (f"{step.number} {step['material']}, {step['coats']} coat{'s' * (step['coats'] > 1)}",
               f"fluid: {shown(cup, 'paint_volume', system, 2)} in {CUP_TIME:.0f} s into a cup; "
               f"fan {shown(step['fan'], 'width', system, 2)} wide on the card",
               f"{shown(step['speed'], 'gun_speed', system, 2)}, {seconds:.1f} s a pass; {passes:.0f} passes, "
               f"{shown(step['step'], 'pitch', system, 2)} apart ({overlap:.0%} overlap), {step['direction']}; "
               f"{time_words(step['flash'])} between coats",
               f"{shown(wet, 'wet_film', system, 2)} on the comb, {shown(film, 'film', system, 2)} dry "
               "each coat")  # fmt: skip


# --- papers and masks --------------------------------------------------------------------------------------


def place_words(area: tuple[float, float, float, float] | None, system: System) -> str:
    """An area in words, from the panel's lower front corner."""
    if area is None:
        return "all of the panel"
    x0, x1, y0, y1 = (max(end, 0.0) for end in area)
    sides = [shown(value, "place", system) for value in (x1 - x0, y1 - y0, x0, y0)]
    return f"{sides[0]} wide, {sides[1]} high, from {sides[2]} along and {sides[3]} up"


def papers(replay: Replay, system: System) -> Iterator[tuple[str, str, str, str, str]]:
    """Of each sanding step: paper, tool and hand, how much, where."""
    for entry in replay:
        step = entry.step
        if step.do not in SANDING:
            continue
        tool = tool_of(step)
        sides = " by ".join(shown(side, "block_side", system) for side in (tool.length, tool.width))
        hand = f"{step['tool']}, {sides}, {shown(step['force'], 'force', system)}"
        if "strokes" in step.settings:
            much = (f"{step['strokes']:.0f} over each place, {step['direction']}; {entry.used.strokes:.0f} in all, "
                    f"{time_words(entry.used.time)}")  # fmt: skip
        else:
            much = time_words(entry.used.time)
        where = place_words(step["area"], system)
        if step["keep_off"] is not None:
            where += f"; keep {shown(step['keep_off'], 'place', system)} off the body line"
        yield str(step.number), str(step.settings.get("paper") or f"{step['compound']} compound"), hand, much, where


def masks(replay: Replay, system: System) -> Iterator[tuple[str, str, str]]:
    """Of each masking step: what stays open, and the edge."""
    for entry in replay:
        step = entry.step
        if step.do == "mask":
            edge = f"raised, {shown(step['lip'], 'lip_height', system)}" if step["edge"] == "raised" else "flat"
            yield str(step.number), place_words(step["open"], system), edge


# --- time and checks ---------------------------------------------------------------------------------------


def windows(recipe: Recipe, entry: Entry) -> str:
    """Flash, recoat window, sanding and pot life of what a step brings, in this garage."""
    step = entry.step
    if step.do not in ("spray", "fill"):
        return ""
    material = "filler" if step.do == "fill" else step["material"]
    row = recipe.materials[material]
    told = []
    if step.do == "spray":
        early, late = (_needed(recipe, row[key]) for key in ("dry_to_recoat", "recoat_until"))
        told.append(f"recoat after {early}, until {late}")
    told.append(f"sand after {_needed(recipe, row['dry_to_sand'])}")
    if (life := pot_life_of(recipe, material)) is not None:
        told.append(f"pot life {time_words(life)}")
    return "; ".join(told)


def _needed(recipe: Recipe, sheet_time: float) -> str:
    needed = time_needed(recipe, sheet_time)
    if needed is None:
        return "(too cold or too hot to say)"
    low, middle, high = (time_words(end) for end in needed)
    return middle if low == high else f"{middle} ({low} to {high})"


def checks(entry: Entry, system: System) -> Iterator[str]:
    """The figures to look for after a step."""
    step, after, used = entry.step, entry.condition, entry.used
    if step.do in SANDING and used.removed:
        off = shown(used.figures["mean removed"], "film", system, 2)
        yield f"the gauge reads {off} less than before, in the mean"
        yield f"nothing but the scratches of {used.paper}: wipe with solvent and look along the light"
        if (through := {to: area for (_, to), area in entry.change.broken.items() if area > 0}):
            yield "it may be through to " + ", ".join(f"{to} ({spot_words(a, system)})" for to, a in through.items())
        if after.guide_coat > FEW:
            yield f"guide coat left on {after.guide_coat:.0%}"
    if step.do == "spray":
        laid = entry.change.laid
        yield (f"dry film {shown_band(laid.thin, max(laid.mean, laid.thin), 'film', system)} more than before, "
               "by gauge")  # fmt: skip
        yield "no runs, craters or dry spray"
    if step.do == "clean":
        yield "a clean white cloth stays white; water runs off as one film"
    if step.do == "guide coat":
        yield "an even mist, thin enough to see the surfacer through it"
    if step.do == "unmask":
        yield "no edge that a fingernail finds"
    if step.do == "wait":
        yield "a fingernail leaves no mark at the edge of the masking"


def coefficients(recipe: Recipe, system: System) -> Iterator[str]:
    """Where the uncertain numbers of this plan come from."""
    for key, value in recipe.measured.items():
        known = coefficient(key)
        if value is None:
            yield f"{known.words(system)} Measure your own to narrow it."
        else:
            yield f"{key.replace('_', ' ')}: {value:.3g}, as written in the recipe."
    yield ("Strokes and removal rest on the wear coefficient, and are an order of magnitude until it is measured: "
           "gauge, 50 strokes, gauge.")  # fmt: skip
    yield coefficient("activation_energy").words(system)
    yield ("Hardness, drying times, wet film that hangs and densities are usual values (common practice, from "
           "memory) unless the recipe gives those of a data sheet.")  # fmt: skip
    yield (f"Solvent lost in flight is taken as {FLASHED:.0%}, the width of a fan as {SPREAD} standard deviations "
           "(assumed).")  # fmt: skip
