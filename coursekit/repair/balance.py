"""What a whole repair used, and the balance of matter: nothing is lost but from sight."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from coursekit.panel import Panel, Sanded, Solids
from coursekit.repair.entry import Entry
from coursekit.repair.steps import Sprayed

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


class PaintUsed(NamedTuple):
    """One sprayed or spread material, m³ of liquid: mixed = sprayed + left; solids as dry film."""

    mixed: float
    sprayed: float
    left: float
    solids: Solids


class Totals(NamedTuple):
    """What a repair used."""

    time: float
    paint: Mapping[str, PaintUsed]
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
        brought = together(entry.used.solids for entry in entries if entry.step.brings == material)
        dust = sum(entry.used.removed.get(material, 0.0) for entry in entries)
        solids[material] = account(
            start.get(material, 0.0) + brought.laid,
            {**brought.places, "panel": end.get(material, 0.0), "dust": dust},
        )
    spent = [entry.used.solvent for entry in entries]
    places = {
        "panel": after.solvent_volume(),
        "air": sum(one.air for one in spent),
        "in flight": sum(one.in_flight for one in spent),
        "with missed": sum(one.with_missed for one in spent),
    }
    came = sum(one.sprayed for one in spent) + before.solvent_volume()
    return Balance(solids, account(came, places))


def together(solids: Iterable[Solids]) -> Solids:
    """What several acts laid together."""
    return Solids(*map(sum, zip(Solids(), *solids, strict=True)))


def _solids(panel: Panel) -> dict[str, float]:
    return {layer.material: panel.volume(layer.material) for layer in panel.layers}


def totals_of(entries: Iterable[Entry]) -> Totals:
    """What the steps used together."""
    paint: dict[str, PaintUsed] = {}
    strokes: dict[str, float] = {}
    sanding: dict[str, float] = {}
    papers: dict[str, float] = {}
    time = dust = air = 0.0
    for entry in entries:
        used, name = entry.used, entry.step.brings
        time += used.time
        dust += sum(used.removed.values())
        air += used.solvent.evaporated
        if used.paper:
            strokes[used.paper] = strokes.get(used.paper, 0.0) + used.strokes
            papers[used.paper] = papers.get(used.paper, 0.0) + (
                used.pieces if isinstance(used, Sanded) and used.pieces is not None else 1.0
            )
            sanding[used.paper] = sanding.get(used.paper, 0.0) + used.time
        if name:
            before = paint.get(name, PaintUsed(0.0, 0.0, 0.0, Solids()))
            liquid, left = (used.sprayed, used.left) if isinstance(used, Sprayed) else (used.solids.laid, 0.0)
            laid = together((before.solids, used.solids))
            paint[name] = PaintUsed(before.mixed + liquid + left, before.sprayed + liquid, before.left + left, laid)
    return Totals(time, paint, strokes, papers, sanding, dust, air)
