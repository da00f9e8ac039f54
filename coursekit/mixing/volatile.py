"""Volatile organic compounds (VOC): of a liquid, of a mix, of a build of coats, and what a rule allows."""

from __future__ import annotations

import difflib
from typing import NamedTuple

import numpy as np

from coursekit.mixing.batches import weighted
from coursekit.nomenclature import load_data
from coursekit.quantities import LONGEST_TEXT, InputError, Real, Value, Values, public, read
from coursekit.sources import coefficient
from coursekit.verdicts import first_that_holds

WATER = 998.2  # kg/m³ at 20 °C; the rules' 8.33 lb/gal
LEAST_REST = 0.01  # of the volume must be left once water and exempt solvent are taken out
HEAVIEST = 1500.0  # kg/m³: no solvent of paint is heavier


class Voc(NamedTuple):
    as_applied: Value
    less_water: Value


class LargestThinner(NamedTuple):
    volume: Value
    verdict: Value


class VocCheck(NamedTuple):
    limit: Value
    within: Value
    coating: str
    verdict: Value


@public(gives={"as_applied": "voc_content", "less_water": "voc_content"})
def voc(
    solids: Real,
    water: Real,
    density: Real,
    exempt: Real = 0.0,
    exempt_density: Real = coefficient("exempt_density"),
) -> Voc:
    """VOC of a liquid from its data sheet: what does not stay, is not water and is not exempt.

    Gives as_applied (per litre of liquid) and less_water (per litre of liquid without its water and exempt solvent),
    (...) kg/m³. Raises InputError for shares that add up to more than the whole or leave nothing but water.
    Holds when volumes add up and nothing evaporates as a by-product of curing. Water never lowers less_water.
    Source: joseph-voc-2004; cfr-59-b, §59.104(a)(1).
    """
    share = 1 - solids - water - exempt
    if np.any(share < -1e-9):
        raise InputError(
            "solids",
            "together with water and exempt solvent is more than the whole.",
            "All three are shares of the same mass.",
            kind="impossible",
        )
    rest = 1 - water * density / WATER - exempt * density / exempt_density
    if np.any(rest < LEAST_REST):
        raise InputError(
            "water",
            "with that density, water and exempt solvent fill the whole volume.",
            "Check the shares by mass and the density.",
            kind="impossible",
        )
    as_applied = np.maximum(share, 0.0) * density
    if np.any(as_applied > HEAVIEST * rest):
        raise InputError(
            "density",
            "leaves the VOC so little room that it would be heavier than any solvent.",
            "Check the shares by mass and the density.",
            kind="impossible",
        )
    return Voc(as_applied, as_applied / rest)


@public(gives={"volume": "paint_volume"})
def largest_thinner(voc_mass: Real, volume: Real, limit: Real, thinner_voc: Real) -> LargestThinner:
    """Largest volume of thinner that keeps a mix within a VOC limit.

    volume: of the mix before thinner, water and exempt solvent taken out
    Gives volume (...) m³ and a verdict in words: nothing when the mix is already over the limit, without end when
    this thinner can never bring it over.
    Holds for the limit alone: the data sheet's own largest reduction comes first. Source: finishing-guidebook-2013.
    """
    room = limit * volume - voc_mass  # mass of VOC that the mix may still take
    over = np.asarray(room < -1e-9 * limit * volume)
    never = ~over & (thinner_voc <= limit)
    surplus = np.where(thinner_voc > limit, thinner_voc - limit, 1.0)
    amount = np.where(never, np.inf, np.where(over, 0.0, np.maximum(room, 0.0) / surplus))
    verdict = first_that_holds(
        (over, "the mix is already over the limit: no thinner may go in"),
        (never, "this thinner can never bring it over the limit: the data sheet says how much may go in"),
        (amount == 0, "the mix stands at the limit: no thinner may go in"),
        otherwise="this much brings the mix to the limit; the data sheet may allow less",
    )
    return LargestThinner(amount[()], verdict)


@public(gives="voc_content")
def voc_of_mix(ratio: str, component_vocs: Values) -> Real:
    """VOC of a mix from its parts.

    ratio: parts by volume, "4:1:1"; "1 +25 %" is paint with thinner
    Gives kg/m³. Raises InputError for a ratio or a list it cannot read.
    Holds without water and exempt solvent, when volumes add up. Source: finishing-guidebook-2013.
    """
    found: Real = weighted(ratio, component_vocs, "component_vocs")
    return found


@public(gives="voc_content")
def voc_of_stages(base_voc: Real, clear_voc: Real, midcoat_vocs: Values | None = None) -> Real:
    """VOC of a topcoat of several stages: base once, each mid coat once, clear twice.

    Gives (...) kg/m³.
    Holds for the US national rule. Source: cfr-59-b, §59.104(a)(2).
    """
    midcoats = np.zeros(0) if midcoat_vocs is None else np.atleast_1d(midcoat_vocs)
    found: Real = (base_voc + midcoats.sum(axis=0) + 2 * clear_voc) / (len(midcoats) + 3)
    return found


@public(gives="voc_per_solids")
def voc_per_solids(voc_content: Real, solvent_density: Real = coefficient("solvent_density")) -> Real:
    """VOC that goes into the air for each litre of solids that stays.

    voc_content: of the liquid, less water
    Gives (...) kg/m³. Raises InputError when the VOC alone would fill the litre, RangeError out of those ranges.
    Holds when volumes add up. Source: tac-115-423.
    """
    solids = 1 - voc_content / solvent_density
    if np.any(solids < LEAST_REST):
        raise InputError(
            "voc_content",
            "leaves no room for solids: the solvent alone would fill the volume.",
            "Check the VOC, or give the solvent's own density.",
            kind="impossible",
        )
    return voc_content / solids


@public(gives={"limit": "voc_content"})
def voc_check(rule: str, coating: str, voc_content: Real) -> VocCheck:
    """Whether a VOC is within a rule's limit for that coating; for two uses the tighter limit.

    coating: "surfacer", "clear" …; two uses of one mix: "surfacer, sealer"
    voc_content: of the mix as sprayed, less water and exempt solvent
    Gives limit (kg/m³), within (yes or no), the rule's own word for the coating, and a verdict that names the rule.
    Raises InputError for a coating the rule does not have. Another mixing ratio is another coating.
    Holds for the rule named: a local rule may ask for less. Source: cfr-59-b, §59.102(b); cfr-59-specialty;
    eu-2004-42.
    """
    rows = _rows(rule, coating)
    word, limit, note = min(rows, key=lambda row: row[1])
    within = np.asarray(voc_content) <= limit * (1 + 1e-9)
    also = " ".join(part for part in (note, load_data("voc_limits")[rule]["binds"]) if part)
    verdict = first_that_holds(
        (within, f"within the limit of the {rule} rule for {word}. {also}"),
        otherwise=f"over the limit of the {rule} rule for {word}. {also}",
    )
    return VocCheck(limit, within.tolist() if within.ndim == 0 else within, word, verdict)


def _rows(rule: str, coating: object) -> list[tuple[str, float, str]]:
    table = load_data("voc_limits")[rule]["coatings"]
    words = {word: name for name, row in table.items() for word in (name, *row.get("also", ()))}
    if not isinstance(coating, str) or not coating.strip() or len(coating) > LONGEST_TEXT:
        raise InputError(
            "coating", "is not a coating of that rule.", "Choose from: " + ", ".join(table) + ".", kind="unknown"
        )
    rows = []
    for word in (part.strip().casefold() for part in coating.split(",")):
        if word not in words:
            close = difflib.get_close_matches(word, words, 1, 0.6)
            near = f' Did you mean "{close[0]}"?' if close else ""
            raise InputError(
                "coating",
                f'the {rule} rule has no "{word}".{near}',
                "Choose from: " + ", ".join(table) + ".",
                kind="unknown",
            )
        name = words[word]
        rows.append((name, read(table[name]["limit"], "limit"), table[name].get("note", "")))
    return rows
