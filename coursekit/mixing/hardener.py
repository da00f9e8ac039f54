"""Isocyanate and hydroxyl: how much hardener the chemistry asks for, and what a mix has."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit.mixing.ratio import one_each, read_ratio
from coursekit.quantities import InputError, Real, Value, Values, public
from coursekit.verdicts import first_that_holds

NCO_GROUP = 42.02e-3  # kg/mol
KOH = 56.1e-3  # kg/mol: a hydroxyl value is mg of KOH per g
INDEX_LOW, INDEX_HIGH = 0.9, 1.2


class IndexCheck(NamedTuple):
    index: Value
    verdict: Value


def _verdict(index: Any) -> Any:
    return first_that_holds(
        (index < INDEX_LOW, "too little hardener: the film stays soft; usual mixes lie at an index of 0.9 to 1.2"),
        (index > INDEX_HIGH, "too much hardener: isocyanate is left over; usual mixes lie at an index of 0.9 to 1.2"),
        otherwise="within the usual index of 0.9 to 1.2",
    )


@public(gives="isocyanate_parts")
def isocyanate_parts(hydroxyl_value: Real, nco_content: Real, index: Real = 1.0) -> Real:
    """Hardener for 100 parts of resin, both by mass.

    hydroxyl_value: of the resin as delivered, KOH per mass: 140 or "140 mg/g"
    nco_content: isocyanate groups in the hardener, by mass: "16 %"
    Gives (...) number.
    Holds for the hydroxyl groups alone: moisture takes isocyanate too. It checks a sheet; it never replaces the ratio
    of the sheet. Source: polyurethane-library, §5.
    """
    return index * 100 * (hydroxyl_value / KOH) * (NCO_GROUP / nco_content)


@public(gives="equivalent_weight")
def nco_equivalent_weight(nco_content: Real) -> Real:
    """Mass of hardener that carries one mole of isocyanate groups.

    Gives (...) kg/mol.
    Holds always. Source: polyurethane-library, §5.
    """
    return NCO_GROUP / nco_content


@public(gives="equivalent_weight")
def hydroxyl_equivalent_weight(hydroxyl_value: Real) -> Real:
    """Mass of resin that carries one mole of hydroxyl groups.

    Gives (...) kg/mol.
    Holds always. Source: polyurethane-library, §5.
    """
    return KOH / hydroxyl_value


@public(gives="hydroxyl_value")
def delivered_hydroxyl_value(hydroxyl_value: Real, mass_solids: Real) -> Real:
    """Hydroxyl value of the resin as it is in the can, from the value given on its solids.

    hydroxyl_value: on solids, KOH per mass
    mass_solids: of the resin as delivered
    Gives (...) share.
    Holds when the solvent has no hydroxyl groups. Source: common-practice.
    """
    return hydroxyl_value * mass_solids


@public(gives={"index": "index"})
def isocyanate_index(ratio: str, densities: Values, hydroxyl_value: Real, nco_content: Real) -> IndexCheck:
    """Index of a mix: what the sheet's ratio means in groups.

    ratio: parts by volume, resin first, hardener second
    hydroxyl_value: of the first part as delivered, KOH per mass
    nco_content: of the second part, by mass
    Gives the index (number) and a verdict in words. Raises InputError for a ratio or a list it cannot read.
    Holds for the hydroxyl groups alone; a reducer with hydroxyl groups or moisture takes isocyanate too.
    Source: polyurethane-library, §5.
    """
    read = read_ratio(ratio)
    if len(read.parts) < 2:
        raise InputError("ratio", f'"{read.text}" has no hardener.', 'Write the resin first: "2:1".', kind="form")
    found = one_each(densities, read, "densities")
    hardener_per_resin = read.parts[1] * found[1] / (read.parts[0] * found[0])
    index = 100 * hardener_per_resin / isocyanate_parts.si(hydroxyl_value, nco_content)
    return IndexCheck(index, _verdict(index))
