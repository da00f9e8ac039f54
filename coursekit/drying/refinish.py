"""What data sheets of refinish materials usually print: minutes of wet-on-wet, hours to sand, days until too late."""

from __future__ import annotations

from typing import NamedTuple

from coursekit.nomenclature import load_data
from coursekit.quantities import Value, give, public, read


class RefinishTime(NamedTuple):
    """One usual time: of which material, what it is until, shortest and longest, at which temperature, and whence."""

    material: str
    what: str
    low: Value
    high: Value
    temperature: Value
    note: str
    kind: str
    source: str


@public(gives=None)
def refinish_times(refinish_material: str) -> tuple[RefinishTime, ...]:
    """Usual times of a refinish material, as data sheets print them.

    Gives a tuple of RefinishTime. Raises InputError for another word.
    Holds to plan with until the data sheet of your own product speaks: products differ by more than these ranges.
    Source: refinish-times; refinish-times-memory.
    """
    return tuple(
        RefinishTime(
            row["material"],
            row["what"],
            give(read(row["low"], "recoat_time"), "recoat_time"),
            give(read(row["high"], "recoat_time"), "recoat_time"),
            give(read(row["at"], "temperature"), "temperature"),
            row.get("note", ""),
            row["kind"],
            row["source"],
        )
        for row in load_data("refinish_times")["row"]
        if row["material"] == refinish_material
    )
