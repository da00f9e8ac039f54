"""Slider to new picture on the kernel's side, every bench of the course, against `interact` with a new inline figure.

A reference bench with a door-sized map and a curve stands beside the course's own: its picture is drawn both ways.
"""

import io
import os
import pkgutil
import tempfile
import time
from unittest import mock

import ipywidgets
import numpy as np
from IPython.utils.capture import capture_output
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure as Plot

from coursekit import lesson
from coursekit.figure import Axis
from coursekit.lesson.content import benches
from coursekit.lesson.draw.map_pictures import Map
from coursekit.lesson.draw.picture import Chart, Line, Row
from coursekit.lesson.workbench.bench import Bench, at
from coursekit.lesson.workbench.view import BenchView
from tests.benchmarks.timing import Figure

MOVES, WARM, ROUNDS = 200, 20, 3
LIMIT, REPLAY_LIMIT = 8, 50  # ms; the second for benches that play steps of a repair on a panel
PLAYED = {
    "block-on-crown",
    "broken-through",
    "cross-hatch",
    "degrease-first",
    "dull-clear",
    "feathered-rim",
    "gauge-before-after",
    "guide-coat",
    "thin-recoat",
    "two-repairs",
    "what-went-wrong",
}
ALONG, UP = np.linspace(0, 1.2, 240), np.linspace(0, 0.8, 160)
PASSES = np.linspace(0.05, 0.75, 16)


def door(wet_film):
    """A coat of sixteen passes on a door, (160, 240) m."""
    across = np.exp(-(((UP[:, None] - PASSES) / 0.06) ** 2))
    along = 1 / (1 + np.exp(-(ALONG - 0.05) / 0.02)) * np.ones((16, 1))
    return wet_film * across @ along


def reference():
    bench = Bench(
        lambda wet_film: {"film": door(wet_film)},
        title="door",
        controls={"wet_film": at("120 µm")},
        gives={"film": "wet_film"},
        sources=["derived-here"],
    )

    @bench.draws
    def draw(now):
        scale = now.film.axis(900e-6)
        curve = Chart(Axis("m", 0, 0.8), scale, [Line(UP, now.film[:, 120])])
        return Row(Map(now.film, Axis("m", 0, 1.2), Axis("m", 0, 0.8), scale), curve)

    bench.says(lambda now: f"up to {now.film.of(now.film.most)}")
    return bench.fresh("door")


def moves(view):
    """Every slider of a bench moved in turn; p50 and p95 in ms, of the round least disturbed."""
    return min((percentiles(one_round(view)) for _ in range(ROUNDS)), key=lambda found: found[1])


def percentiles(taken):
    return tuple(np.percentile(taken, [50, 95]))


def one_round(view):
    taken = []
    for number in range(MOVES + WARM):
        slider = list(view.sliders.values())[number % len(view.sliders)]
        steps = round((slider.max - slider.min) / slider.step)
        target = slider.min + slider.step * ((7 * number + 3) % (steps + 1))
        begun = time.perf_counter()
        slider.value = target
        taken.append(1e3 * (time.perf_counter() - begun))
    return taken[WARM:]


def interact_with_a_new_figure():
    """The same map and curve the usual way: a new figure at each move, PNG with a tight box; p50 and p95 in ms."""

    def show(wet_film):
        film = door(wet_film * 1e-6) * 1e6
        figure = Plot(figsize=(9, 3.6))
        FigureCanvasAgg(figure)
        left, right = figure.subplots(1, 2)
        figure.colorbar(left.imshow(film, vmin=0, vmax=900, cmap="cividis", origin="lower"))
        right.plot(UP, film[:, 120])
        right.set_ylim(0, 900)
        figure.savefig(io.BytesIO(), format="png", bbox_inches="tight")

    slider = ipywidgets.IntSlider(120, 10, 300, 5)
    with capture_output():
        ipywidgets.interact(show, wet_film=slider)
        taken = []
        for number in range(30):
            begun = time.perf_counter()
            slider.value = 10 + 5 * ((7 * number) % 58)
            taken.append(1e3 * (time.perf_counter() - begun))
    return percentiles(taken[3:])


def figures():
    with tempfile.TemporaryDirectory() as home, mock.patch.dict(os.environ, COURSEKIT_HOME=home):
        usual = interact_with_a_new_figure()
        door_p50, door_p95 = moves(BenchView(reference()))
        yield Figure("door map and curve, slider to picture, p50", door_p50, "ms")
        yield Figure("door map and curve, slider to picture, p95", door_p95, "ms", LIMIT)
        yield Figure("the same by interact with a new figure, p50", usual[0], "ms")
        yield Figure("the same by interact with a new figure, p95", usual[1], "ms")
        yield Figure("times faster than interact, p95 to p95", usual[1] / door_p95, "×", 15, "≥")
        for module in pkgutil.iter_modules(benches.__path__):
            key = module.name.replace("_", "-")
            view = BenchView(lesson.bench(key))
            if view.sliders:
                yield Figure(
                    f"bench {key}, slider to picture, p95",
                    moves(view)[1],
                    "ms",
                    REPLAY_LIMIT if key in PLAYED else LIMIT,
                )
