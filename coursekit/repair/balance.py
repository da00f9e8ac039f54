"""What a whole repair used, and the balance of matter: nothing is lost but from sight."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from coursekit.panel import Panel, Sanded, Used
from coursekit.repair.entry import Entry
from coursekit.repair.steps import Sprayed

ELSEWHERE = ("masks", "past edge", "settling", "airborne")
EVAPORATED = ("air", "in flight", "with missed")
SMALLEST = 1e-12  # m³: one part in a thousand of a microlitre counts as nothing to compare with


class Account(NamedTuple):
    """What came in and where it is, m³; `error` is the difference over the larger of both."""

    came: float
    found: float
    places: Mapping[str, float]
    error: float


class Balance(NamedTuple):
    """Account of the solids of each material (as dry film) and of all solvent (as liquid)."""

    solids: Mapping[str, Account]
    solvent: Account

    @property
    def error(self) -> float:
        """The worst of all."""
        return max([self.solvent.error, *(account.error for account in self.solids.values())])


class Paint(NamedTuple):
    """One sprayed or spread material, m³ of liquid: mixed = sprayed + left; solids as dry film."""

    mixed: float
    sprayed: float
    left: float
    solids: Mapping[str, float]  # place → m³


class Totals(NamedTuple):
    """What a repair used."""

    time: float
    paint: Mapping[str, Paint]
    strokes: Mapping[str, float]  # paper → strokes of the hand
    papers: Mapping[str, float]  # paper → pieces of the size of the tool, not rounded
    sanding_time: Mapping[str, float]  # paper → s
    dust: float  # m³ of solids
    solvent_to_air: float  # m³ of liquid


def account(came: float, places: Mapping[str, float]) -> Account:
    found = sum(places.values())
    return Account(came, found, places, abs(came - found) / max(abs(came), abs(found), SMALLEST))


def balance_of(before: Panel, entries: Sequence[Entry]) -> Balance:
    """Solids of each material and solvent: what came in against where it is at the end."""
    after = entries[-1].panel
    start, end = _solids(before), _solids(after)
    solids = {}
    for material in {**start, **end}:
        came = start.get(material, 0.0)
        places = {"panel": end.get(material, 0.0), "dust": 0.0}
        for entry in entries:
            places["dust"] += entry.used.removed.get(material, 0.0)
            if material == entry.step.brings:
                used = entry.used.solids
                came += used.get("sprayed", used.get("spread", 0.0))
                for place in ELSEWHERE:
                    places[place] = places.get(place, 0.0) + used.get(place, 0.0)
        solids[material] = account(came, places)
    sums = {place: sum(entry.used.solvent.get(place, 0.0) for entry in entries) for place in ("sprayed", *EVAPORATED)}
    came = sums.pop("sprayed") + before.solvent_volume()
    return Balance(solids, account(came, {"panel": after.solvent_volume(), **sums}))


def _solids(panel: Panel) -> dict[str, float]:
    return {layer.material: panel.volume(layer.material) for layer in panel.layers}


def evaporated(used: Used) -> float:
    """Liquid solvent (m³) that a step gives off, from the films, in flight and with the paint that missed."""
    return sum(used.solvent.get(place, 0.0) for place in EVAPORATED)


def totals_of(entries: Iterable[Entry]) -> Totals:
    """What the steps used together."""
    paint: dict[str, Paint] = {}
    strokes: dict[str, float] = {}
    sanding: dict[str, float] = {}
    papers: dict[str, float] = {}
    time = dust = air = 0.0
    for entry in entries:
        used, name = entry.used, entry.step.brings
        time += used.time
        dust += sum(used.removed.values())
        air += evaporated(used)
        if used.paper:
            strokes[used.paper] = strokes.get(used.paper, 0.0) + used.strokes
            papers[used.paper] = papers.get(used.paper, 0.0) + (
                used.pieces if isinstance(used, Sanded) and used.pieces is not None else 1.0
            )
            sanding[used.paper] = sanding.get(used.paper, 0.0) + used.time
        if name:
            before = paint.get(name, Paint(0.0, 0.0, 0.0, {}))
            liquid, left = (
                (used.sprayed, used.left) if isinstance(used, Sprayed) else (used.solids.get("spread", 0.0), 0.0)
            )
            places = {
                place: before.solids.get(place, 0.0) + used.solids.get(place, 0.0) for place in ("panel", *ELSEWHERE)
            }
            paint[name] = Paint(before.mixed + liquid + left, before.sprayed + liquid, before.left + left, places)
    return Totals(time, paint, strokes, papers, sanding, dust, air)
