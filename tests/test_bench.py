"""Benches without a browser: controls moved in Python, words and pictures read, pixels of maps decoded."""

import ast
import base64
import io
import pkgutil
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from coursekit import figure, lesson, quantities
from coursekit.figure import Axis
from coursekit.lesson.content import benches
from coursekit.lesson.draw import charts, colour_maps
from coursekit.lesson.draw.picture import Bar, Bars, Chart
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Bench, at
from coursekit.lesson.workbench.view import BenchView
from coursekit.nomenclature import names
from coursekit.quantities import InputError
from tests import text_boxes
from tests.calls import refused
from tests.test_words import long

KEYS = [found.name.replace("_", "-") for found in pkgutil.iter_modules(benches.__path__)]


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def small(compute=lambda wet_film: {"dry": wet_film / 2}, say=None, draw=None, **changes):
    """A bench of a line, for the rules of benches."""
    declared = {
        "title": "Half",
        "controls": {"wet_film": at("120 µm")},
        "gives": {"dry": "dry_film"},
        "sources": ["mil-hdbk-1110"],
    }
    bench = Bench(compute, **{**declared, **changes})
    bench.says(say or (lambda now: f"{now.wet_film} gives {now.dry}."))
    bench.draws(draw or (lambda now: Chart(Axis("a", 0, 1), Axis("b", 0, 1), [])))
    return bench.fresh("small")


# --- every bench of the course: what moves, how it is told; the panel's figures are asked in the lessons' tests ---

# Controls that count only with another setting than the start: their labels say so.
COUNTS_WITH = {
    ("blend-beside-line", "stop_distance"): {"at_line": "stops short of it"},
    ("line-goes-first", "stop_distance"): {"at_line": "stops short of it"},
    ("garage-saving", "pack_size"): {"pack_price": "40"},
    ("mask-edge", "step_back"): {"coats": "2"},
    ("what-went-wrong", "wipes"): {"seen": "craters"},
    ("what-went-wrong", "humidity"): {"seen": "milky bloom"},
}
# A bell, which stands for a fan until it is measured, lays an even film at every overlap that is tried.
ONCE_MEASURED = {("find-setting", "worst_evenness")}
# At one end they say what they say at the start: a limit that holds nothing back, a time that is long enough.
ONE_WAY = {
    ("board-for-wave", "film"),
    ("find-setting", "most_wet_film"),
    ("find-setting", "most_coats"),
    ("what-went-wrong", "waited"),
    ("what-went-wrong", "flash"),
}


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("key", KEYS)
def test_every_bench_speaks_and_draws_at_both_ends_of_each_slider(key, system, monkeypatch, rough):
    unit_system.choose(system)
    spoken = set()  # rows of the nomenclature that the sentence was made with
    for module in (quantities, figure):
        for call in ("shown", "shown_band"):
            monkeypatch.setattr(module, call, noting(getattr(module, call), spoken))
    bench = lesson.bench(key)
    view = BenchView(bench)
    monkeypatch.setattr(view.settling, "soon", lambda: None)  # the hand stops when `settled` says so
    begun = settled(view)
    for control, slider in view.sliders.items():
        start, with_it = slider.value, COUNTS_WITH.get((key, control), {})
        assert bench.slider(control)[0] <= start <= bench.slider(control)[1], f"{control} starts off its slider"
        if with_it:
            bench.set(**with_it)
        told = set() if with_it else {begun}
        for value in (slider.min, slider.max):
            slider.value = value
            told.add(settled(view))
        acts = 2 if with_it or start in (slider.min, slider.max) else 3
        acts -= (key, control) in ONE_WAY
        assert len(told) >= acts or (key, control) in ONCE_MEASURED, f"{control} does nothing at one end or both"
        slider.value = start
        if with_it:
            bench.set(**{other: bench.controls[other].start for other in with_it})
    assert settled(view) == begun and not bench.error, "all are at their start again"
    units = {names()[name].unit(system) for name in spoken}
    plain = re.sub(r"\([^)]*\)", "", bench.words)  # "10 °C (18 °F)" may say both
    for foreign in {"µm", "mL", "°C"} if system == "us" else {"mil", "fl oz", "°F"}:
        assert foreign in units or not re.search(rf"\d {foreign}\b", plain), bench.words


def settled(view):
    """What is said and drawn once the hand stops: what a rough picture leaves to say has come."""
    bench = view.bench
    view.settling.now()
    if bench.press:
        view.run()
    if not bench.error:
        assert_sound(bench)
    return bench.words, bench.picture_html, bench.more_html


def noting(call, spoken):
    def noted(*args, **kwargs):
        spoken.update(arg for arg in args if isinstance(arg, str) and arg in names())
        return call(*args, **kwargs)

    return noted


def assert_sound(bench):
    markup = bench.html
    assert bench.now.words in bench.words and "{" not in bench.words
    assert not re.search(r"\bnan\b|\binf\b|\bNone\b(?! of)", bench.words), bench.words
    assert not long(bench.words), "a sentence of more than thirty words"
    assert "nan" not in re.sub(r"base64,[^\"]*", "", markup)
    assert not (bad := text_boxes.faults(markup)), bad
    ElementTree.fromstring("<all>" + re.sub(r"(<img[^>]*[^/])>", r"\1/>", markup) + "</all>")  # well formed


UNIT = r"(µm|mm|cm|m|nm|mil|in|ft|°C|°F|K|N|lbf|Pa|kPa|bar|psi|mL|L|fl oz|g|kg|lb|s|min|h|%|m²|m³|scfm|cfm|cSt)"
WRITTEN = re.compile(rf"\d[\d.]*[ \N{{NARROW NO-BREAK SPACE}}]?{UNIT}(?![\w{{-])")
# What is so called in both systems: the name of a hose as shops write it, the reducer of a ratio as sheets write it.
SO_CALLED = {"1/4 in", "5/16 in", "3/8 in", "1/2 in", "2:1 +10 %", "2 bar (30 psi)"}  # the last in both systems


def said_strings(path):
    """Every piece of text that a bench says, draws or has under its title: not what it reads, nor its docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    left_out = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in READING:
            starts = [word.value for word in node.keywords if word.arg == "start_us"]
            left_out.update(id(part) for argument in [*node.args, *starts] for part in ast.walk(argument))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            left_out.add(id(node.value))
        if isinstance(node, ast.FormattedValue) and node.format_spec:
            left_out.update(id(part) for part in ast.walk(node.format_spec))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in left_out:
            yield node.value


READING = {"at", "units", "figure", "shift", "InputError", "read", "loads", "protection_needed"}


@pytest.mark.parametrize("key", KEYS)
def test_no_unit_of_a_bench_is_written_by_hand(key):
    """It would be wrong in the other system: a number comes as a figure."""
    path = Path(benches.__path__[0]) / f"{key.replace('-', '_')}.py"
    for text in said_strings(path):
        for allowed in SO_CALLED:
            text = text.replace(allowed, "")
        assert "[[step]]" in text or not WRITTEN.search(text), text


@pytest.mark.parametrize("key", KEYS)
def test_no_bench_imports_another(key):
    text = (Path(benches.__path__[0]) / f"{key.replace('-', '_')}.py").read_text(encoding="utf-8")
    assert "content.benches" not in text, "what two share stands in content/shared"


@pytest.mark.parametrize("key", KEYS)
def test_every_choice_of_a_bench_acts(key, rough):
    bench = lesson.bench(key)
    for control, made in bench.controls.items():
        options = made.options or bench.rows[control].options
        if not options or bench.slider(control):
            continue
        said = {(bench.words, bench.picture_html)}
        for option in options[:3]:
            try:
                bench.set(**{control: option})
            except InputError:  # a choice that the trade refuses
                said.add(option)
            said.add((bench.words, bench.picture_html))
        assert len(said) > 1, f"{control} does nothing"
        bench.set(**{control: made.start})


@pytest.mark.parametrize("key", KEYS)
def test_every_bench_names_its_sources(key):
    bench = lesson.bench(key)
    assert bench.where_from and all(bench.where_from)
    assert bench.title and bench.rows


@pytest.mark.parametrize("key", KEYS)
def test_kept_setting_stands_beside_the_new_one(key, rough):
    bench = lesson.bench(key)
    before = bench.now.words
    bench.pin_setting()
    BenchView(bench)
    assert before in bench.pinned_words and bench.html.count("ck-kept") == 1
    bench.unpin_setting()
    assert bench.pinned_words == ""


# --- the film bench, checked by hand ---


def test_film_bench_says_what_was_worked_out_by_hand():
    bench = lesson.bench("film")
    assert "120 µm wet leaves 54 µm dry" in bench.words
    assert "55\N{NARROW NO-BREAK SPACE}% of the wet film" in bench.words
    bench.set(wet_film="4 mil", volume_solids="50 %", reduction="25 %")
    # 101.6 µm × 0.5 / 1.25 = 40.64 µm; the comb's teeth around it are 100 and 125 µm: 40 to 50 µm
    assert bench.result.dry == pytest.approx(40.64e-6)
    assert "40 to 50 µm dry" in bench.words
    unit_system.choose("us")
    assert "4 mil wet leaves 1.6 mil dry" in bench.words
    assert 'aria-label="4 mil wet' in bench.html


def test_mix_bench_refuses_per_cent_and_keeps_the_last_picture():
    bench = lesson.bench("mix")
    before = bench.now.words
    with refused("form", "ratio"):
        bench.set(ratio="20 %")
    assert bench.now.words == before and 'role="alert"' in bench.html and "ck-stale" in bench.html
    bench.set(ratio="2:1 +10 %")
    assert bench.error == "" and 'role="alert"' not in bench.html
    # 300 mL of 2:1 +10 %: 3.3 parts, paint 181.8 mL, hardener 90.9 mL; 1.40 and 1.05 kg/L
    assert bench.result.running_weights[1] == pytest.approx(0.1818 * 1.40 + 0.0909 * 1.05, rel=1e-3)


def test_measurement_narrows_the_band_of_a_bench():
    bench = lesson.bench("paint-needed")
    wide = bench.result.needed
    measurement_form.enter(
        "transfer",
        {"foil_before": "12.00", "foil_after": "24.00", "gun_before": "900", "gun_after": "850", "mass_solids": "40"},
    )
    bench.compute_again()
    narrow = bench.result.needed
    # 12 g landed of 50 g × 40 % = 20 g sprayed: 60 %; 1.2 m² × 50 µm × 2 / 40 % / 60 % = 500 mL
    assert narrow.middle == pytest.approx(500e-6, rel=0.01)
    assert narrow.high - narrow.low < 0.7 * (wide.high - wide.low)
    assert "measured by you" in " ".join(bench.where_from)


# --- the rules of benches ---


def test_a_name_that_means_something_else_is_refused_when_it_is_declared():
    with pytest.raises(ValueError, match="words of `now` means something else"):
        small(gives={"words": "dry_film"})
    with pytest.raises(ValueError, match="no row 'dry_films'"):
        small(gives={"dry": "dry_films"})
    with pytest.raises(ValueError, match="is a control"):
        assert small(lambda wet_film: {"wet_film": wet_film}).words
    with pytest.raises(AttributeError, match="no control and no result 'wett'"):
        assert small(say=lambda now: f"{now.wett}").words


def test_what_is_kept_is_drawn_with_the_present_one_and_only_once():
    drawn = []

    def draw(now):
        drawn.append(now.wet_film.si)
        return Bars(now.dry.axis(1e-3), [Bar("dry", now.dry, pinned="dry, pinned")])

    bench = small(draw=draw)
    bench.pin_setting()
    bench.set(wet_film="200 µm")
    assert "dry: 100 µm" in bench.html and "dry, pinned: 60 µm" in bench.html
    bench.set(wet_film="300 µm")
    assert bench.words and bench.html
    assert drawn == pytest.approx([120e-6, 200e-6, 300e-6]), "the pinned one is drawn no second time"
    bench.unpin_setting()
    assert "pinned" not in bench.html


def test_a_fan_that_was_measured_gives_the_limit_of_unevenness_its_say():
    """A bell is even at every overlap from one half up; a flat fan is not."""
    measurement_form.enter(
        "pattern", {"width": "250", "gun_distance": "200", "middle_film": "20, 20, 20", "quarter_film": "19, 19, 19"}
    )
    bench = lesson.bench("find-setting")
    strict, easy = (bench.set(worst_evenness=share).words for share in ("1 %", "30 %"))
    assert strict != easy


def test_set_reads_units_and_refuses_in_words():
    bench = small()
    assert bench.set(wet_film="4 mil").values["wet_film"] == pytest.approx(101.6e-6)
    for bad in ("4", 4.0, "1 kg", "9 m", None, "", object()):
        with refused(None, "wet_film"):
            bench.set(wet_film=bad)
    with pytest.raises(InputError, match="It has: wet_film"):
        bench.set(dry_film="1 µm")


def test_computed_once_a_move():
    calls = []
    bench = small(lambda wet_film: calls.append(wet_film) or {"dry": wet_film / 2})
    view = BenchView(bench)
    calls.clear()
    view.sliders["wet_film"].value = 150
    assert len(calls) == 1 and calls[0] == pytest.approx(150e-6)
    bench.words, bench.html, bench.pin_setting(), bench.html
    assert len(calls) == 1


def test_slider_field_and_picture_follow_one_another():
    bench = small()
    view = BenchView(bench)
    picture = view.picture.value
    view.sliders["wet_film"].value = 200
    assert view.fields["wet_film"].value == "200 µm" and view.picture.value != picture
    view.fields["wet_film"].value = "5 mil"
    assert bench.values["wet_film"] == pytest.approx(127e-6) and view.sliders["wet_film"].value == pytest.approx(127)
    view.fields["wet_film"].value = "80"
    assert bench.values["wet_film"] == pytest.approx(80e-6), "a bare number is in the unit that is shown"
    view.fields["wet_film"].value = "1 mm"
    assert bench.values["wet_film"] == pytest.approx(1e-3), "exact entry reaches beyond the slider"
    view.fields["wet_film"].value = "a lot"
    assert "does not begin with a number" in view.said.value and bench.values["wet_film"] == pytest.approx(1e-3)
    view.sliders["wet_film"].value = 100
    assert bench.error == "" and "does not begin" not in view.said.value


def test_exact_entry_is_not_rounded_to_a_step_by_the_browser():
    bench = small()
    view = BenchView(bench)
    view.fields["wet_film"].value = "4 mil"
    view.sliders["wet_film"].value = 100  # what a browser sends back after 101.6, its steps being 5
    assert bench.values["wet_film"] == pytest.approx(101.6e-6)
    view.sliders["wet_film"].value = 105
    assert bench.values["wet_film"] == pytest.approx(105e-6)
    view.fields["wet_film"].value = "1 mm"
    view.sliders["wet_film"].value = 300
    assert bench.values["wet_film"] == pytest.approx(1e-3)


def test_us_view_has_its_own_sliders_and_shows_the_same_setting():
    bench = small().set(wet_film="100 µm")
    view = BenchView(bench)
    unit_system.choose("us")
    slider = view.sliders["wet_film"]
    assert (slider.min, slider.max, slider.step) == (0.5, 12, 0.25)
    assert bench.values["wet_film"] == pytest.approx(100e-6) and view.fields["wet_film"].value == "3.937 mil"
    assert "wet film (mil)" in view.controls.children[0].children[0].value
    slider.value = 4.5
    assert bench.values["wet_film"] == pytest.approx(4.5 * 25.4e-6)


def test_a_fault_of_the_course_is_shown_and_raised():
    def broken(wet_film):
        if wet_film > 200e-6:
            raise ZeroDivisionError("no room")
        return {"dry": wet_film}

    bench = small(broken)
    view = BenchView(bench)
    with pytest.raises(ZeroDivisionError):
        view.sliders["wet_film"].value = 250
    assert "the fault is the course" in view.said.value and "ck-stale" in view.picture.value
    view.sliders["wet_film"].value = 100
    assert bench.error == ""


def test_range_of_a_formula_is_told_in_the_unit_shown():
    from coursekit.quantities import in_range

    def bounded(wet_film):
        in_range("wet_film", wet_film, 0, 254e-6)
        return {"dry": wet_film}

    unit_system.choose("us")
    bench = small(bounded)
    BenchView(bench).sliders["wet_film"].value = 11
    assert "11 mil is above" in bench.error and "0 to 10 mil" in bench.error


def test_an_error_names_the_control_by_its_words():
    view = BenchView(small())
    view.fields["wet_film"].value = "nan"
    assert view.bench.error.startswith('“wet film”: "nan" does not begin') and "wet_film" not in view.said.value
    view.fields["wet_film"].value = "-5"
    assert view.bench.error.startswith("“wet film”: -5 µm is below")


def test_a_share_without_its_sign_is_asked_for_not_guessed():
    bench = small(
        lambda volume_solids: {"dry": volume_solids * 1e-6},
        lambda now: f"{now.volume_solids}",
        controls={"volume_solids": at("45 %")},
    )
    view = BenchView(bench)
    view.fields["volume_solids"].value = "0.4"
    assert '"0.4" could mean 0.4 % or 40 %' in bench.error and "volume solids" in bench.error
    view.fields["volume_solids"].value = "40"
    assert bench.error == "" and bench.values["volume_solids"] == pytest.approx(0.4)
    assert bench.set(volume_solids="0.5").values["volume_solids"] == pytest.approx(0.5), "in a call there is no doubt"


def test_slow_picture_is_marked_as_old_until_the_new_one_is_there():
    seen, views = [], []

    def compute(wet_film):
        seen.extend("ck-old" in view.picture._dom_classes for view in views)
        return {"dry": wet_film}

    bench = small(compute)
    view = BenchView(bench)
    views.append(view)
    bench.seconds = 1.0
    view.sliders["wet_film"].value = 130
    assert seen[-1] is True and "ck-old" not in view.picture._dom_classes
    bench.seconds = 0.001
    view.sliders["wet_film"].value = 140
    assert seen[-1] is False


def test_plain_text_is_the_sentence_and_html_is_escaped():
    bench = small(say=lambda now: "a <b> & c", title="<script>alert(1)</script>")
    bundle = bench._repr_mimebundle_()
    assert bundle["text/plain"].endswith("a <b> & c")
    assert "application/vnd.jupyter.widget-view+json" in bundle
    assert "<script>" not in bundle["text/html"] and "a &lt;b&gt; &amp; c" in bundle["text/html"]
    assert 'aria-label="a &lt;b&gt; &amp; c"' in bundle["text/html"]
    assert small().set(wet_film="100 µm").error == ""
    typed = lesson.bench("mix")
    with pytest.raises(InputError):
        typed.set(ratio="<img src=x onerror=alert(1)>")
    assert "<img" not in typed.html and "&lt;img" in typed.html


def test_choices_and_text_have_their_own_controls():
    controls = {"comb": at("metric"), "ratio": at("4:1:1"), "wet_film": at("50 µm", label="film")}
    bench = small(
        lambda comb, ratio, wet_film: {"both": f"{comb} {ratio}"}, lambda now: now.both, controls=controls, gives={}
    )
    view = BenchView(bench)
    view.fields["comb"].value = "us"
    view.fields["ratio"].value = "2:1"
    assert bench.words == "us 2:1" and list(view.sliders) == ["wet_film"]
    assert bench.label("wet_film", unit=True) == "film (µm)"
    with pytest.raises(InputError, match="Choose from"):
        bench.set(comb="inches")


def test_buttons_work_without_a_browser():
    bench = small()
    view = BenchView(bench)
    view.sliders["wet_film"].value = 200
    keep, drop, start = view.buttons.children
    keep.click()
    assert "Pinned: the same." in view.pinned.value
    start.click()
    assert bench.values["wet_film"] == pytest.approx(120e-6) and "Pinned: wet film 200 µm." in view.pinned.value
    drop.click()
    assert "Pinned" not in view.pinned.value


def test_a_list_that_is_typed_has_the_width_of_its_column():
    fields = BenchView(lesson.bench("papers-in-order")).fields
    assert "ck-list" in fields["grades"]._dom_classes and "ck-list" not in fields["force"]._dom_classes
    assert ".widget-text.ck-list { width: 100% !important;" in page.style()


def test_two_displays_of_a_bench_do_not_share_a_setting():
    one, other = lesson.bench("film"), lesson.bench("film")
    one.set(wet_film="200 µm")
    assert other.values["wet_film"] == pytest.approx(120e-6)


# --- pictures ---


def test_map_pixels_are_the_colours_of_the_numbers():
    values = np.array([[0.0, 1.0], [0.5, np.nan]])
    image = Image.open(io.BytesIO(colour_maps.map_png(values, 0, 1)))
    assert image.mode == "P" and image.size == (2, 2)
    pixels = np.array(image.convert("RGBA"))
    table = colour_maps.colours("cividis")
    assert tuple(pixels[1, 0][:3]) == tuple(table[0]), "row 0 lies at the bottom"
    assert tuple(pixels[1, 1][:3]) == tuple(table[254])
    assert tuple(pixels[0, 0][:3]) == tuple(table[127])
    assert pixels[0, 1][3] == 0, "what is not there is see-through"
    clipped = np.array(Image.open(io.BytesIO(colour_maps.map_png(np.array([[-9.0, 9.0]]), 0, 1))).convert("RGB"))
    assert tuple(clipped[0, 0]) == tuple(table[0]) and tuple(clipped[0, 1]) == tuple(table[254])


def test_map_stands_in_an_img_with_words_and_axes():
    markup = colour_maps.map_picture(
        np.eye(4), Axis("along (m)", 0, 1), Axis("up (m)", 0, 1), Axis("film (µm)", 0, 60), alt='60 µm & "more"'
    )
    assert 'alt="60 µm &amp; &#34;more&#34;"' in markup and ">film (µm)<" in markup
    data = base64.b64decode(re.search(r"base64,([^\"]+)", markup)[1])
    assert Image.open(io.BytesIO(data)).size == (4, 4)


def test_ticks_are_round_and_inside():
    for low, high in ((0, 300), (0.2, 11.8), (-5, 5), (283, 311), (0, 1e-6), (0, 7e9)):
        found = charts.ticks(low, high)
        assert 3 <= len(found) <= 12 and all(low - 1e-9 * high <= t <= high * (1 + 1e-9) for t in found)
    assert charts.ticks(1, 1) == [1] and charts.ticks(0, float("inf")) == [0]


def test_a_curve_that_leaves_its_chart_is_cut_not_bent_along_the_edge():
    drawn = charts.chart(Axis("x", 0, 1), Axis("y", 0, 1), [charts.Line([0, 0.5, 1], [0, 1.5, 3])])
    x, y = zip(*(point.split(",") for point in re.search(r'points="([^"]+)"', drawn)[1].split()), strict=True)
    rises = np.diff(np.array(y, dtype=float)) / np.diff(np.array(x, dtype=float))
    assert rises[0] == pytest.approx(rises[1], rel=0.01), "one straight line as far as it runs"
    [cut] = [one for one in ElementTree.fromstring(drawn) if one.tag == "svg"]
    assert "overflow:hidden" in cut.get("style") and len(cut) == 1, "the curve alone is cut at the edge"
    assert min(map(float, y)) < float(cut.get("y")), "it runs out over the upper edge"


def test_drawings_are_well_formed_and_readable():
    axis = Axis("a & b", 0, 10)
    across = np.array([0.0, 5.0])
    parts = [
        charts.Line(across, [1, np.nan], "x < y", "dashed"),
        charts.Shade(across, (across, across + 1), "band"),
        charts.Span(2, 4, "asked for"),
        charts.Mark(3, 3, "now", low=2, high=4),
        charts.Mark(3, 3, "pinned", pinned=True),
    ]
    made = [
        charts.chart(axis, axis, parts),
        charts.bars("mL", [charts.Bar("one", 5, "5 mL", "cross", 4, 6), charts.Bar("none", 0)]),
        charts.shares([("whole", [charts.Slice("a", 3, "30 %", "dots"), charts.Slice("b", 7, "70 %")])]),
        charts.layers(axis, [("wet", [charts.Slice("solids", 4, "4 µm", "slant"), charts.Slice("x", 0.01)])]),
    ]
    for markup in made:
        ElementTree.fromstring(markup)
        assert "nan" not in markup and "currentColor" in markup and f'font-size="{charts.TEXT}"' in markup
        assert not re.search(r"#[0-9a-f]{6}|rgb\(", markup), "no colour of its own: it must follow the theme"


@pytest.mark.parametrize("key", KEYS)
def test_starts_stand_on_a_step_of_the_slider_in_us_units(key):
    unit_system.choose("us")
    try:
        bench = lesson.bench(key)
        for control, value in bench.starts.items():
            row, ends = bench.rows[control], bench.slider(control)
            said = bench.controls[control]
            if ends is None or row.us in ("", row.metric) or said.outfit or said.measured:
                continue
            low, high, step = ends
            begun = quantities.in_unit(value, row.key, "us")
            steps = (begun - low) / step
            assert abs(steps - round(steps)) < 1e-6, f"{control}: {said.start} begins between two steps"
            assert low - 1e-9 <= begun <= high + 1e-9, f"{control}: {said.start} begins off its slider"
            written = quantities.in_unit(quantities.read(said.start, row.key), row.key, "us")
            room = 0.05 * written if said.start_us else step / 2  # a rounder one is still nearly the same setting
            assert abs(begun - written) <= room + 1e-9, f"{control}: {said.start} begins at another setting"
    finally:
        unit_system.choose("metric")


def test_a_start_that_is_round_in_us_units_stands_there_until_somebody_moves_it():
    unit_system.choose("us")
    bench = lesson.bench("air-supply")
    assert "30 psi at the wall" in bench.words and bench.values["from_pressure"] == pytest.approx(120 * 6894.757)
    unit_system.choose("metric")
    assert lesson.bench("air-supply").values["from_pressure"] == pytest.approx(8e5)
