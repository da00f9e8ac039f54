"""What reaches the panels beside the one that is sprayed, and how far a cover must reach."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from coursekit import panel, spraying
from coursekit.lesson.content.shared.my_gun import gun_and_paint, usual_hand
from coursekit.lesson.draw.car_side import CarSide
from coursekit.lesson.draw.picture import Chart, Line, Row, upright
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel import Panel

SIDE = (2.4, 1.6)  # m of the car's side
DOOR = (0.6, 1.8, 0.4, 1.2)  # m, the part that is sprayed: x0, x1, y0, y1
ENDS = (0.05e-6, 25e-6)  # m of film that are drawn white and black
MOST = 5e-6  # m of the section's axis
LEAST = 1e-9  # m³ of solids that are still worth a number
SEEN = 0.5e-6  # m of dry film that a hand feels as roughness; assumed


@functools.lru_cache(maxsize=1)
def side() -> tuple[Panel, np.ndarray]:
    """The side of the car, and how far each of its cells is from the door."""
    car = panel.sheet_metal(panel.test_card(*SIDE, 0.01))
    x, y = car.shape.x, car.shape.y
    return car, np.hypot(
        np.maximum(np.maximum(DOOR[0] - x, x - DOOR[1]), 0)[None],
        np.maximum(np.maximum(DOOR[2] - y, y - DOOR[3]), 0)[:, None],
    )


@declare(
    "Overspray on the neighbouring panels",
    gives={
        "film": "dry_film",  # nan where it is covered
        "door": "dry_film",
        "edge": "dry_film",  # on the neighbour right beside the door
        "on_neighbour": "solids_volume",
        "on_cover": "solids_volume",
        "mist": "solids_volume",
        "reaches": "cover",  # from the door's side to where less than SEEN lies, were there no cover
        "section": "dry_film",
        "beyond": "cover",
    },
    about="The side of a car with one door in its middle, sprayed with the gun of the last lesson. The darker, the "
    "more lies there, by powers of ten; what is hatched is covered.",
    sources=["open_fan", "spot_depth", "cut_factor", "moving-bell", "impactor-notes"],
    measurement="pattern",
)
def bench(
    cover: float = at("0.1 m", label="width of the masking", slider=(0, 0.4, 0.01), slider_us=(0, 16, 0.5)),
    fan_opening: float = at("75 %", outfit=True),
    gun_distance: float = at("175 mm", outfit=True, slider_us=(4.75, 11.75, 0.25)),
    overlap: float = at("50 %", outfit=True),
    lead: float = at("50 mm"),
) -> dict[str, Any]:
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
        fan=panel.Fan.seen(set_so.width, spraying.fan_depth.si(gun_distance, own.coefficient("spot_depth"))),
        speed=usual["gun_speed"],
        pitch=float(set_so.pitch),
        area=DOOR,
        lead=lead,
        captured=float(set_so.captured),
    )
    film = sprayed.layers[-1].thickness
    inside, covered = off == 0, (off > 0) & (off <= cover)
    volume = film * car.cell_area
    above = car.shape.y > DOOR[3]
    upward, beyond = film[above, film.shape[1] // 2], car.shape.y[above] - DOOR[3]
    reached = beyond[upward > SEEN]
    return {
        "film": np.where(covered, np.nan, film),
        "door": float(film[inside].mean()),
        "edge": float(upward[0]),
        "on_neighbour": float(volume[~inside & ~covered].sum()),
        "on_cover": float(volume[covered].sum()),
        "mist": float(used.solids.settling + used.solids.airborne),
        "reaches": float(reached[-1]) if len(reached) else 0.0,
        "section": upward,
        "beyond": beyond,
    }


@bench.says
def say(now: Now) -> str:
    words = f"The coat leaves {now.door:2} dry on the door. "
    if now.reaches > 0:
        words += (
            f"Right above its edge there would still be {now.edge:2}, and the paint aimed too far is felt as "
            f"roughness up to {now.reaches:2} away. "
        )
    if now.cover > 0:
        beside = now.on_cover + now.on_neighbour
        caught = now.figure(float(now.on_cover / beside) if beside else 1.0, "solids_share")
        left = "hardly any" if now.on_neighbour.si < LEAST else f"{now.on_neighbour:2} of solids"
        words += (
            f"A cover that reaches {now.cover} out (the hatched rim) catches {caught:3} of it; "
            f"{left} lands on bare neighbours. "
        )
    else:
        words += f"With nothing covered, {now.on_neighbour:2} of solids lands on the neighbours. "
    return words + (
        f"The mist is not in this picture: another {now.mist:2} of solids never reaches any panel, and settles "
        "wherever the air takes it. A rim does not stop that: cover the whole car."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    film = now.film.axis(2 * MOST)
    parts = [Line(now.beyond, now.section, "no cover", pinned="pinned"), upright(now.cover, film, "cover ends")]
    return Row(
        CarSide(now.film, SIDE, DOOR, now.cover, ENDS),
        Chart(now.cover.axis(0.4, "above the door"), film, parts, 225, 250),
    )
