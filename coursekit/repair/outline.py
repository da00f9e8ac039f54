"""The steps of a repair as the rules of the trade put them in order, each with its reason: before anything is tried.

`outline(damage, choice)` makes the tables of a recipe. What the rules leave open stands in the `Choice`: how many
strokes, which block, how many coats, one round of surfacer or two. The search (`proposing`) sets it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from coursekit.drying.cure import COLDEST, WARMEST
from coursekit.film.thickness import wet_film
from coursekit.nomenclature import number_of
from coursekit.repair.areas import ABOVE, BELOW, line_heights
from coursekit.repair.damage import Damage, sheet_of
from coursekit.repair.formats import FORMAT
from coursekit.repair.recipe import Recipe
from coursekit.repair.rules import reach, rule
from coursekit.repair.start import SHALLOW
from coursekit.repair.vocabulary import tools
from coursekit.repair.waiting import dried, rounded, whole, written
from coursekit.repair.words import clock
from coursekit.sanding.grits import read_grade
from coursekit.sanding.showthrough import ClearBudget, budget_in

LAYERS = {"clear": 0, "base": 1, "primer": 2, "bare": 3, "old filler": 3}  # of old paint that are feathered
DOWN_TO = {"clear": "clear", "base": "base", "primer": "primer", "bare": "bare sheet", "old filler": "bare sheet"}
OVER = 1.2  # times the depth of the scratch: a part lands on the rim, where the pad hangs over (assumed)
LEAST_OFF = 2e-6  # m of clear that compounds take off in any case: P2000 leaves 1.4 µm at its deepest (computed)
CELL = 5e-3  # m of the grid on which a plan is sought: on a coarser one the rim looks straighter than it is
WET_SHARE = 0.7  # of the film that hangs without running, for one coat (assumed)
SPEEDS = 0.2, 0.8  # m/s that a hand keeps (common practice)
RIPPLE = 0.5  # of the film that filler stands proud by: the waves that the spreader leaves in it (assumed)
PRESSED = 1.2  # times its usual force at most, for a block with which something has to come off (assumed)
ALONE = {"filler level": 3.6, "level": 1.2}  # times the strokes of a block without a board
USUAL = {  # material → delivery (m³/s), flash (s), thinned, fan (m), captured: the course's own starting point
    "epoxy primer": (150e-6 / 60, 600.0, 0.0, 0.25, 0.75),
    "surfacer": (220e-6 / 60, 720.0, 0.0, 0.25, 0.75),
    "recoat": (120e-6 / 60, 720.0, 0.2, 0.20, 0.80),
    "base": (160e-6 / 60, 600.0, 0.0, 0.25, 0.75),
    "clear": (200e-6 / 60, 720.0, 0.0, 0.25, 0.75),
}
SHORTEST_FLASH = {kind: flash for kind, (_, flash, *_) in USUAL.items()}  # s


@dataclass(frozen=True)
class Choice:
    """What is open once the rules have spoken.

    strokes  role of a sanding step → strokes over each spot, or minutes of a machine
    films    material → dry film to lay, m, and its number of coats
    skim     a thin filler where the damage does not ask for one
    again    a second filler, thin, over the first one once that is shaped
    recoat   a second, thin coat of surfacer, not blocked
    primed   epoxy primer over bare sheet and filler
    block    what levels over the long waves, and what follows it
    """

    strokes: Mapping[str, float] = field(default_factory=dict)
    films: Mapping[str, tuple[float, int]] = field(default_factory=dict)
    recoat: bool = False
    skim: bool = False
    again: bool = False
    primed: bool = False
    long: str = "long board"
    short: str = "hand block"
    proud: float = field(default_factory=lambda: rule("coats.proud").value)  # m of filler over its surroundings
    machine: bool = True
    around: float = field(default_factory=lambda: reach("surfacer"))  # m of surfacer beyond filler or feather
    filled: float = field(default_factory=lambda: reach("filler"))  # m of filler beyond the feathered paint
    feather: float = field(default_factory=lambda: reach("feather"))  # m for each old layer

    def done(self, role: str) -> float:
        """Strokes of a step as they are done: a block without a board before it does the board's work as well."""
        alone = self.long == self.short if role.startswith("filler") else not self.spans
        return self.strokes.get(role, USUAL_STROKES[role]) * (ALONE.get(role, 1.0) if alone else 1.0)

    @property
    def spans(self) -> bool:
        """Whether a board levels before the block, surfacer as well: another block before it is for filler alone."""
        return self.long != self.short and "board" in self.long

    def with_strokes(self, role: str, strokes: float) -> Choice:
        """The same with another number of strokes in one step."""
        return replace(self, strokes={**self.strokes, role: strokes})


class Planned(NamedTuple):
    """One step: as a recipe writes it, why it is there, and its role in the search."""

    table: dict[str, Any]
    why: str
    role: str = ""


@dataclass(frozen=True)
class Outline:
    """A repair from the rules: the tables of the recipe and a reason for each step."""

    tables: dict[str, Any]
    steps: tuple[Planned, ...]

    def numbers(self, role: str) -> list[int]:
        """The numbers of the steps of a role, from 1."""
        return [number for number, step in enumerate(self.steps, 1) if step.role == role]


USUAL_STROKES = {
    "feather": 60.0,
    "filler shape": 130.0,
    "filler level": 90.0,
    "filler finish": 130.0,
    "scuff": 25.0,
    "filler line": 50.0,
    "level": 150.0,
    "level short": 110.0,
    "line": 40.0,
    "rim": 40.0,
    "finish": 50.0,
    "nib": 20.0,
}


def mm(length: float) -> str:
    """A length as a recipe writes it."""
    return f"{length * 1e3:.6g} mm"


def feathered(damage: Damage, choice: Choice) -> float:
    """Width (m) over which all old layers are feathered."""
    return LAYERS[damage.reaches] * (rule("chip.feather").value if damage.is_chip else choice.feather)


def stripped(damage: Damage) -> float:
    """How far (m) beyond the damage the paint is taken off."""
    if not LAYERS[damage.reaches]:
        return 0.0
    return rule("chip.stripped").value if damage.is_chip else reach("stripped")


def polishing(damage: Damage) -> ClearBudget:
    """What published limits say to polishing out a scratch in the clear."""
    off = OVER * max(damage.scratch, LEAST_OFF)
    return budget_in("metric", damage.old_clear, min(off, damage.old_clear))


def is_polished_out(damage: Damage) -> bool:
    """Whether a scratch in the clear is so shallow that nothing has to be sprayed: within the strict limit where
    nobody measured the old paint."""
    least = ("go",) if "panel.old_paint" in damage.taken else ("go", "warn")
    return damage.reaches == "clear" and polishing(damage).verdict in least


def is_primed_first(damage: Damage) -> bool:
    """Whether primer goes on metal before filler: where it was rusty, and in a chip. Plastic does not rust."""
    chipped = damage.is_chip and damage.reaches in ("bare", "old filler")
    return damage.panel.made_of != "plastic" and (damage.damage.on_it == "rust" or chipped)


def needs_filler(damage: Damage) -> bool:
    """Whether the low is deeper than surfacer levels, or a chip."""
    return (damage.reaches in ("bare", "old filler") and damage.low > SHALLOW) or damage.is_chip


def fills_in_booth(damage: Damage) -> bool:
    """Whether filler is spread in the booth as well: the own garage is too cold for it to set."""
    own = damage.garage.temperature
    return damage.garage.spray_at == "booth" and needs_filler(damage) and not COLDEST <= own <= WARMEST


def filled_at(damage: Damage) -> float:
    """Temperature (K) where filler is spread: of the own garage, or of the booth."""
    return number_of(rule("place.booth").more["temperature"]) if fills_in_booth(damage) else damage.garage.temperature


def paper(damage: Damage, stage: str, place: int = 0) -> str | None:
    """The paper of a stage: the one that is wanted, or the best stand-in there is; None without any."""
    row = rule(f"papers.{stage}").more
    if damage.stock.papers is None or damage.stock.buy == "yes":
        return str(row["wanted"][place])
    grains = {read_grade(str(one)).grain_size for one in damage.stock.papers}
    return next((one for one in row["either"][place] if read_grade(one).grain_size in grains), None)


def paper_or_wanted(damage: Damage, stage: str, place: int = 0) -> str:
    """The paper of a stage, the wanted one where neither it nor a stand-in is there: then it has to be bought."""
    return paper(damage, stage, place) or str(rule(f"papers.{stage}").more["wanted"][place])


def stages(damage: Damage) -> list[tuple[str, int]]:
    """The stages of sanding that a damage goes through, and which paper of each is wanted."""
    if is_polished_out(damage):
        return [("nib", 0), ("nib", 1)]
    if damage.reaches == "clear":
        return [("old-clear", 0)]
    shaped = [("filler", 1)] if damage.is_chip else [("filler", 0), ("filler", 1)]
    first = shaped if needs_filler(damage) else [("feather", 0)]
    return [*first, ("before-surfacer", 0), ("surfacer", 0), ("old-clear", 0)]


def missing_papers(damage: Damage) -> tuple[str, ...]:
    """The papers that are wanted and not there, a stand-in or none in their place."""
    wanted = [
        (rule(f"papers.{stage}").more["wanted"][place], paper(damage, stage, place))
        for stage, place in stages(damage)
    ]
    return tuple(dict.fromkeys(str(one) for one, there in wanted if one != there))


def base_tables(damage: Damage, choice: Choice) -> dict[str, Any]:
    """The tables of the recipe without its steps."""
    place, panel = damage.damage, damage.panel
    (x, width), (y, height) = (
        _on_the_grid(*one) for one in zip(damage.corner, (place.width, place.height), damage.shape.size, strict=True)
    )
    size = {
        key: f"{value:.6g} m"
        for key in ("width", "height", "radius_along", "radius_up", "line_height")
        if (value := getattr(panel, key)) is not None
    }
    tables: dict[str, Any] = {
        "format": FORMAT,
        "title": damage.title,
        "panel": {
            "shape": panel.kind,
            "sheet": sheet_of(panel),
            "old_paint": f"{panel.old_paint * 1e6:.6g} µm",
            **size,
            "damage": {
                "x": mm(x),
                "y": mm(y),
                "width": mm(width),
                "height": mm(height),
                "low": mm(_low(damage)),
                "stripped": mm(stripped(damage)),
                "feather": mm(feathered(damage, choice)),
                "down_to": DOWN_TO[damage.reaches],
            },
        },
        "garage": _where(damage),
    }
    if damage.garage.spray_at == "home" and damage.forecast.coldest is not None:
        cold, warm, begins = damage.forecast.coldest, damage.forecast.warmest, damage.forecast.begins
        assert warm is not None
        tables["forecast"] = {
            "coldest": f"{cold - 273.15:.4g} °C",
            "warmest": f"{warm - 273.15:.4g} °C",
            "begins": clock(int(begins // 60)),
        }
    return {**tables, **damage.written}


def _on_the_grid(begin: float, extent: float, size: float) -> tuple[float, float]:
    """A scratch that is narrower than the grid shows, as wide as two of its squares around the same middle."""
    wide = max(extent, 2 * CELL)
    return min(max(begin - (wide - extent) / 2, 0.0), max(size - wide, 0.0)), wide


def _low(damage: Damage) -> float:
    """How low the computed sheet lies, m: as much as a scratch that is polished out, as nothing is laid over that."""
    if damage.reaches == "clear":
        return damage.scratch if is_polished_out(damage) else 0.0
    return damage.low if needs_filler(damage) else min(damage.low, SHALLOW)


def _where(damage: Damage) -> dict[str, str]:
    """The room in which is sprayed: the own garage, or a painter's booth as they usually are."""
    if damage.garage.spray_at == "booth":
        return {key: str(value) for key, value in rule("place.booth").more.items()}
    own = damage.garage
    return {
        "temperature": f"{own.temperature - 273.15:.6g} °C",
        "humidity": f"{own.humidity * 100:.6g} %",
        "length": f"{own.length:.6g} m",
        "width": f"{own.width:.6g} m",
        "height": f"{own.height:.6g} m",
        "air_changes": f"{own.air_changes * 3600:.6g} /h",
    }


# --- steps -------------------------------------------------------------------------------------------------


class Writer:
    """Writes the steps one after another; `recipe` is a recipe without them, for its materials and its weather."""

    def __init__(self, damage: Damage, choice: Choice, recipe: Recipe) -> None:
        self.damage, self.choice, self.recipe = damage, choice, recipe
        self.steps: list[Planned] = []
        self.off = {"off_edges": mm(reach("edge"))}

    def add(self, do: str, why: str, role: str = "", **table: Any) -> None:
        self.steps.append(Planned({"do": do, **table}, why, role))

    def area(self, around: str, by: float, line: bool = False, edges: bool = False) -> dict[str, str]:
        """An area for what bites, short of folded edges; with `edges` for a film, which goes over them."""
        held = {} if edges else self.off
        return {"around": around, "by": mm(by), **({"up_to": "body line"} if line else {}), **held}

    def clean(self, why: str) -> None:
        self.add("clean", why, wipes=rule("extent.wipes").more["count"])

    def strokes(self, role: str) -> float:
        return self.choice.done(role)

    def block(self, role: str, tool: str, grade: str, force: float, area: Any, why: str, do: str = "block") -> None:
        """A block that keeps off the body line, or a pad that goes over it."""
        off = "line-filler" if role.startswith("filler") else "line-surfacer" if self.beside_line else "line"
        keep = {"keep_off": mm(reach(off))} if do == "block" and self.has_line else {}
        if do == "block":
            why = f"{why}; {rule('block.narrow').reason()}" if "narrow" in tool else why
            force = min(force, PRESSED * tools()[tool]["force"])
        if do == "hand sand":
            keep = {"overhang": "10 %"}  # a pad that hangs over bites into the fold
        direction = {"direction": "along"} if do == "block" and "board" in tool else {}
        self.add(
            do,
            why,
            role,
            tool=tool,
            paper=grade,
            force=f"{force:g} N",
            strokes=float(f"{self.strokes(role):.3g}"),
            area=area,
            **direction,
            **keep,
        )

    @property
    def has_line(self) -> bool:
        return any(line.kind == "body line" for line in self.damage.shape.lines)

    @property
    def beside_line(self) -> bool:
        """Whether the damage lies on one side of every body line: surfacer then ends at the line as filler does."""
        low = self.damage.corner[1]
        high = low + self.damage.damage.height
        heights = [float(line.points[0, 1]) for line in self.damage.shape.lines if line.kind == "body line"]
        return all(high <= height or low >= height for height in heights)

    def sides_reached(self, by: float) -> list[str]:
        """On which sides of body lines what reaches so far (m) beyond the damage ends at the line."""
        low = self.damage.corner[1]
        high = low + self.damage.damage.height
        found = []
        for height in line_heights(self.damage.shape):
            if low >= height > low - by:
                found.append(ABOVE)
            elif high <= height < high + by:
                found.append(BELOW)
        return found

    def wait(self, seconds: float, why: str) -> None:
        self.add("wait", why, time=written(whole(rounded(seconds))))

    def dried(self, material: str, what: str) -> float:
        """How long (s) a film takes in this garage; what cannot be known is refused before."""
        return dried(self.recipe, material, what)

    def spray(self, material: str, area: Any, why: str, usual: str = "") -> None:
        """Coats that make the film that is chosen, at the speed that the gun's numbers ask for."""
        kind = usual or material
        film, coats = self.choice.films[kind]
        delivery, flash, thinned, fan, captured = gun_of(self.damage, kind)
        solids = self.recipe.materials[material]["volume_solids"] / (1 + thinned)
        speed = delivery * solids * captured / (fan / 2 * film / coats)
        if speed > SPEEDS[1]:  # a thin film: less paint, not a hand that runs
            delivery, speed = delivery * SPEEDS[1] / speed, SPEEDS[1]
        flash = max(flash, self.dried(material, "dry_to_recoat"))  # at its longest, until the hour is known
        table: dict[str, Any] = {
            "material": material,
            "area": area,
            "fluid_delivery": f"{delivery * 60e6:.4g} mL/min",
            "gun_speed": f"{speed:.3g} m/s",
            "fan_width": mm(fan),
            "pitch": mm(fan / 2),
            "captured": f"{captured * 100:.3g} %",
        }
        if thinned:
            table["reduction"] = f"{thinned * 100:g} %"
        if kind == "surfacer" and coats > 1:
            table["wider"] = mm(reach("coat"))
            why = f"{why}; {rule('reach.coat').said()}"
        self.add("spray", why, **table, coats=coats, flash=f"{math.ceil(flash / 60):g} min")


def gun_of(damage: Damage, kind: str) -> tuple[float, float, float, float, float]:
    """Delivery, flash, thinning, fan and capture for a coat: as measured where somebody measured."""
    delivery, flash, thinned, fan, captured = USUAL[kind]
    gun = damage.gun
    share = delivery / USUAL["surfacer"][0]
    return (
        delivery if gun.fluid_delivery is None else gun.fluid_delivery * share,
        flash,
        thinned,
        fan if gun.fan_width is None else gun.fan_width,
        captured if gun.captured is None else gun.captured,
    )


def usual_films(damage: Damage, materials: Mapping[str, Mapping[str, Any]]) -> dict[str, tuple[float, int]]:
    """Films and coats by the rules, in as few coats as hang without running."""
    wanted = {
        "epoxy primer": rule("coats.primer"),
        "surfacer": rule("coats.surfacer" if needs_filler(damage) else "coats.surfacer-on-paint"),
        "recoat": rule("coats.recoat"),
        "base": rule("coats.base"),
        "clear": rule("coats.clear"),
    }
    return {kind: (one.value, coats_for(kind, one.value, materials)) for kind, one in wanted.items()}


def coats_for(kind: str, film: float, materials: Mapping[str, Mapping[str, Any]]) -> int:
    """The fewest coats of which none hangs thicker than it may."""
    material = "surfacer" if kind == "recoat" else kind
    row, rows = materials[material], {"epoxy primer": "primer"}
    least, most = rule(f"coats.{rows.get(kind, kind)}").more["coats"]
    wet = wet_film.si(film, row["volume_solids"], USUAL[kind][2])
    return int(min(max(least, math.ceil(float(wet) / (WET_SHARE * row["sag_limit"]))), most))
