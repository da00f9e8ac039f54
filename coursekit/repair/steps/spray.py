"""Spray: coats of one material, pass beside pass."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar

import numpy as np

from coursekit.nomenclature import System
from coursekit.panel import Fan, Panel, Solids, Solvent, Used, spray, wait
from coursekit.repair.fields import choice, quantity, where, whole
from coursekit.repair.given import Given, Place
from coursekit.repair.solvent import flashed, half_time
from coursekit.repair.steps.fill import FILLER
from coursekit.repair.steps.sanding import ALONG, DIRECTIONS
from coursekit.repair.steps.step import WAIT_FIRST, Before, Refused, Step, entry
from coursekit.repair.vocabulary import COLOUR, GUN, SPRAYED
from coursekit.sources import coefficient
from coursekit.spraying.stroke import coat_film

STOPS_FLOWING = {name: float(coefficient(f"{name}_solids")) for name in ("base", "clear")}  # share of solids then
LEAST_COAT = 0.3  # of the area's width: no further in from a side does a first coat end (assumed)
NEEDS_SURFACER = ("filler", "bare metal", "bare plastic")


@dataclass(frozen=True, repr=False, kw_only=True)
class Sprayed(Used):
    """What the coats of a step used, and how they hung.

    mixed, sprayed, left  m³ of liquid   sprayed is what went through the tip; left stays in cup, gun and strainer
    volume_solids         share          of what is in the cup
    trigger_time          s              with the trigger pulled
    hung                  m              of wet film where most hung
    over_contamination, over_dust   0 to 1   how much lay under the first coat
    """

    mixed: float
    sprayed: float
    left: float
    volume_solids: float
    trigger_time: float
    hung: float
    over_contamination: float
    over_dust: float


def _seldom(key: str) -> Any:
    return entry(replace(GUN[key], seldom=True))


@dataclass(frozen=True, kw_only=True)
class Spray(Step):
    """Spray coats, each of straight passes, and let each flash off before the next."""

    do: ClassVar[str] = "spray"
    with_: ClassVar[str] = "material"
    cautions: ClassVar[tuple[str, ...]] = ("room", "solvent", "rags", "skin and eyes")

    material: str = entry(
        choice(SPRAYED, label="what is sprayed", meaning="the material, by its data sheet below", first="surfacer")
    )
    coats: int = entry(whole("coats", 1, meaning="how many coats one after the other", dragged=True))
    fluid_delivery: float = entry(quantity("fluid_delivery", "150 mL/min", label="paint from the gun", dragged=True))
    gun_speed: float = entry(quantity("gun_speed", "0.45 m/s", label="speed of the gun", dragged=True))
    pitch: float = entry(quantity("pitch", "125 mm", dragged=True))
    fan_width: float = entry(quantity("width", "250 mm", dragged=True))
    reduction: float = entry(quantity("reduction", "0 %", label="thinner added", dragged=True))
    flash: float = entry(
        quantity(
            "step_time",
            "10 min",
            label="wait between coats",
            meaning="how long each coat flashes off before the next; nothing is waited after the last",
            dragged=True,
            slider=((0, 40, 1), (0, 40, 1)),
        )
    )
    area: Place | None = entry(where(label="where", meaning="the part of the panel that is sprayed"))
    wider: float = entry(
        quantity(
            "place",
            "0 mm",
            label="each coat wider by",
            meaning="how far each coat ends beyond the one before, on all sides: the film runs out over a wide "
            "slope; the last coat fills the area",
            slider=((0, 100, 5), (0, 4, 0.25)),
            seldom=True,
        )
    )
    captured: float = entry(
        quantity(
            "transfer_efficiency",
            "75 %",
            label="share caught where it is aimed",
            meaning="share of the sprayed solids that stays where the fan points, on panel and mask alike; "
            "the rest bounces off or drifts away",
            seldom=True,
        )
    )
    lead: float = entry(quantity("lead", "50 mm", label="trigger pulled before the edge", seldom=True))
    cover: float = entry(quantity("cover", "1 m", label="cover beyond the panel", seldom=True))
    left: float = entry(quantity("left", "25 mL", seldom=True))
    direction: str = entry(
        choice(
            DIRECTIONS,
            "along",
            label="direction of the passes",
            meaning="along the car, across it, or each coat both ways",
            seldom=True,
        )
    )
    turns: float | None = _seldom("turns")
    gun_inlet_pressure: float | None = _seldom("gun_inlet_pressure")
    fan_opening: float | None = _seldom("fan_opening")
    trigger: float | None = _seldom("trigger")
    gun_distance: float | None = _seldom("gun_distance")
    tip_bore: float | None = _seldom("tip_bore")
    kinematic_viscosity: float | None = _seldom("kinematic_viscosity")

    # --- on the panel ---

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Sprayed]:
        solids, material = self.volume_solids(given), given.materials[self.material]
        fan, lost = Fan.seen(self.fan_width, coefficient("spot_depth")), flashed(given.garage["temperature"])
        before = panel.solvent_volume()
        laid: list[Solids] = []
        spent: list[Solvent] = []
        time = travel = strokes = hung = over_contamination = over_dust = 0.0
        for coat in range(self.coats):
            if coat:
                panel, waited = wait(panel, time=self.flash, solvent_half_time=half_time(given.garage["temperature"]))
                time += waited.time
                spent.append(waited.solvent)
            panel, used = spray(
                panel,
                material=self.material,
                volume_solids=solids,
                flow=self.fluid_delivery,
                fan=fan,
                speed=self.gun_speed,
                pitch=self.pitch,
                captured=self.captured,
                flashed=lost,
                along=ALONG[self.direction],
                lead=self.lead,
                offset=0.5 * (coat % 2),
                area=self.area_of(coat, panel.shape.size),
                cover=self.cover,
                texture=(0.0, 0.0, material["texture"], material["texture"]),
                levelled_solids=max(solids, STOPS_FLOWING.get(self.material, 0.0)),
                hand=given.hand["variation"],
                seed=self.seed(given) + coat * 1_000_003,
            )
            laid.append(used.solids)
            spent.append(used.solvent)
            time, travel, strokes = time + used.time, travel + used.travel, strokes + used.strokes
            hung = max(hung, _hangs(panel, solids, lost))
            if coat == 0:
                over_contamination, over_dust = used.over_contamination, used.over_dust
        sprayed = self.fluid_delivery * travel / self.gun_speed
        return panel, Sprayed(
            act=self.do,
            time=time,
            solids=Solids(*map(sum, zip(*laid, strict=True))),
            solvent=Solvent(*map(sum, zip(*spent, strict=True)))._replace(left=before, panel=panel.solvent_volume()),
            strokes=strokes,
            travel=travel,
            mixed=sprayed + self.left,
            sprayed=sprayed,
            left=self.left,
            volume_solids=solids,
            trigger_time=travel / self.gun_speed,
            hung=hung,
            over_contamination=over_contamination,
            over_dust=over_dust,
        )

    def area_of(self, coat: int, size: tuple[float, float]) -> Place | None:
        """The area of one coat: the last fills that of the step, those before end short of it inside the panel."""
        short = self.wider * (self.coats - 1 - coat)
        if self.area is None or not short:
            return self.area
        sides = []
        for low, high, end in zip(self.area[::2], self.area[1::2], size, strict=True):
            most = LEAST_COAT * (high - low)
            sides += [low + min(short, most) * (low > 0), high - min(short, most) * (high < end)]
        return sides[0], sides[1], sides[2], sides[3]

    @property
    def brings(self) -> str:
        return self.material

    def volume_solids(self, given: Given) -> float:
        """Volume solids of what is in the cup."""
        return float(given.materials[self.material]["volume_solids"] / (1 + self.reduction))

    def dry_coat(self, given: Given) -> float:
        """Mean dry film that each coat is set to lay, m."""
        solids = self.volume_solids(given)
        return float(coat_film.si(self.fluid_delivery, solids, self.captured, self.gun_speed, self.pitch))

    def planned_film(self, given: Given) -> float:
        """Mean dry film that all its coats are set to lay, m."""
        return self.coats * self.dry_coat(given)

    @property
    def overlap(self) -> float:
        """Share of the fan by which each pass lies on the one before; less than nothing where it leaves a gap."""
        return 1 - self.pitch / self.fan_width

    # --- its place in a recipe ---

    def refused(self, before: Before, given: Given) -> Refused | None:
        material, top = self.material, before.top
        if material in COLOUR and top in NEEDS_SURFACER:
            first = ", and a corrosion-protecting primer before it." if top == "bare metal" else "."
            return Refused("material", f"puts {material} over {top}.", f"Spray surfacer first{first}")
        if material == "surfacer" and top == "bare metal":
            return Refused(
                "material",
                "puts surfacer straight on bare metal.",
                'Spray "epoxy primer" first, or fill; the surfacer\'s data sheet may allow more.',
            )
        if material == "clear" and top not in ("base", "clear", "old paint"):
            return Refused("material", f"puts clear over {top}.", "Spray base first.")
        if material in ("surfacer", "epoxy primer") and top in COLOUR:
            remedy = "Sand the colour off, or leave the step out."
            return Refused("material", f"puts {material} over fresh {top}.", remedy)
        if before.wet == FILLER and before.dried < given.materials[FILLER]["dry_to_recoat"]:
            return Refused("do", "sprays over filler that has not set.", WAIT_FIRST)
        return None

    def leaves(self, before: Before) -> Before:
        return before._replace(top=self.material, wet=self.material, dried=0.0)

    # --- in words ---

    def look_for(self, system: System) -> Iterator[str]:
        yield "no runs, craters or dry spray"
        if self.material == "base":
            yield "the ground no longer shows through, not even by lamp light"


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
