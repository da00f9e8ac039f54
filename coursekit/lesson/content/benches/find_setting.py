"""The question backwards: which setting reaches the film with the least paint lost, and what stands against it."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit import spraying
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.draw.charts import Axis, Line, Mark, Part, chart, side_by_side
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.nomenclature import names
from coursekit.spraying.finding import Found, Option, read_limits

LOST = [25e-6 * 2**n for n in range(8)]  # m³; the axes stay put until the next one is needed
TEXTURES = [2e-6 * 2**n for n in range(6)]  # m
TIMES = [120.0 * 2**n for n in range(8)]  # s
SETTING = ("turns", "gun_inlet_pressure", "fan_opening", "gun_distance", "gun_speed", "overlap", "trigger")


class Answer(NamedTuple):
    found: Found
    asked: dict[str, float]


def compute(
    dry_film: float,
    worst_texture: float,
    worst_evenness: float,
    most_wet_film: float,
    most_coats: float,
    most_air: float,
    most_turns: float,
    least_trigger: float,
) -> Answer:
    usual = read_limits(None)
    limits = {
        "gun_inlet_pressure": (min(usual["gun_inlet_pressure"][0], most_air), most_air),
        "turns": (min(usual["turns"][0], most_turns), most_turns),
        "trigger": (least_trigger, 1.0),
    }
    known = one_coat.mine()
    job: dict[str, Any] = {key: value for key, value in one_coat.job().items() if key != "volatility"}
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
    return Answer(found, {"texture": worst_texture, "evenness": worst_evenness})


def in_words(limits: dict[str, tuple[float, float]]) -> dict[str, tuple[str, str]]:
    """Limits as a person writes them: the call reads units."""
    units = {"gun_inlet_pressure": "Pa", "turns": "", "trigger": ""}
    return {
        field: (f"{low:.9g} {units[field]}".strip(), f"{high:.9g} {units[field]}".strip())
        for field, (low, high) in limits.items()
    }


def in_order(now: Now) -> list[Option]:
    """From the finest texture to the coarsest, the answer among them."""
    options = {option.setting: option for option in now.result.found.trade_off}
    if now.result.found.answer:
        options.setdefault(now.result.found.answer.setting, now.result.found.answer)
    return sorted(options.values(), key=lambda option: option.texture)


def draw(now: Now) -> str:
    options = in_order(now)
    if not options:
        return page.paragraph("No setting within these limits lays that film evenly: there is nothing to draw.")
    texture = next(end for end in TEXTURES if end >= options[-1].texture or end == TEXTURES[-1])
    lost = next(end for end in LOST if end >= max(o.lost for o in options) or end == LOST[-1])
    time = next(end for end in TIMES if end >= max(o.time for o in options) or end == TIMES[-1])
    across = now.axis("texture", 0, texture)
    charts = [
        graph(now, options, across, "lost", "paint_volume", lost, "paint lost"),
        graph(now, options, across, "time", "coat_time", time, "time of all coats"),
    ]
    return side_by_side(*(chart(*one, 345, 300) for one in charts)) + table_of(now, options)


def graph(
    now: Now, options: list[Option], across: Axis, field: str, name: str, end: float, label: str
) -> tuple[Axis, Axis, list[Part]]:
    x = [now.number(o.texture, "texture") for o in options]
    y = [now.number(getattr(o, field), name) for o in options]
    asked = now.number(now.result.asked["texture"], "texture")
    top = now.number(end, name)
    parts: list[Part] = [Line([asked, asked], [0, top], "coarsest taken", "dotted")]
    parts += [
        Mark(a, b, "reach the film" if not n else "", kept=True) for n, (a, b) in enumerate(zip(x, y, strict=True))
    ]
    answer = now.result.found.answer
    if answer:
        parts.append(Mark(now.number(answer.texture, "texture"), now.number(getattr(answer, field), name), "answer"))
    return across, now.axis(name, 0, end, label), parts


def table_of(now: Now, options: list[Option]) -> str:
    return page.table(*rows(now, options))


def rows(now: Now, options: list[Option]) -> tuple[list[str], list[list[str]]]:
    head = [
        "fluid knob",
        "air",
        "fan",
        "distance",
        "speed",
        "overlap",
        "trigger",
        "coats",
        "lost",
        "time",
        "texture",
        "uneven",
        "guns where the answer wins",
    ]
    answer = now.result.found.answer
    return head, [
        [
            *(now.show(o.setting._asdict()[key], key, 2) for key in SETTING),
            f"{o.coats:g}",
            now.show(o.lost, "paint_volume", 2),
            now.show(o.time, "coat_time", 2),
            now.show(o.texture, "texture", 2),
            now.show(round(o.evenness, 3), "evenness", 2),
            beaten(now, o, answer),
        ]
        for o in options
    ]


def beaten(now: Now, option: Option, answer: Option | None) -> str:
    if answer and option.setting == answer.setting:
        return "the answer"
    return "" if option.beaten is None else now.show(option.beaten, "sample_share", 2)


def setting_words(now: Now, option: Option) -> str:
    told = option.setting._asdict()
    return ", ".join(f"{names()[key].label} {now.show(told[key], key, 2)}" for key in SETTING)


def say(now: Now) -> str:
    found = now.result.found
    if found.answer is None:
        return f"{stopped(now)} No setting meets all you ask within the limits."
    o: Option = found.answer
    coats = f"{o.coats:g} coat" + ("s" if o.coats > 1 else "")
    lost = f"{now.show(o.lost, 'paint_volume', 2)} of {now.show(o.sprayed, 'paint_volume', 3)} lost"
    words = (
        f"{coats}, {lost}. Set: {setting_words(now, o)}. Your gun may lay {now.show(found.film, 'dry_film')}. "
        f"It hits {now.text('dry_film')} in {now.show(found.on_film, 'sample_share', 2)} of the guns yours may "
        f"be. It is as fine as asked in {now.show(found.fine_enough, 'sample_share', 2)}."
    )
    return words if found.on_film >= 0.9 else f"{words} Measure your delivery before you trust it."


STOPS = {
    "too little film": "Too little film: even the slowest hand and the most fluid lay less. Allow more coats.",
    "too much film": "Too much film: the fastest hand and the least fluid lay more. Allow fewer turns.",
    "film": "Film: no setting that meets the rest reaches it. Allow more coats.",
    "worst_texture": "Texture: no setting is that fine. Allow more air, fewer turns or a coarser texture.",
    "worst_evenness": "Evenness: no overlap is that even. Allow more unevenness, or measure your fan.",
    "most_wet_film": "Wet film: each coat would be wetter than that. Allow more coats or a wetter coat.",
}


def stopped(now: Now) -> str:
    return "What stops it: " + " ".join(STOPS[name] for name in now.result.found.stopped_by)


bench = Bench(
    title="Which setting reaches the film?",
    about="Enter the film you want and your limits, then press the button. Some eleven thousand settings are "
    "tried on your panel. Fan 50 to 100 % open, 150 to 200 mm (6 to 8 in) away, overlap 50 to 67 % and a hand of "
    "0.3 to 0.6 m/s (60 to 120 ft/min) are the usual range.",
    controls={
        "dry_film": Control("35 µm", label="dry film in all"),
        "worst_texture": "2 µm",
        "worst_evenness": "5 %",
        "most_wet_film": Control("90 µm", label="wettest coat"),
        "most_coats": "3",
        "most_air": Control(
            "2 bar", name="gun_inlet_pressure", label="most air", slider=(0.8, 3.5, 0.1), slider_us=(12, 50, 1)
        ),
        "most_turns": Control("3", name="turns", label="most turns", slider=(1, 4, 0.25)),
        "least_trigger": Control("75 %", name="trigger", label="least trigger"),
    },
    compute=compute,
    draw=draw,
    say=say,
    press="Find the setting",
    beside=True,
    table=lambda now: rows(now, in_order(now)),
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
