"""Weather and drying: dew point, humidity of warmed air, a slow panel, cure in the cold, a missed window."""

import math

from coursekit import drying
from coursekit.constants import FREEZING
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise

PSYCHROMETER = 66.0  # Pa/K at sea level: what a wetted thermometer is cooled by


def wet_bulb(temperature: float, humidity: float) -> float:
    """What a wetted thermometer shows: often taken for the dew point."""
    vapour = humidity * drying.saturation_pressure.si(temperature)
    low, high = float(drying.dew_point.si(temperature, humidity)), temperature
    for _ in range(40):
        middle = (low + high) / 2
        over = drying.saturation_pressure.si(middle) - PSYCHROMETER * (temperature - middle) > vapour
        low, high = (low, middle) if over else (middle, high)
    return low


@exercise("weather-1", "The dew point of your garage")
def dew_point(draw: Draw) -> Question:
    air = draw.between("temperature", "16 °C", "28 °C", "1 °C")
    humidity = draw.pick(0.45, 0.5, 0.55, 0.6, 0.65)
    answer = draw.figure(float(drying.dew_point.si(air, humidity)), "dew_point")
    celsius = air - FREEZING
    slope = 17.625 * celsius / (243.04 + celsius)
    gamma = math.log(humidity) + slope
    return Question(
        ask=f"The air of the garage has {air} and {draw.figure(humidity, 'humidity')} of relative humidity. At what "
        "temperature of the panel does water begin to settle on it?",
        answer=answer,
        within=0.6,
        slips=[
            (
                FREEZING + celsius * humidity,
                "You took that share of the degrees. Humidity is a share of the water that the air could hold, and "
                "that falls by half for about each 10 °C (18 °F) colder.",
            ),
            (
                wet_bulb(air, humidity),
                "That is what a wetted thermometer shows, the wet bulb. It is warmer than the dew point: air that "
                "passes it is not saturated.",
            ),
            (air, "That is the air itself. It would have to hold all the water it can."),
        ],
        hints=[
            "Try it on the first bench: set air and humidity, and read the curve.",
            "In numbers, in °C: γ = ln(humidity as a fraction) + 17.625·T/(243.04 + T); then the dew point is "
            "243.04·γ/(17.625 − γ).",
            f"Here ln({humidity:g}) = {math.log(humidity):.3f}, and T is {celsius:.1f} °C.",
        ],
        way=f"γ = {math.log(humidity):.3f} + {slope:.3f} = {gamma:.3f}; 243.04 × {gamma:.3f} ÷ (17.625 − "
        f"{gamma:.3f}) gives {answer:3}.",
    )


@exercise("weather-2", "The radiator has run for an hour")
def warmed(draw: Draw) -> Question:
    cold = draw.between("temperature", "4 °C", "9 °C", "1 °C")
    warm = draw.between("temperature", "19 °C", "24 °C", "1 °C")
    humidity = draw.pick(0.8, 0.85, 0.9)
    point = float(drying.dew_point.si(cold, humidity))
    panel = draw.figure(point + draw.pick(0.5, 1.5, 5.0, 6.5), "panel_temperature")
    dry = draw.figure(float(drying.humidity_at.si(warm, point)), "humidity")
    wait, dew_free, air = (
        "wait: the panel is too near the dew point",
        "go to the next check: dew is no hindrance",
        ("go to the next check: the air is dry now"),
    )
    return decision(
        f"In the morning the garage had {cold} and {draw.figure(humidity, 'humidity')} relative humidity. An "
        f"electric "
        f"radiator, no flame, has brought the air to {warm} and {dry:2}; no water came in. The panel is at "
        f"{panel:3}. Usually it should be 3 °C (5 °F) above the dew point. What do you do?",
        dew_free if panel - point > 3 else wait,
        {
            wait: "Find the dew point on the first bench, with the morning's air. The panel is well above it.",
            dew_free: "Find the dew point on the first bench, with the morning's air. How far above it is the panel?",
            air: "Warm air only could hold more water. What counts is how far the panel is above the dew point.",
        },
        [
            "Warming the air takes no water out of it: the dew point stays.",
            "Set the morning's air on the first bench and read the dew point.",
            "Is the panel 3 °C (5 °F) above it?",
        ],
        f"The dew point is still {draw.figure(point, 'dew_point'):3}; the panel is at {panel:3}. Warm the panel, not "
        "only the air.",
    )


@exercise("weather-3", "The panel comes late")
def late_panel(draw: Draw) -> Question:
    before = draw.between("air_before", "4 °C", "9 °C", "1 °C")
    now = draw.between("air_now", "19 °C", "25 °C", "1 °C")
    lag = draw.figure(draw.pick(50, 60, 75) * 60.0, "panel_lag")
    elapsed = draw.figure(draw.pick(12, 15) * 60.0, "elapsed")
    still = math.exp(-elapsed / lag)
    answer = draw.figure(float(drying.panel_after.si(before, now, elapsed, lag)), "panel_temperature")
    return Question(
        ask=f"The garage was at {before}, panel and all. Now its air has {now}. Your panel makes up 63 % of a "
        f"difference in {lag}. What has the panel after {elapsed}?",
        answer=answer,
        within=0.7,
        slips=[
            (now, "That is the air. The sheet and what hangs behind it still have to warm."),
            (before + 0.63 * (now - before), "63 % are made up after the whole lag. Less time has gone."),
            (
                now + (before - now) * math.exp(-elapsed / (lag / 60 * 3600)),
                "Minutes and hours got mixed: count both times in the same unit.",
            ),
            (before + (now - before) * still, "You took what is still missing for what was made up."),
        ],
        hints=[
            "How much of the difference is still missing?",
            "The part still missing is e to the power of minus (time over lag).",
            f"Here e to the power of −{elapsed / 60:g}/{lag / 60:g}.",
        ],
        way=f"Still missing: e^(−{elapsed / 60:g}/{lag / 60:g}) = {still:.2f} of the difference, so the panel has "
        f"{answer:3}.",
    )


@exercise("weather-4", "Sand it in the cold?")
def cold_cure(draw: Draw) -> Question:
    sheet = draw.figure(draw.pick(6, 8, 12, 16) * 3600.0, "sheet_time")
    at = draw.between("sheet_temperature", "20 °C", "22 °C", "1 °C")
    panel = draw.between("temperature", "12 °C", "16 °C", "1 °C")
    tens = (at - panel) / 10
    needed = draw.figure(sheet * 2**tens, "cure_time")
    waited = draw.figure(round((sheet + draw.pick(0.3, 0.6, 1.5, 2) * (needed - sheet)) / 1800) * 1800.0, "cure_time")
    if abs(waited / needed - 1) < 0.08:
        waited = draw.figure(waited + 3 * 3600.0, "cure_time")
    wait, sand, heat = "wait on: it is not as far yet", "try the corner, then sand", "sand: the sheet's time is over"
    return decision(
        f"The sheet calls its clear dry to sand after {sheet} at {at}. Your panel is at {panel}, and {waited} have "
        "gone. By the usual rule cure takes twice as long for each 10 °C (18 °F) colder. What do you do?",
        sand if waited > needed else wait,
        {
            wait: "Work out the time at your panel's temperature. It is over.",
            sand: "Work out the time at your panel's temperature. It is not over yet.",
            heat: "The sheet's time holds at the sheet's temperature. Your panel is colder.",
        },
        [
            "How many times 10 °C (18 °F) is the panel colder?",
            "Two to that power is the factor; times the time on the sheet.",
            "Compare with the time that has gone.",
        ],
        f"{tens:.2g} times {draw.figure(10.0, 'dew_margin')} colder: {sheet} × 2^{tens:.2g} = {needed:2}; {waited} "
        "have gone. The rule is rough: the bench shows its band.",
    )


@exercise("weather-5", "The window has closed")
def missed(draw: Draw) -> Question:
    latest = draw.figure(draw.pick(16, 20, 24, 36, 48, 72) * 3600.0, "latest")
    waited = draw.figure(latest + draw.pick(12, 18, 24, 36, 48) * 3600.0, "waited")
    dull = "scuff it all over, wash, and follow the sheet's line on a missed window"
    choices = (
        dull,
        "spray the coat at once, a little wetter, so that it bites",
        "spray it with more hardener",
        "wait a few days more and spray then",
    )
    return Question(
        ask=f"The sheet's window for the next coat closes after {latest}. You come back after {waited}. What now?",
        answer=dull,
        choices=choices,
        slips=[
            (
                choices[1],
                "A closed film gives the solvent nothing to bite into; a wet coat lies on it and may lift or peel.",
            ),
            (choices[2], "The ratio of a two-part mix is fixed. More hardener sticks no better and spoils the coat."),
            (choices[3], "The window closes; it does not open again by itself."),
        ],
        hints=[
            "While the window is open, the coats react with each other. What holds the next one after it?",
            "If chemistry no longer does, scratches must.",
        ],
        way="After the window the new coat holds by its key alone: scuff and wash. When in doubt, try a corner for "
        "lifting.",
    )
