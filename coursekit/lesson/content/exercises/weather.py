"""Weather and drying: dew point, humidity of warmed air, a slow panel, cure in the cold, a missed window."""

import math

from coursekit import drying
from coursekit.constants import FREEZING
from coursekit.lesson.practice.exercise import Draw, Question, exercise

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


@exercise("weather-2", "Air that was only warmed")
def warmed(draw: Draw) -> Question:
    cold = draw.between("temperature", "4 °C", "9 °C", "1 °C")
    warm = draw.between("temperature", "19 °C", "24 °C", "1 °C")
    humidity = draw.pick(0.8, 0.85, 0.9)
    held = [float(drying.saturation_pressure.si(t)) for t in (cold, warm)]
    answer = draw.figure(float(drying.humidity_at.si(warm, drying.dew_point.si(cold, humidity))), "humidity")
    return Question(
        ask=f"In the morning the garage has {cold} and {draw.figure(humidity, 'humidity')} of relative humidity. An "
        f"electric radiator, no flame, brings the air to {warm}; no water comes in. Full air would hold "
        f"{held[0]:.0f} Pa of vapour when cold and {held[1]:.0f} Pa when warm. What is the relative humidity now?",
        answer=answer,
        within=0.02,
        slips=[
            (humidity, "The water is the same, but warm air could hold far more of it: the share falls."),
            (
                humidity * (cold - FREEZING) / (warm - FREEZING),
                "You took the ratio of the temperatures. What the air can hold goes with the two pressures of the "
                "question.",
            ),
            (held[0] / held[1], "You took the cold air as full. It was only nearly so."),
        ],
        hints=[
            "The vapour in the air stays the same, as a pressure.",
            "That pressure is the share times what full cold air would hold.",
            "The new share is that pressure over what full warm air would hold. Write it with %, or as a fraction "
            "without.",
        ],
        way=f"{draw.figure(humidity, 'humidity')} × {held[0]:.0f} Pa = {humidity * held[0]:.0f} Pa; ÷ {held[1]:.0f} "
        f"Pa = {answer:2}. The dew point did not move, and the cold panel is as near to it as before.",
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


@exercise("weather-4", "Cure in the cold")
def cold_cure(draw: Draw) -> Question:
    sheet = draw.figure(draw.pick(6, 8, 12, 16) * 3600.0, "sheet_time")
    at = draw.between("sheet_temperature", "20 °C", "22 °C", "1 °C")
    panel = draw.between("temperature", "12 °C", "16 °C", "1 °C")
    tens = (at - panel) / 10
    answer = draw.figure(sheet * 2**tens, "cure_time")
    return Question(
        ask=f"The sheet lets its clear be sanded after {sheet} at {at}. Your panel has {panel}. By the rule that "
        "cure takes twice as long for each 10 °C (18 °F) colder, after how many hours is it as far?",
        answer=answer,
        within=0.04 * answer,
        slips=[
            (sheet / 2**tens, "That is shorter than on the sheet. Cold makes cure slower."),
            (
                sheet * 2 ** (1.8 * tens),
                "You counted degrees Fahrenheit as degrees Celsius: twice as long goes with 10 °C, which is 18 °F.",
            ),
            (
                sheet * (1 + tens * 2),
                "You added the double for each ten. It is a factor: two to the power of the tens.",
            ),
            (60 * answer, "Minutes and hours: the sheet's time is in hours."),
        ],
        hints=[
            "How many times 10 °C (18 °F) is the panel colder?",
            "Two to that power is the factor.",
            "Multiply the time of the sheet by it.",
        ],
        way=f"{tens:.2g} times ten colder: {sheet} × 2^{tens:.2g} = {answer:3}, and as a band somewhat less to "
        "somewhat more: see the bench.",
    )


@exercise("weather-5", "The window has closed")
def missed(draw: Draw) -> Question:
    latest = draw.figure(draw.pick(24, 36, 48) * 3600.0, "latest")
    waited = draw.figure(latest + draw.pick(12, 24, 36) * 3600.0, "waited")
    dull = "dull it all over, wash, and follow the sheet's line on a missed window"
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
        way="After the window the new coat holds by scratches alone: dull, wash, and try a corner for lifting when "
        "in doubt.",
    )
