"""Lessons of weather and air: no sentence reads as permission; benches against figures worked out by hand."""

import importlib
import itertools
from pathlib import Path

import nbformat
import numpy as np
import pytest

from coursekit import lesson, quantities
from coursekit.garage.protection import SUPPLIED_AIR
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.lesson.practice import examples
from coursekit.lesson.practice.exercise import EXERCISES
from coursekit.quantities import InputError
from tests.test_garage import permissions

WEATHER = ["dew-margin", "warm-panel", "day", "flash", "recoat"]
AIR = ["room-vapour", "fresh-air", "clear-room", "solvent-limits", "isocyanate-air"]
MOST = 700  # settings of a bench in each system
FEW = 64  # draws for a band where its words are asked, not its figures
whole_band = own.band_si
NOTEBOOKS = ["18-weather-and-drying", "19-air-you-breathe"]


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def grid(bench, points=None):
    """Settings over the sliders and the choices of a bench, ends included."""
    axes = []
    points = points or (4 if len(bench.controls) > 3 else 11)
    for key, control in bench.controls.items():
        options = control.options or bench.rows[key].options
        if options:
            axes.append([(key, option) for option in options])
        else:
            low, high, step = bench.slider(key)
            ends = {round((low + (high - low) * n / (points - 1)) / step) * step for n in range(points)}
            axes.append(
                [
                    (key, quantities.from_unit(min(max(end, low), high), bench.rows[key].key, unit_system.chosen()))
                    for end in ends
                ]
            )
    settings = list(itertools.product(*axes))
    random = np.random.default_rng(1)
    if len(settings) > MOST:
        settings = [settings[n] for n in random.choice(len(settings), MOST, replace=False)]
    return [dict(setting) for setting in settings]


@pytest.mark.parametrize("key", WEATHER + AIR)
@pytest.mark.parametrize("system", unit_system.OPTIONS)
def test_no_sentence_of_a_bench_reads_as_permission(key, system, monkeypatch):
    """Over the places of the sliders in either system, each computed once, without a picture, and said in both."""
    monkeypatch.setattr(own, "band_si", lambda call, draws=FEW, **si: whole_band(call, draws=FEW, **si))
    unit_system.choose(system)
    bench = lesson.bench(key)
    for text in (bench.title, bench.about, *bench.where_from, *(bench.label(c) for c in bench.controls)):
        assert not permissions(text), (text, permissions(text))
    said = set()
    for setting in grid(bench):
        values = {**bench.values, **setting}
        try:
            result = bench._computed(bench.compute, values)
        except InputError as error:
            said.add(str(error))
            continue
        for shown in unit_system.OPTIONS:
            with unit_system.shown_in(shown):
                said.add(bench.say(bench._now((values, result), shown)))
    assert len(said) > 20
    for text in said:
        assert not permissions(text), (text, permissions(text))


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_no_sentence_of_a_notebook_reads_as_permission(name):
    notebook = nbformat.read(Path(__file__).parents[1] / "notebooks" / f"{name}.ipynb", nbformat.NO_CONVERT)
    texts = [line for cell in notebook.cells if cell.cell_type == "markdown" for line in cell.source.splitlines()]
    assert len(texts) > 20
    for text in texts:
        assert not permissions(text), (text, permissions(text))


@pytest.mark.parametrize("of", ["weather", "breathing"])
def test_no_sentence_of_an_exercise_or_an_example_reads_as_permission(of):
    importlib.import_module(f"coursekit.lesson.content.exercises.{of}")
    texts = [example.words for key, example in examples.worked_examples().items() if key.startswith(f"{of}-")]
    texts += [row["why"] for key, row in examples.load_rows("predictions").items() if key.startswith(f"{of}-")]
    for key, declared in EXERCISES.items():
        if key.startswith(f"{of}-"):
            for turn in range(8):
                question = declared.question("garage", turn)
                texts += [question.ask, question.way, *question.hints, *(words for _, words in question.slips)]
                texts.append(str(question.answer))
    assert len(texts) > 100
    for text in texts:
        assert not permissions(text), (text, permissions(text))


# --- weather ---


def test_dew_margin_by_hand():
    # 20 °C and 50 %: dew point 9.27 °C (psychrolib and CoolProp)
    bench = lesson.bench("dew-margin").set(temperature="20 °C", humidity="50 %", panel_temperature="12 °C")
    assert bench.result.here.margin == pytest.approx(12 - 9.27, abs=0.02) and "2.7 °C warmer" in bench.words
    assert "under the published margins" in bench.words
    assert "water settles" in bench.set(panel_temperature="9 °C").words
    assert "speaks of water alone" in bench.set(panel_temperature="15 °C").words


def test_a_thermometer_narrows_the_slow_panel():
    bench = lesson.bench("warm-panel").set(elapsed="20 min")
    wide = bench.result.then
    measurement_form.enter("panel_lag", {"panel_before": "8", "panel_after": "13", "air": "18", "time": "20"})
    bench.compute_again()
    narrow = bench.result.then
    # half of the way from 6 to 20 °C after 20 min
    assert narrow.middle == pytest.approx(273.15 + 13, abs=0.1)
    assert abs(narrow.high - narrow.low) < 0.3 * abs(wide.high - wide.low)


def test_day_tells_the_hours_that_have_something_against_them():
    bench = lesson.bench("day").set(coldest="-5 °C", warmest="5 °C", dew_point="-8 °C")
    assert "No hour is without something against" in bench.words and "floor" in bench.words
    bench.set(coldest="18 °C", warmest="26 °C", dew_point="8 °C")
    assert "begins at 00:00, the last ends at 24:00" in bench.words and "not a yes" in bench.words


def test_flash_says_where_it_stops():
    bench = lesson.bench("flash").set(
        solvent="n-butyl acetate", wet_film="100 µm", volume_solids="40 %", temperature="25 °C", air_speed="0.25 m/s"
    )
    # 0.8 · 52.9 g/m² over 1.008 mm/s · 75.87 g/m³ of saturated vapour, see the worked example
    assert bench.result.stage.middle == pytest.approx(0.8 * 52.86 / (1.008e-3 * 75.87), rel=0.03)
    assert "diffusion stage, not modelled" in bench.words
    thin = bench.result.stage
    assert bench.set(wet_film="200 µm").result.stage.middle == pytest.approx(2 * thin.middle, rel=0.02)


def test_recoat_takes_the_worse_for_true():
    bench = lesson.bench("recoat").set(earliest="4 h", latest="24 h", sheet_temperature="20 °C", temperature="10 °C")
    # 4 h × e^(52000/8.314 · (1/283.15 − 1/293.15)) = 8.5 h; with 33 and 70 kJ/mol 6.45 and 11.0 h
    assert bench.result.earlier.low == pytest.approx(3600 * 6.45, rel=0.02)
    assert bench.result.earlier.high == pytest.approx(3600 * 11.0, rel=0.02)
    assert "too early, whichever way" in bench.set(waited="6 h").words
    assert "too early or inside" in bench.words or "inside the window or too early" in bench.set(waited="8.5 h").words
    assert "Plan for the worse, too early" in bench.set(waited="8.5 h").words
    assert "too late, whichever way" in bench.set(waited="90 h").words and "Scuff the film" in bench.words


# --- air ---


def test_room_vapour_by_hand():
    bench = lesson.bench("room-vapour").set(
        solvent="toluene",
        paint_volume="300 mL",
        voc_content="400 g/L",
        room_volume="50 m³",
        air_changes="2 /h",
        mixing_factor="4",
    )
    # 120 g / 92.14 g/mol · 24.055 L/mol = 31.3 L in 50 m³
    assert float(bench.result.closed.vapour) == pytest.approx(31.33e-3 / 50.0313, rel=0.002)
    # 31.3 L in 20 min over 100 m³/h, times 4
    assert bench.result.steady == pytest.approx(4 * 31.33e-3 * 3 / 100, rel=0.002)
    assert bench.result.limit == pytest.approx(50e-6)
    assert bench.result.air.poorly_mixed.max() > bench.result.air.mixed.max()
    assert "Neither figure covers the mist" in bench.words


def test_fresh_air_shows_the_larger_and_neither_covers_mist():
    bench = lesson.bench("fresh-air")
    for setting in grid(bench, 2):
        bench.move(setting)
        air = bench.result.air
        assert air.larger == max(air.fire, air.health)
        assert "Neither figure covers the mist" in bench.words and "no amount of air" in bench.html


def test_clear_room_is_the_printed_table_times_the_mixing_factor():
    bench = lesson.bench("clear-room").set(air_changes="6 /h", mixing_factor="3")
    assert bench.result.hundredth / 60 == pytest.approx(3 * 46, abs=1.5)  # 46 min printed
    assert "For at least 139 min" in bench.words
    assert "For at least 30 min" in bench.set(air_changes="30 /h", mixing_factor="1").words


def test_no_number_talks_the_course_out_of_supplied_air():
    bench = lesson.bench("isocyanate-air")
    for setting in grid(bench, 21):
        bench.move(setting)
        assert SUPPLIED_AIR in bench.words and "changes nothing" in bench.words
    assert "96 and 98 were over" in bench.words


def test_two_timed_cups_narrow_pot_life_and_the_recoat_window():
    life, window = lesson.bench("pot-life").set(temperature="33 °C"), lesson.bench("recoat").set(temperature="8 °C")
    wide = [life.result.life, window.result.earlier]
    measurement_form.enter(
        "cup_doubling", {"doubled": "40", "temperature": "32", "reference": "104", "reference_temperature": "18"}
    )
    narrow = [life.compute_again().result.life, window.compute_again().result.earlier]
    for before, after in zip(wide, narrow, strict=True):
        assert after.high - after.low < before.high - before.low
    # (104/40) over 14 °C: 2.6^(10/14) = 1.98 per ten; 60 min at 21 °C become 60 / 1.98^1.2 at 33 °C
    assert narrow[0].middle / 60 == pytest.approx(60 / 1.98**1.2, rel=0.01)
