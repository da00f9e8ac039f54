"""The job sheet: the same bytes, no permission, its clock and pictures, gun card, cups, prices, and odd recipes."""

import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy import integrate

from coursekit import repair
from coursekit.belief import shipped
from coursekit.drying.cure import cure_speed
from coursekit.garage import cautions
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, shown_band
from coursekit.repair import judging, sheet_clock, sheet_gun, sheet_shopping
from coursekit.repair import sheet_drawing as ink
from coursekit.repair import sheet_wall as wall
from coursekit.repair.entry import FillEntry
from coursekit.repair.forecast import Weather, time_needed
from coursekit.repair.lots import lots
from coursekit.repair.rules import rule
from coursekit.repair.sheet_masks import first_open
from coursekit.repair.sheet_mixing import cup_height
from coursekit.repair.steps import Spray
from coursekit.repair.table import text_table
from coursekit.repair.words import band_words, panel_words, ruled
from coursekit.uncertain import Band
from tests.test_garage import permissions

MORE = """
[forecast]
coldest = "14 °C"
warmest = "23 °C"
begins = "08:30"

[gun]
turns = 2
gun_inlet_pressure = "0.8 bar"
fan_opening = "80 %"
tip_bore = "1.6 mm"
kinematic_viscosity = "60 mm²/s"

[cup]
bottom = "70 mm"
top = "90 mm"
height = "120 mm"

[price]
surfacer = "38 per 1 L"
clear = "45 per 1 L"
filler = "20 per 1 kg"
"paper P320" = "14 per 10 sheets"
"masking tape" = "6 per 50 m"
"""


def written(more="", which="door_repair"):
    """A demo recipe with more tables in it."""
    return repair.demo_path(which).read_text(encoding="utf-8").replace("[panel]", more + "\n[panel]", 1)


@pytest.fixture(scope="module")
def demo():
    return repair.replay(repair.demo_path())


@pytest.fixture(scope="module")
def impatient():
    return repair.replay(repair.demo_path("impatient_repair"))


@pytest.fixture(scope="module")
def full():
    return repair.replay(repair.loads(written(MORE), "full.toml"))


class Read(HTMLParser):
    """The sentences of a page: what stands between its tags, and what is read aloud of its drawings."""

    def __init__(self, page):
        super().__init__()
        self.told, self.inside, self.opened = [], [], []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.inside.append(tag)
        self.opened.append(tag)
        self.told += [value for key, value in attributes if key == "aria-label"]

    def handle_endtag(self, tag):
        while self.inside and self.inside.pop() != tag:
            pass

    def handle_data(self, data):
        if data.strip() and "style" not in self.inside:
            self.told.append(" ".join(data.split()))


# --- bytes and words ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("units", "seed"), [("metric", "0"), ("us", "7")])  # the order of a set must not show
def test_notebook_and_command_line_write_the_same_bytes(units, seed, tmp_path):
    recipe = tmp_path / "door.toml"
    recipe.write_text(written(MORE), encoding="utf-8")
    here = repair.job_sheet(repair.load(recipe), units).encode()
    assert here == repair.job_sheet(recipe, units).encode() == repair.job_sheet(repair.replay(recipe), units).encode()
    out = tmp_path / "sheet.html"
    command = [sys.executable, "-m", "coursekit", "sheet", str(recipe), "-o", str(out), "--units", units]
    subprocess.run(command, check=True, timeout=120, env={**os.environ, "PYTHONHASHSEED": seed})
    assert out.read_bytes() == here


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("which", ["demo", "impatient", "full"])
def test_no_sentence_of_the_sheet_reads_as_permission(which, units, request):
    told = Read(repair.job_sheet(request.getfixturevalue(which), units)).told
    assert len(told) > 300
    for sentence in told:
        assert not permissions(sentence), (sentence, permissions(sentence))


def test_no_sentence_reads_as_permission_in_any_weather(rough):
    for temperature, humidity in (("2 °C", "95 %"), ("45 °C", "1 %")):
        recipe = repair.loads(written().replace('"20 °C"', f'"{temperature}"').replace('"55 %"', f'"{humidity}"'))
        for sentence in Read(repair.job_sheet(recipe)).told:
            assert not permissions(sentence), (sentence, permissions(sentence))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_each_page_for_the_wall_clears_nothing_and_has_its_cautions(demo, units):
    """Few words, read from two metres: on both pages, and those alone that bear on the work."""
    polished = judging.tasks()[2].best()  # a scratch in the clear: nothing is filled or sprayed
    for replay, there in ((demo, {"isocyanate", "room", "dust", "hardener"}), (polished, {"room", "dust"})):
        pages = str(wall.pages(replay, units)).split("</section>")[:2]
        for page in pages:
            assert page.count("Computed, not a clearance.") == 1
            for topic, row in load_data("wall_cautions").items():
                assert (row["text"] in page) is (topic in there), topic
    told = str(wall.pages(demo, units))
    assert re.search(r"to [\d.]+ (mL|fl oz) surfacer · to [\d.]+ (mL|fl oz) activator", told), "lines, not amounts"
    for topic, row in load_data("wall_cautions").items():
        assert row["source"] in {one.source for one in cautions(topic)}


def test_every_part_of_the_sheet_is_there_in_its_order(full):
    sheet = repair.job_sheet(full)
    heads = re.findall(r"<h2>(.*?)</h2>", sheet)
    assert heads == [
        "Before anything is done",
        "To buy",
        "Cost and waste, in your currency",
        "Timeline",
        "Papers and strokes",
        "Masking plan",
        "Mixing",
        "Gun settings",
        "Checks between the steps",
        "Cautions",
        "What is a band, and what is measured",
    ]
    assert "size:" not in sheet.partition("</style>")[0].partition("@page")[2].partition("}")[0]


def test_plan_checks_stand_before_anything_else(impatient):
    sheet = repair.job_sheet(impatient)
    found = repair.plan_checks(impatient)
    assert any(one.against for one in found)
    for one in found:
        first = one.text().partition(":")[0]
        assert sheet.index(first) < sheet.index("To buy")


def test_ends_that_are_alike_are_said_once():
    assert band_words(Band(10_800, 10_800, 10_800)) == "3 h"
    assert band_words(Band(9_000, 10_800, 14_400)) == "3 h (2.5 h to 4 h)"
    assert shown_band(13e-6, 13.1e-6, "film") == "13 µm" and shown_band(13e-6, 15e-6, "film") == "13 to 15 µm"


def test_a_verdict_says_a_time_without_a_band_once():
    short = repair.replay(repair.loads(written().replace('time = "5 h"', 'time = "1 h"', 1)))
    told = next(str(entry.verdict) for entry in short if "time to sand" in str(entry.verdict))
    assert "3 h to 3 h" not in told and "is 3 h in this garage" in told


def test_waves_of_the_table_say_what_they_are_times_of(demo):
    told = text_table(demo.recipe.title, demo)
    assert "waves (eye: 1)" in told and " ×\n" in told and "strict eye" in told


# --- clock -------------------------------------------------------------------------------------------------


def forecast(coldest, warmest, begins="08:00", garage="20 °C", humidity="55 %"):
    text = written(f'[forecast]\ncoldest = "{coldest:.3f} °C"\nwarmest = "{warmest:.3f} °C"\nbegins = "{begins}"\n')
    return repair.loads(text.replace('"20 °C"', f'"{garage}"').replace('"55 %"', f'"{humidity}"'))


@given(temperature=st.floats(6, 40), sheet_time=st.floats(60, 4e5), laid=st.floats(0, 2e5))
@settings(max_examples=30, deadline=None)
def test_a_day_of_one_temperature_gives_the_times_of_that_temperature(temperature, sheet_time, laid):
    same = forecast(temperature, temperature, garage=f"{temperature:.3f} °C")
    found, plain = Weather(same).needed(laid, sheet_time), time_needed(same, sheet_time)
    assert np.allclose(found, plain, rtol=1e-6)


@given(coldest=st.floats(6, 25), swing=st.floats(0, 15), sheet_time=st.floats(600, 2e5), laid=st.floats(0, 2e5))
@settings(max_examples=30, deadline=None)
def test_times_by_the_forecast_are_what_the_panel_lived_through(coldest, swing, sheet_time, laid):
    """Summed up minute by minute at the speed of cure that the panel's temperature gives."""
    weather = Weather(forecast(coldest, coldest + swing))
    found = weather.needed(laid, sheet_time).middle
    times = laid + np.linspace(0, found, 4000)
    panel = np.interp(weather.begins + times, weather.day.clock, weather.day.panel, period=86_400)
    energy = float(shipped().coefficient("activation_energy"))
    lived = cure_speed.si(panel, energy) / cure_speed.si(293.15, energy)
    # The day stands in quarters of an hour, each with one speed: at its rims, where a part of one counts, that is up
    # to 10 s of cure (the most over all hours of the warmest, steepest day), and a ten-thousandth over many days.
    assert abs(np.trapezoid(lived, times) - sheet_time) <= 15 + 1e-4 * sheet_time


def test_films_hardly_cure_in_the_cold_and_the_sheet_says_so():
    cold = forecast(-10, 2)
    assert Weather(cold).needed(0, 3600) is None
    assert "too cold or too hot" in repair.job_sheet(cold)


def test_the_clock_begins_when_the_forecast_says(full):
    weather = Weather(full.recipe)
    assert weather.clock(0) == "08:30" and weather.clock(16 * 3600) == "1 d 00:30"
    assert weather.panel(0) < weather.panel(8 * 3600)
    sheet = repair.job_sheet(full)
    assert "by the forecast" in sheet and "done at night" in sheet


@given(coldest=st.floats(-29.9, 49), swing=st.floats(0, 60), humidity=st.floats(1, 100), hour=st.integers(0, 23))
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@pytest.mark.filterwarnings("error")
def test_a_sheet_is_made_in_whatever_weather(coldest, swing, humidity, hour):
    recipe = forecast(coldest, min(coldest + swing, 49.9), f"{hour}:00", humidity=f"{humidity:.3f} %")
    assert repair.job_sheet(recipe).endswith("</html>\n")


# --- pictures ----------------------------------------------------------------------------------------------


def drawings(page):
    return [ElementTree.fromstring(one) for one in re.findall(r'<svg class="drawing".*?</svg>', page)]


@pytest.mark.parametrize("which", ["demo", "impatient", "full"])
def test_drawings_are_black_on_white_and_their_words_stay_inside(which, request):
    found = drawings(repair.job_sheet(request.getfixturevalue(which)))
    assert len(found) >= 4
    for one in found:
        _, _, width, height = map(float, one.get("viewBox").split())
        on_paper = 510 if width > 300 else 248  # points: the page's text, or half of it
        assert float(one.get("font-size")) * on_paper / width >= 9
        for part in one.iter():
            assert part.get("fill", "none") in {"none", "#fff", "#000", "#c4c4c4"}
            assert part.get("stroke", "none") in {"none", "#fff", "#000"}
            if part.tag == "text":
                wide = ink.width_of(part.text) * {"start": 0, "middle": 0.5, "end": 1}[part.get("text-anchor")]
                left = float(part.get("x")) - wide
                assert left >= -2 and left + ink.width_of(part.text) <= width + 2, part.text
                assert 0 < float(part.get("y")) <= height


def test_a_picture_puts_the_windows_where_they_are(demo):
    weather = Weather(demo.recipe)
    spell = list(sheet_clock.spells(demo, weather))[1]
    film = spell.films[0]
    assert film.entry.step.coats == 2 and len(film.coats) == 2
    assert film.coats[1][0] - film.coats[0][1] == pytest.approx(film.entry.step.flash)
    assert film.coats[1][1] == pytest.approx(film.ended)
    axis = sheet_clock._axis(spell)
    times = [film.entry.began, film.ended, film.ended + film.early.high, film.ended + film.hard.low, spell.next.began]
    places = [axis.x(time) for time in times]
    assert places == sorted(places) and places[0] >= sheet_clock.LEFT and places[-1] <= sheet_clock.RIGHT
    assert axis.broken and axis.x(film.ended) < sheet_clock.BREAK < axis.x(film.ended + film.hard.low)
    minutes = axis.x(film.ended) - axis.x(film.ended - 60)
    assert minutes > 5 * (axis.x(spell.next.began) - axis.x(spell.next.began - 60))


def test_work_before_its_time_is_told_beside_the_picture(impatient):
    told = " ".join(Read(repair.job_sheet(impatient)).told)
    assert "That is before its time is surely over" in told


# --- gun ---------------------------------------------------------------------------------------------------


def test_a_step_sets_its_gun_over_that_of_the_recipe(full):
    step = next(entry.step for entry in full if isinstance(entry.step, Spray))
    assert sheet_gun.gun_of(full.recipe, step)["turns"] == 2
    own = full.recipe.changed("step", step.number, "turns", to=1.5)
    assert sheet_gun.gun_of(own, own.steps[step.number - 1])["turns"] == 1.5


def test_more_fluid_and_a_slower_hand_lay_more(full):
    step = next(entry.step for entry in full if isinstance(entry.step, Spray))
    films = []
    for turns, speed in ((1, "0.3 m/s"), (3, "0.3 m/s"), (3, "0.2 m/s")):
        changed = full.recipe.changed("step", step.number, "turns", to=turns).changed(
            "step", step.number, "gun_speed", to=speed
        )
        found = sheet_gun.predicted(repair.replay(changed, preview=True), changed.steps[step.number - 1])
        assert found.film.low < found.film.middle < found.film.high
        assert 0 < found.captured.low < found.captured.high <= 1
        films.append(found.film.middle)
    assert films == sorted(films)


def test_the_film_of_the_card_is_that_of_the_recipe_s_pitch_by_hand(full):
    step = next(entry.step for entry in full if isinstance(entry.step, Spray))
    for fan in ("180 mm", "320 mm"):  # the gun's own fan, and so the pitch of its overlap, is another
        changed = full.recipe.changed("step", step.number, "fan_width", to=fan)
        new = changed.steps[step.number - 1]
        found = sheet_gun.predicted(repair.replay(changed, preview=True), new)
        laid = found.delivery.middle * new.volume_solids(changed) * found.captured.middle
        # The middle of a product is near the product of the middles.
        assert found.film.middle == pytest.approx(laid / (new.gun_speed * new.pitch), rel=0.1)


def test_the_card_says_what_a_gun_lacks_and_what_is_not_measured(demo, full):
    assert sheet_gun.FROM_SHEET in repair.job_sheet(demo) and "common practice" in repair.job_sheet(demo)
    assert "Nothing of this gun was measured" not in repair.job_sheet(demo)
    told = " ".join(Read(repair.job_sheet(full)).told)
    assert "nothing of this gun was measured" in told and "the computed gun delivers" in told
    half = repair.loads(written("[gun]\nturns = 2\n"))
    lacks = "gun_inlet_pressure, fan_opening, tip_bore, kinematic_viscosity"
    assert f"write {lacks} under [gun]" in repair.job_sheet(half)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(
    ("was", "put"),
    [
        ("turns = 2", "turns = 0"),
        ('"0.8 bar"', '"0 bar"'),
        ('"60 mm²/s"', '"3000 mm²/s"'),
        ('"80 %"', '"0 %"'),
        ("turns = 2", 'turns = 2\ntrigger = "0 %"'),
        ("turns = 2", "turns = 8"),
        ('"0.8 bar"', '"3.5 bar"'),
    ],
)
def test_a_gun_that_cannot_be_reckoned_with_is_told_in_words(was, put):
    sheet = repair.job_sheet(repair.loads(written(MORE.replace(was, put))))
    assert "the computed gun" in sheet


# --- cups and prices ---------------------------------------------------------------------------------------


@given(bottom=st.floats(0.02, 0.3), top=st.floats(0.02, 0.3), height=st.floats(0.02, 0.4), share=st.floats(0, 0.999))
def test_a_level_in_a_cup_holds_the_volume_it_stands_for(bottom, top, height, share):
    """The volume under the level, summed up slice by slice: by parabolas, which the area of a slice is exactly."""
    level = share * height
    z = np.linspace(0, level, 21)
    volume = float(integrate.simpson(math.pi * ((bottom + (top - bottom) * z / height) / 2) ** 2, x=z))
    found = cup_height({"bottom": bottom, "top": top, "height": height}, volume)
    assert found == pytest.approx(level, abs=1e-8)


def test_what_does_not_fit_a_cup_is_said():
    small = repair.loads(written('[cup]\nbottom = "30 mm"\nheight = "40 mm"\n'))
    assert cup_height(small.cup, 40e-6) is None and cup_height(small.cup, 20e-6) == pytest.approx(28.3e-3, rel=1e-3)
    assert "does not fit" in repair.job_sheet(small)


def test_without_prices_none_is_shown(demo):
    costs = sheet_shopping.costs(demo)
    assert not costs.table and costs.words == (sheet_shopping.NO_PRICE,)
    assert "No price is known here" in repair.job_sheet(demo)


def test_costs_by_hand(full):
    """Clear: part by part from what the replay used, at 45 for a litre."""
    rows = {row.what: row for row in sheet_shopping.rows(full)}
    clear = next(entry for entry in full if entry.step.brings == "clear")
    mixed = clear.used.mixed * 2 / 3
    assert rows["clear"].used + rows["clear"].wasted == pytest.approx(mixed)
    assert rows["clear"].buy == pytest.approx(1.2 * mixed)
    table = {row[0]: row[1:] for row in sheet_shopping.costs(full).table}
    packs, used, wasted, usually = table["clear"]
    assert packs == "1" and float(used) + float(wasted) == pytest.approx(45 * mixed * 1000, abs=0.011)
    assert float(usually) > float(wasted)
    assert table["filler"][1] == f"{20 * rows['filler'].used * 1600:.2f}"  # by weight: 1.6 kg/L
    assert table["masking tape"][1] == f"{6 * rows['masking tape'].buy / 50:.2f}"
    assert "paper P80" in " ".join(sheet_shopping.costs(full).words)


def test_usual_air_takes_more_paint_than_a_gun_with_less(full):
    """Less air, less lost: more of a coat lands (Kwok 1991; common practice)."""
    steps = [entry.step for entry in full if isinstance(entry.step, Spray)]
    assert len(steps) > 2 and all(1 < sheet_shopping.usual_air(full, step) < 2 for step in steps)


GOOD_PRICES = {
    'clear = "45 per 1 L"': ("clear", 45, "bought_volume", 1e-3),
    'clear = "45/L"': ("clear", 45, "bought_volume", 1e-3),
    'filler = "20 per 2 kg"': ("filler", 20, "bought_mass", 2.0),
    'cloths = "1.2 each"': ("cloths", 1.2, "bought_pieces", 1),
    '"paper P320" = "1.2 per sheet"': ("paper P320", 1.2, "bought_pieces", 1),
    '"paper P80" = "14 per 10 pieces"': ("paper P80", 14, "bought_pieces", 10),
    '"masking tape" = "6 per 50 m"': ("masking tape", 6, "bought_length", 50.0),
    'base = "30 per 1 qt"': ("base", 30, "bought_volume", 946.352946e-6),
}


@pytest.mark.parametrize("line", GOOD_PRICES)
def test_prices_are_read_as_people_write_them(line):
    row, money, kind, pack = GOOD_PRICES[line]
    found = repair.loads(written(f"[price]\n{line}\n")).prices[row]
    assert found == (pytest.approx(money), kind, pytest.approx(pack))


BAD_TABLES = {
    '[price]\nclea = "4 per 1 L"': ("price.clea", "Did you mean clear?"),
    "[price]\nclear = 38": ("price.clear", "45 per 1 L"),
    '[price]\nclear = "38"': ("price.clear", "45 per 1 L"),
    '[price]\nclear = "-3 per 1 L"': ("price.clear", "45 per 1 L"),
    '[price]\nclear = "3 per 2 sheets"': ("price.clear", "no price for that row"),
    '[price]\nclear = "3 per 0 L"': ("price.clear", "a price for nothing"),
    '[price]\nclear = "3 per zorg"': ("price.clear", "no amount that is known"),
    '[price]\n"paper P99x" = "3 per 2 sheets"': ("price.paper P99x", "not a grade"),
    '[price]\nclear = ["1"]': ("price.clear", "45 per 1 L"),
    "[gun]\nturn = 2": ("gun.turn", "Did you mean turns?"),
    '[gun]\npressure = "2 bar"': ("gun.pressure", "Did you mean gun_inlet_pressure?"),
    "[gun]\nturns = 99": ("gun.turns", "above the range"),
    '[forecast]\ncoldest = "8 °C"': ("forecast.warmest", "is missing"),
    '[forecast]\ncoldest = "18 °C"\nwarmest = "8 °C"': ("forecast.coldest", "Exchange"),
    '[forecast]\ncoldest = "18 °C"\nwarmest = "60 °C"': ("forecast.warmest", "above the range"),
    '[forecast]\ncoldest = "8 °C"\nwarmest = "9 °C"\nbegins = "25:00"': ("forecast.begins", "08:30"),
    '[forecast]\ncoldest = "8 °C"\nwarmest = "9 °C"\nbegins = 8': ("forecast.begins", "not a time of day"),
    '[cup]\nbottom = "70 mm"': ("cup.height", "is missing"),
    '[cup]\nbottom = "7 m"\nheight = "70 mm"': ("cup.bottom", "above the range"),
    '[cup]\nbotom = "70 mm"': ("cup.botom", "Did you mean bottom?"),
}


@pytest.mark.parametrize("table", BAD_TABLES)
def test_bad_tables_are_told_with_line_and_remedy(table):
    field, words = BAD_TABLES[table]
    with pytest.raises(InputError) as refusal:
        repair.loads(written(table), "mine.toml")
    told = str(refusal.value)
    assert re.match(rf"mine\.toml, line \d+, {re.escape(field)}: ", told) and words in told


@pytest.mark.parametrize("top", ["price = 3", "gun = [1]", 'forecast = "warm"', "cup = true"])
def test_a_table_that_is_none_is_told(top):
    with pytest.raises(InputError, match="table"):
        repair.loads(f"{top}\n{written()}")


# --- odd recipes -------------------------------------------------------------------------------------------

CARD = 'format = 2\ntitle = "Odd"\n[panel]\nshape = "{}"\ncell = "20 mm"\n'
SPRAY = '[[step]]\ndo = "clean"\n[[step]]\ndo = "hand sand"\npaper = "P320"\nstrokes = 20\n[[step]]\ndo = "clean"\n'


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(
    "steps",
    [
        '[[step]]\ndo = "clean"\n',
        '[[step]]\ndo = "wait"\ntime = "30 d"\n',
        SPRAY + '[[step]]\ndo = "spray"\nmaterial = "clear"\ncoats = 20\nflash = "0 s"\n',
        SPRAY + '[[step]]\ndo = "spray"\nmaterial = "surfacer"\n[[step]]\ndo = "wait"\ntime = "60 d"\n',
        SPRAY + '[[step]]\ndo = "spray"\nmaterial = "base"\nreduction = "90 %"\n' * 3,
        SPRAY + '[[step]]\ndo = "mask"\nopen = { x = "-1 m", y = "100 mm", width = "9 m", height = "9 m" }\n',
        SPRAY + '[[step]]\ndo = "polish"\ncompound = "medium"\ntime = "3 min"\n',
    ],
)
@pytest.mark.parametrize("shape", ["test card", "quarter panel", "bonnet", "bumper"])
def test_odd_recipes_have_a_sheet(shape, steps):
    try:
        recipe = repair.loads(CARD.format(shape) + steps)
    except InputError:
        pytest.skip("no recipe")
    for units in ("metric", "us"):
        page = repair.job_sheet(recipe, units)
        assert page.count("<tr>") == page.count("</tr>") and "nan" not in page.replace("nance", "")
        drawings(page)


COAT = '[[step]]\ndo = "spray"\nmaterial = "{}"\ncoats = {}\n'
TAPED = (
    '[[step]]\ndo = "mask"\nopen = {{ x = "50 mm", y = "50 mm", width = "100 mm", height = "100 mm" }}\nedge = "{}"\n'
)


@pytest.mark.parametrize(
    ("steps", "recoat", "raised"),
    [
        (COAT.format("surfacer", 1), False, False),
        (TAPED.format("flat") + COAT.format("surfacer", 1), False, False),
        (TAPED.format("raised") + COAT.format("surfacer", 1), False, True),
        (COAT.format("surfacer", 2) + COAT.format("surfacer", 1), True, False),
        (COAT.format("surfacer", 2) * 2, False, False),
        (COAT.format("surfacer", 2) + COAT.format("base", 1), False, False),
    ],
    ids=["one coat", "flat tape", "raised edge", "thin recoat", "built up again", "base over surfacer"],
)
def test_advice_stands_only_where_the_repair_has_what_it_is_about(steps, recoat, raised):
    sheet = repair.job_sheet(repair.loads(CARD.format("test card") + SPRAY + steps, "odd.toml"))
    assert ("Thin recoat:" in sheet, "Raised edge:" in sheet) == (recoat, raised)
    assert "Sheet over the whole car" in sheet and "square to the panel" in sheet


def test_the_demo_has_a_raised_edge_and_a_thin_recoat_and_its_hurried_twin_has_none(demo, impatient):
    ours, hurried = repair.job_sheet(demo), repair.job_sheet(impatient)
    assert "<li>Thin recoat:" in ours and "<li>Raised edge:" in ours
    assert "Thin recoat:" not in hurried and "Raised edge:" not in hurried


def test_what_a_painter_reads_of_discs_of_old_scratches_and_of_a_film_that_flashes_off():
    sheet = repair.job_sheet(repair.replay(repair.demo_path()))
    assert "machine soft pad, 150 mm across, 15 N" in sheet and "133 mm" not in sheet
    assert "discs for the machine" in sheet and "cut to the block" in sheet
    # P320 dulls the filler over the scratches of P180, which the surfacer fills.
    assert "scuff all over; the deeper scratches of P180 stay under it" in sheet
    # Filler soaks solvent up: it is vacuumed, and surfacer wiped.
    assert "nothing but the scratches of P80: vacuum the dust off" in sheet
    assert "nothing but the scratches of P320: wipe with solvent" in sheet
    assert "a fingernail does not catch on it" in sheet and "catches on it" not in sheet
    hurried = repair.job_sheet(repair.replay(repair.demo_path("impatient_repair")))
    assert "over about 0.1 mm: a fingernail catches on it; feather it first" in hurried
    # Only base waits to be sprayed over wet on dry; the other waits end at a paper, or at the finish.
    assert sheet.count("it is matt all over") == 1 and sheet.count("a fingernail leaves no mark") >= 4


@pytest.mark.parametrize(
    ("length", "metric", "us"),
    [
        (0.9502, "950 mm", "37 1/2 in"),
        (0.0754, "75 mm", "3 in"),
        (0.018, "18 mm", "11/16 in"),
        (0.0, "0 mm", "0 in"),
        (1.1, "1100 mm", "43 1/4 in"),
        (0.04, "40 mm", "1 5/8 in"),
    ],
)
def test_places_are_told_as_a_tape_measure_reads(length, metric, us):
    assert (ruled(length), ruled(length, "us")) == (metric, us)


def test_a_hood_is_called_so_in_the_united_states():
    assert (panel_words("bonnet"), panel_words("bonnet", "us")) == ("bonnet", "hood")
    best = repair.judging.tasks()[1].best()
    assert "A hood of steel" in repair.job_sheet(best, "us") and "A bonnet of steel" in repair.job_sheet(best)
    for sheet in (repair.job_sheet(best, "us"), repair.job_sheet(best)):
        assert "keep 0 " not in sheet and " 0 mm low" not in sheet and " 0 in low" not in sheet


def test_the_sheet_says_what_is_done_before_the_first_step_and_what_a_stroke_is():
    door, bonnet = (repair.job_sheet(task.best()) for task in judging.tasks()[:2])
    assert "Before step 1: straighten the sheet, bare the metal 15 mm around it" in door
    assert "straighten the sheet" not in bonnet and "A stroke goes one way" in door


def test_filler_is_mixed_in_lots_that_do_not_set_before_they_are_spread(demo):
    """The colder the hour the longer a lot lives; wall, clock and shopping have one number."""
    filled = next(entry for entry in demo if isinstance(entry, FillEntry))
    count = lots(Weather(demo.recipe), filled)
    share, life = rule("lots.filler").value, demo.recipe.materials["filler"]["pot_life"]
    assert (count - 1) * share * life < filled.used.time <= count * share * life and count > 1
    cold = replace(demo.recipe, garage={**demo.recipe.garage, "temperature": 283.15})
    assert lots(Weather(cold), filled) < count
    sheet = repair.job_sheet(demo)
    assert sheet.count(f"in {count} lots, one after the other") >= 2 and f"{count} lots; proud" in sheet


def test_the_car_is_covered_before_the_first_film_over_the_whole_panel(demo):
    first = first_open(demo)
    assert [demo[number - 1].step.material for number in sorted(first)] == ["base"]
    assert str(wall.pages(demo, "metric")).count(wall.COVER) == len(first)
