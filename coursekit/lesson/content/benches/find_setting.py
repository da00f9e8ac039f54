"""The question backwards: which setting reaches the film with the least paint lost, and what stands against it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coursekit import spraying
from coursekit.figure import Axis, Figure, first_holding
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.draw.picture import Chart, Mark, Part, Row, upright
from coursekit.lesson.learner import own
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, Units, at, declare
from coursekit.nomenclature import names
from coursekit.spraying.finding import Option, read_limits
from coursekit.uncertain import Band

LOST = [25e-6 * 2**n for n in range(8)]  # m³; the axes stay put until the next one is needed
TEXTURES = [2e-6 * 2**n for n in range(6)]  # m
TIMES = [120.0 * 2**n for n in range(8)]  # s
DONE = {  # of a setting: its row
    "lost": "paint_volume",
    "sprayed": "paint_volume",
    "time": "coat_time",
    "texture": "texture",
    "evenness": "evenness",
}
SETTING = ("turns", "gun_inlet_pressure", "fan_opening", "gun_distance", "gun_speed", "overlap", "trigger")


STOPS = {
    "too little film": "Too little film: even the slowest hand and the most fluid lay less. Allow more coats.",
    "too much film": "Too much film: the fastest hand and the least fluid lay more. Allow fewer turns.",
    "film": "Film: no setting that meets the rest reaches it. Allow more coats.",
    "worst_texture": "Texture: no setting is that fine. Allow more air, fewer turns or a coarser texture.",
    "worst_evenness": "Evenness: no overlap is that even. Allow more unevenness, or measure your fan.",
    "most_wet_film": "Wet film: each coat would be wetter than that. Allow more coats or a wetter coat.",
}


def about(units: Units) -> str:
    usual = {key: units(Band(low, low, high), key) for key, (low, high) in read_limits(None).items()}
    return (
        "Enter the film you want and your limits, then press the button. Some six thousand settings are tried on "
        f"your panel, in one coat or more. Fan {usual['fan_opening']} open, {usual['gun_distance']} away, overlap "
        f"{usual['overlap']} and a hand of {usual['gun_speed']} are the usual range."
    )


@declare(
    "Which setting reaches the film?",
    gives={"film": "dry_film", "on_film": "sample_share", "fine_enough": "sample_share"},
    about=about,
    press="Find the setting",
    sources=[
        *one_coat.UNCERTAIN,
        "nozzle_viscosity",
        "needle_half_angle",
        "thread_pitch",
        "surface_tension",
        "closed_fan",
        "spot_depth",
        "cut_sharpness",
        "masked_share",
        "dry_film_density",
        "random-landing",
        "transfer-trials",
        "derived-here",
    ],
    measurement="turns",
)
def bench(
    dry_film: float = at("35 µm", label="dry film in all"),
    worst_texture: float = at("2 µm"),
    worst_evenness: float = at("5 %", seldom=True),
    most_wet_film: float = at("90 µm", label="wettest coat"),
    most_coats: float = at("3"),
    most_air: float = at(
        "2 bar",
        start_us="30 psi",
        name="gun_inlet_pressure",
        label="most air",
        slider=(0.8, 3.5, 0.1),
        slider_us=(12, 50, 1),
    ),
    most_turns: float = at("3", seldom=True, name="turns", label="most turns", slider=(1, 4, 0.25)),
    least_trigger: float = at("75 %", seldom=True, name="trigger", label="least trigger"),
) -> dict[str, Any]:
    usual = read_limits(None)
    limits = {
        "gun_inlet_pressure": (min(usual["gun_inlet_pressure"][0], most_air), most_air),
        "turns": (min(usual["turns"][0], most_turns), most_turns),
        "trigger": (least_trigger, 1.0),
    }
    known = one_coat.mine()
    job: dict[str, Any] = one_coat.job()
    found = spraying.find_setting.si(
        dry_film,
        limits=in_words(limits),
        **job,
        worst_texture=worst_texture,
        worst_evenness=worst_evenness,
        most_wet_film=most_wet_film,
        most_coats=round(most_coats),
        measured=known.coefficients,
        **known.section,
    )
    options = {option.setting: option for option in found.trade_off}
    if found.answer:
        options.setdefault(found.answer.setting, found.answer)
    return {
        "found": found,
        "answer": found.answer,
        "options": sorted(options.values(), key=lambda option: option.texture),  # from the finest texture on
        "film": found.film,
        "on_film": found.on_film,
        "fine_enough": found.fine_enough,
        "asked": {"texture": worst_texture, "evenness": worst_evenness},
    }


def in_words(limits: dict[str, tuple[float, float]]) -> dict[str, tuple[str, str]]:
    """Limits as a person writes them: the call reads units."""
    units = {"gun_inlet_pressure": "Pa", "turns": "", "trigger": ""}
    return {
        field: (f"{low:.9g} {units[field]}".strip(), f"{high:.9g} {units[field]}".strip())
        for field, (low, high) in limits.items()
    }


def told(now: Now, option: Option) -> dict[str, Figure]:
    """Its setting and what it does, each with its row."""
    setting = {key: now.figure(value, key) for key, value in option.setting._asdict().items() if key in SETTING}
    return {**setting, **{field: now.figure(getattr(option, field), row) for field, row in DONE.items()}}


@bench.says
def say(now: Now) -> str:
    if now.answer is None:
        stopped = " ".join(STOPS[name] for name in now.found.stopped_by)
        return f"What stops it: {stopped} No setting meets all you ask within the limits."
    answer = told(now, now.answer)
    coats = f"{now.answer.coats:g} coat" + ("s" if now.answer.coats > 1 else "")
    setting = ", ".join(f"{names()[key].label} {answer[key]:2}" for key in SETTING)
    words = (
        f"{coats}, {answer['lost']:2} of {answer['sprayed']} lost. Set: {setting}. Your gun may lay {now.film}. It "
        f"hits {now.dry_film} in {now.on_film:2} of the guns yours may be. It is as fine as asked in "
        f"{now.fine_enough:2}."
    )
    if now.on_film >= 0.9:
        return words
    narrows = "Spray a card and gauge it" if own.is_measured("fluid_delivery") else "Measure your delivery"
    return f"{words} {narrows} before you trust it."


@bench.draws
def draw(now: Now) -> Drawn:
    if not now.options:
        return page.paragraph("No setting within these limits lays that film evenly: there is nothing to draw.")
    options = [told(now, option) for option in now.options]
    coarsest = max(options[-1]["texture"].most, now.worst_texture.si)
    across = now.worst_texture.axis(first_holding(TEXTURES, coarsest), "texture")
    charts = [
        chart(now, options, across, "lost", LOST, "paint lost"),
        chart(now, options, across, "time", TIMES, "time of all coats"),
    ]
    return Row(*charts)


def chart(
    now: Now, options: list[dict[str, Figure]], across: Axis, field: str, ends: Sequence[float], label: str
) -> Chart:
    most = max(float(option[field]) for option in options)
    up = options[0][field].axis(first_holding(ends, most), label)
    parts: list[Part] = [upright(now.worst_texture, up, "coarsest taken")]
    parts += [
        Mark(option["texture"], option[field], "" if number else "reach the film", pinned=True)
        for number, option in enumerate(options)
    ]
    if now.answer:
        answer = told(now, now.answer)
        parts.append(Mark(answer["texture"], answer[field], "answer"))
    return Chart(across, up, parts, 345, 300)


@bench.adds
def settings(now: Now) -> page.Markup:
    if not now.options:
        return page.Markup("")
    return page.folded(f"The {len(now.options)} settings of the picture in numbers", page.table(*rows(now)))


@bench.tabulates
def rows(now: Now) -> tuple[list[str], list[list[str]]]:
    head = ["fluid knob", "air", "fan", "distance", "speed", "overlap", "trigger", "coats", "lost", "time", "texture"]
    return [*head, "uneven", "guns where the answer wins"], [row(now, option) for option in now.options]


def row(now: Now, option: Option) -> list[str]:
    said = told(now, option)
    beaten = "" if option.beaten is None else f"{now.figure(option.beaten, 'sample_share'):2}"
    return [
        *(f"{said[key]:2}" for key in SETTING),
        f"{option.coats:g}",
        *(f"{said[key]:2}" for key in ("lost", "time", "texture")),
        f"{round(said['evenness'], 3):2}",
        "the answer" if now.answer and option.setting == now.answer.setting else beaten,
    ]
