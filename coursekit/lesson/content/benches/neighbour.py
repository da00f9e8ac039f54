"""What reaches the panels beside the one that is sprayed, and how far a cover must reach."""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

import numpy as np

from coursekit import panel, spraying
from coursekit.lesson.content.benches.door_film import gun_and_paint, usual_hand
from coursekit.lesson.draw.charts import Line, Part, chart, side_by_side
from coursekit.lesson.draw.colour_maps import TABLES, map_picture
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.panel import Panel

SIDE = (2.4, 1.6)  # m of the car's side
DOOR = (0.6, 1.8, 0.4, 1.2)  # m, the part that is sprayed: x0, x1, y0, y1
MOST = 5e-6  # m of the colours: the door itself is far over their end
SEEN = 0.5e-6  # m of dry film that a hand feels as roughness; assumed


class Side(NamedTuple):
    film: np.ndarray  # m, nan where it is covered
    door: float
    edge: float  # film on the neighbour right beside the door
    on_neighbour: float
    on_cover: float
    mist: float
    reaches: float  # m from the door's side to where the film falls below what is seen, were there no cover
    section: np.ndarray
    beyond: np.ndarray


@functools.lru_cache(maxsize=1)
def side() -> tuple[Panel, np.ndarray]:
    """The side of the car, and how far each of its cells is from the door."""
    car = panel.sheet_metal(panel.test_card(*SIDE, 0.01))
    x, y = car.shape.x, car.shape.y
    return car, np.hypot(
        np.maximum(np.maximum(DOOR[0] - x, x - DOOR[1]), 0)[None],
        np.maximum(np.maximum(DOOR[2] - y, y - DOOR[3]), 0)[:, None],
    )


def compute(fan_opening: float, gun_distance: float, overlap: float, lead: float, cover: float) -> Side:
    car, off = side()
    mine = own.garage_file().using(spraying.spray_setting)
    usual, paint = usual_hand(), gun_and_paint()
    hand = {**usual, "fan_opening": fan_opening, "gun_distance": gun_distance, "overlap": overlap}
    setting: dict[str, Any] = {**paint, **mine, **hand}
    set_so = spraying.spray_setting.si(**setting, panel_width=DOOR[1] - DOOR[0], panel_height=DOOR[3] - DOOR[2])
    sprayed, used = panel.spray(
        car,
        material="surfacer",
        volume_solids=paint["volume_solids"],
        flow=float(set_so.fluid_delivery),
        speed=usual["gun_speed"],
        pitch=float(set_so.pitch),
        sigma_across=float(set_so.width) / 4,
        area=DOOR,
        lead=lead,
        sigma_along=float(spraying.fan_depth.si(gun_distance, own.coefficient("spot_depth"))) / 4,
        captured=float(set_so.captured),
    )
    film = sprayed.layers[-1].thickness
    inside, covered = off == 0, (off > 0) & (off <= cover)
    volume = film * car.cell_area
    above = car.shape.y > DOOR[3]
    upward, beyond = film[above, film.shape[1] // 2], car.shape.y[above] - DOOR[3]
    reached = beyond[upward > SEEN]
    return Side(
        np.where(covered, np.nan, film),
        float(film[inside].mean()),
        float(upward[0]),
        float(volume[~inside & ~covered].sum()),
        float(volume[covered].sum()),
        float(used.solids["settling"] + used.solids["airborne"]),
        float(reached[-1]) if len(reached) else 0.0,
        upward,
        beyond,
    )


def draw(now: Now) -> str:
    across = now.axis("panel_width", 0, SIDE[0], "along the car")
    up = now.axis("panel_height", 0, SIDE[1], "up the car")
    image = map_picture(
        now.number(now.result.film, "dry_film"),
        across,
        up,
        now.axis("dry_film", 0, MOST),
        TABLES["film"],
        now.words,
        520,
    )
    x = now.number(now.result.beyond, "cover")
    cover = now.number(now["cover"], "cover")
    film = now.number(now.result.section, "dry_film")
    top = now.number(2 * MOST, "dry_film")
    parts: list[Part] = [
        Line(x, film, "now" if now.kept else "no cover"),
        Line([cover] * 2, [0, top], "cover ends", "dotted"),
    ]
    if now.kept:
        parts.append(Line(x, now.number(now.kept.result.section, "dry_film"), "kept", "dashed"))
    return side_by_side(
        image, chart(now.axis("cover", 0, 0.4, "above the door"), now.axis("dry_film", 0, 2 * MOST), parts, 280, 320)
    )


def say(now: Now) -> str:
    found = now.result
    words = f"The coat leaves {now.show(found.door, 'dry_film', 2)} dry on the door. "
    if found.reaches > 0:
        words += (
            f"Right above its edge there would still be {now.show(found.edge, 'dry_film', 2)}, and the paint "
            f"aimed too far is felt as roughness up to {now.show(found.reaches, 'cover', 2)} "
            "away. "
        )
    total = found.on_neighbour + found.on_cover
    if now["cover"] > 0:
        caught = found.on_cover / total if total else 1.0
        words += (
            f"A cover that reaches {now.text('cover')} out (the blank rim) catches "
            f"{now.show(caught, 'solids_share', 3)} of it; {now.show(found.on_neighbour, 'solids_volume', 2)} "
            "of solids lie on bare neighbours. "
        )
    else:
        words += (
            f"With nothing covered, {now.show(found.on_neighbour, 'solids_volume', 2)} of solids lie on the "
            "neighbours. "
        )
    return words + (
        f"The mist is not in this picture: {now.show(found.mist, 'solids_volume', 2)} of solids more never reach "
        "any panel, and settle wherever the air takes them. A rim does not stop that: cover the whole car."
    )


bench = Bench(
    title="What the neighbours get",
    about="The side of a car with one door in its middle, sprayed with the gun of the last lesson. Yellow is "
    "everything from the end of the colours up; blank is covered.",
    controls={
        "cover": Control("0.1 m", label="reach of the cover", slider=(0, 0.4, 0.01), slider_us=(0, 1.4, 0.05)),
        "fan_opening": Control("75 %", outfit=True),
        "gun_distance": Control("175 mm", outfit=True, slider_us=(4.75, 11.75, 0.25)),
        "overlap": Control("50 %", outfit=True),
        "lead": "50 mm",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["open_fan", "spot_depth", "cut_factor", "moving-bell", "impactor-notes"],
    measurement="pattern",
)
