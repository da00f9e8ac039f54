"""The weather along a plan: its clock, the panel's temperature at each time, and the times of films in it.

Without a forecast the garage keeps its one temperature, and the clock begins at zero.
"""

from __future__ import annotations

import functools

import numpy as np

from coursekit.belief import shipped
from coursekit.drying.cure import COLDEST, WARMEST, cure_speed, time_at
from coursekit.drying.weather import STEPS, Day, Hour, day, dew_point, hours
from coursekit.mixing import life
from coursekit.quantities import InputError
from coursekit.repair.case import SHEET_TEMPERATURE
from coursekit.repair.recipe import Recipe
from coursekit.repair.words import clock_words, week_words
from coursekit.uncertain import Band

DAY = 86_400.0  # s
DRIEST = 243.15  # K: the dew point of air so dry that no margin matters


def time_needed(recipe: Recipe, sheet_time: float) -> Band | None:
    """A time of the sheet in this garage, shortest to longest; None where it hardly cures."""
    temperature = recipe.garage["temperature"]
    if not COLDEST <= temperature <= WARMEST:
        return None
    energy = shipped().coefficient("activation_energy")
    times = [
        float(time_at.si(sheet_time, SHEET_TEMPERATURE, temperature, end))
        for end in (energy.low, energy, energy.high)
    ]
    return Band(min(times), times[1], max(times))


def pot_life_of(recipe: Recipe, material: str, temperature: float | None = None) -> float | None:
    """Pot life (s) in this garage or at another temperature, or None where the rule does not reach."""
    temperature = recipe.garage["temperature"] if temperature is None else temperature
    if not life.COLDEST <= temperature <= life.WARMEST:
        return None
    return float(life.pot_life.si(recipe.materials[material]["pot_life"], temperature, SHEET_TEMPERATURE))


class Weather:
    """The clock and the temperatures of a recipe. `after` is the time (s) from the first step."""

    def __init__(self, recipe: Recipe) -> None:
        self.recipe, self.forecast = recipe, recipe.forecast
        begins = self.forecast["begins"] if self.forecast else 0.0
        self.begins = begins if recipe.start is None else recipe.start

    def clock(self, after: float) -> str:
        """The time on the clock, with the day of the week where it is known."""
        if self.recipe.start is not None:
            return week_words(self.begins + after, short=True)
        return clock_words(self.begins + after)

    @functools.cached_property
    def day(self) -> Day:
        """Air, panel and dew point in quarters of an hour; the water in the air is that of the garage."""
        assert self.forecast is not None
        return day.si(*self._ends)

    @functools.cached_property
    def _hours(self) -> tuple[Hour, ...]:
        """What rules out painting in each hour."""
        return hours.si(*self._ends)

    @functools.cached_property
    def _ends(self) -> tuple[float, float, float]:
        assert self.forecast is not None
        garage = self.recipe.garage
        try:
            dew = float(dew_point.si(garage["temperature"], garage["humidity"]))
        except InputError:
            dew = DRIEST
        return self.forecast["coldest"], self.forecast["warmest"], dew

    def panel(self, after: float) -> float:
        """Temperature of the panel, K."""
        return self._at(self.day.panel, after) if self.forecast else self.recipe.garage["temperature"]

    def air(self, after: float) -> float:
        """Temperature of the air, K."""
        return self._at(self.day.air, after) if self.forecast else self.recipe.garage["temperature"]

    def _at(self, values: np.ndarray, after: float) -> float:
        return float(np.interp((self.begins + after) % DAY, self.day.clock, values, period=DAY))

    def against(self, began: float, ended: float) -> tuple[str, ...]:
        """What rules out painting between two times of the forecast; empty means only that nothing was found."""
        if not self.forecast:
            return ()
        first, last = (int((self.begins + after) // 3600) for after in (began, ended))
        told = [reason for hour in range(first, last + 1) for reason in self._hours[hour % 24].against]
        return tuple(dict.fromkeys(told))

    def needed(self, laid: float, sheet_time: float) -> Band | None:
        """How long (s) after `laid` a time of the data sheet is over, as a band; None where films hardly cure."""
        if not self.forecast:
            return time_needed(self.recipe, sheet_time)
        energy = shipped().coefficient("activation_energy")
        found = [
            _reached(_hardened(*self._ends, float(end)), self.begins + laid, sheet_time)
            for end in (energy.low, energy, energy.high)
        ]
        times = [time for time in found if time is not None]
        return Band(min(times), times[1], max(times)) if len(times) == len(found) else None

    def pot_life(self, material: str, mixed: float) -> Band | None:
        """How long (s) a mix lives at the air's temperature when it is mixed; None where the rule does not reach."""
        temperature = self.air(mixed)
        middle = pot_life_of(self.recipe, material, temperature)
        if middle is None:
            return None
        factor = shipped().coefficient("pot_life_factor")
        sheet = self.recipe.materials[material]["pot_life"]
        ends = [
            float(life.pot_life.si(sheet, temperature, SHEET_TEMPERATURE, end)) for end in (factor.low, factor.high)
        ]
        return Band(min(ends), middle, max(ends))


@functools.lru_cache(maxsize=64)
def _hardened(coldest: float, warmest: float, dew: float, energy: float) -> np.ndarray:
    """From midnight on, what the panel's day is worth of time at the sheet's temperature, s; the cold nothing."""
    panel = day.si(coldest, warmest, dew).panel
    panel = np.append(panel, panel[0])
    warm = np.clip(panel, COLDEST, WARMEST)
    speed = cure_speed.si(warm, energy) / cure_speed.si(SHEET_TEMPERATURE, energy) * (panel >= COLDEST)
    steps = (speed[1:] + speed[:-1]) / 2 * DAY / STEPS
    return np.concatenate([[0.0], np.cumsum(steps)])


def _reached(hardened: np.ndarray, laid: float, sheet_time: float) -> float | None:
    if hardened[-1] <= 0:
        return None
    grid = np.linspace(0.0, DAY, STEPS + 1)
    hour = laid % DAY
    goal = float(np.interp(hour, grid, hardened)) + sheet_time
    whole, rest = divmod(goal, float(hardened[-1]))
    return whole * DAY + float(np.interp(rest, hardened, grid)) - hour
