"""Cure and recoat windows over temperature, and what to do when a window was missed."""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import FREEZING, GAS
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, RangeError, Real, Scalar, Value, in_range, public, read, shown
from coursekit.sources import coefficient

REFERENCE = FREEZING + 21
COLDEST, WARMEST = FREEZING + 5, FREEZING + 60
_COLD = "Cure nearly stops in the cold: warm the panel, and read the sheet for its lowest temperature."
WARMEST_OF_TABLE = FREEZING + 49
TOO_EARLY = (
    "wait: solvent of the next coat would lift or wrinkle this one, and what is trapped shows later as "
    "pinholes and shrinkage"
)
BETWEEN = "between the two times the touch test and the temperature on the data sheet still decide"
TOO_LATE = (
    "scuff the film all over with the paper the data sheet names for recoating, and wash. Follow its line on a "
    "missed window. Published text scuffs with 150 to 200 grit, or lays a thinned tack coat of 25 to 50 µm "
    "(1 to 2 mil) wet first. When in doubt, try a corner for lifting"
)


@public(gives="cure_speed")
def cure_speed(temperature: Real, activation_energy: Real = coefficient("activation_energy")) -> Real:
    """How much faster a two-part film cures than at 21 °C.

    temperature: 5 to 60 °C; of the film
    Gives (...) number.
    Holds as a band: printed times come to 33 to 63 kJ/mol, and usual sheets bake at 60 °C as if it were 70; a bake
    schedule belongs to the data sheet. Source: refinish-times; ufgs-09971; ps-396.
    """
    in_range("temperature", temperature, COLDEST, WARMEST, _COLD)
    return np.exp(activation_energy / GAS * (1 / REFERENCE - 1 / temperature))


@public(gives="cure_time")
def time_at(
    sheet_time: Real,
    sheet_temperature: Real,
    temperature: Real,
    activation_energy: Real = coefficient("activation_energy"),
) -> Real:
    """A time of the data sheet, at another temperature.

    sheet_temperature: 5 to 60 °C
    temperature: 5 to 60 °C; of your panel
    Gives (...) s.
    Holds for cure by reaction, as a band; not for solvent leaving. Source: refinish-times; ufgs-09971; ps-396.
    """
    in_range("sheet_temperature", sheet_temperature, COLDEST, WARMEST)
    in_range("temperature", temperature, COLDEST, WARMEST, _COLD)
    return sheet_time * np.exp(activation_energy / GAS * (1 / temperature - 1 / sheet_temperature))


class Window(NamedTuple):
    """First and last time to recoat, from the end of the coat."""

    earliest: Value
    latest: Value


@functools.lru_cache(maxsize=1)
def _bands() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rows = load_data("structural_recoat")["band"]
    return (
        np.array([read(row["from"], "temperature") for row in rows]),
        np.array([read(row["earliest"], "recoat_time") for row in rows]),
        np.array([read(row["latest"], "recoat_time") for row in rows]),
    )


@public(gives={"earliest": "recoat_time", "latest": "recoat_time"})
def structural_recoat_window(panel_temperature: Real) -> Window:
    """Published recoat window of polyurethane over polyurethane on steel structures: hours, not a refinish window.

    panel_temperature: 16 to 49 °C; highest that lasts
    Gives Window.
    Holds for that specification's paint, on bridges and tanks; for car paint see `refinish_times`.
    Source: ufgs-09971-recoat.
    """
    starts, earliest, latest = _bands()
    in_range(
        "panel_temperature",
        panel_temperature,
        starts[0],
        WARMEST_OF_TABLE,
        "The printed table ends there: ask the data sheet.",
    )
    band = np.clip(np.searchsorted(starts, np.asarray(panel_temperature) + 1e-6, side="right") - 1, 0, None)
    return Window(
        earliest[band] if np.ndim(band) else float(earliest[band]),
        latest[band] if np.ndim(band) else float(latest[band]),
    )


@public(gives={"earliest": "recoat_time", "latest": "recoat_time"})
def window_at(
    earliest: Real,
    latest: Real,
    sheet_temperature: Real,
    temperature: Real,
    activation_energy: Real = coefficient("activation_energy"),
) -> Window:
    """The recoat window of your data sheet, at another temperature.

    earliest: printed on the sheet
    latest: printed on the sheet
    sheet_temperature: 5 to 60 °C
    temperature: 5 to 60 °C; of your panel
    Gives Window. Raises RangeError out of those ranges, or when earliest is after latest.
    Holds as `time_at`. Source: refinish-times; ufgs-09971; ps-396.
    """
    _in_order(earliest, latest)
    factor = time_at.si(1.0, sheet_temperature, temperature, activation_energy)
    return Window(earliest * factor, latest * factor)


class Timing(NamedTuple):
    """Where a wait lies against a window, by how much it is out, and what to do."""

    where: str
    out_by: Value
    do: str


@public(gives={"out_by": "recoat_time"})
def missed_window(waited: Scalar, earliest: Scalar, latest: Scalar) -> Timing:
    """What to do after a wait, given a recoat window.

    Gives Timing. Raises RangeError when earliest is after latest.
    Holds for what the window holds for. Source: ufgs-09971-recoat; common-practice.
    """
    _in_order(earliest, latest)
    for argument, value in (("waited", waited), ("earliest", earliest), ("latest", latest)):
        if np.ndim(value):
            raise InputError(argument, "is a list.", "Give one time.", kind="list")
    if waited < earliest:
        return Timing(f"too early by {shown(earliest - waited, 'recoat_time')}", earliest - waited, TOO_EARLY)
    if waited > latest:
        return Timing(f"too late by {shown(waited - latest, 'recoat_time')}", waited - latest, TOO_LATE)
    return Timing("inside the window", 0.0, BETWEEN)


def _in_order(earliest: Any, latest: Any) -> None:
    if np.any(np.asarray(earliest) > np.asarray(latest)):
        raise RangeError(
            "earliest",
            float(np.max(earliest)),
            0.0,
            float(np.min(latest)),
            "The window closes before it opens: exchange the two times.",
        )
