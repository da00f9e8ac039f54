"""The benches of scratch and overspray: figures worked out by hand, the learner's own measurements, refusals."""

import pytest

from coursekit import lesson
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.quantities import InputError
from tests.calls import refused


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def width(band):
    return band.high / band.low


def test_paper_without_its_scale_is_refused_with_what_it_could_mean():
    bench = lesson.bench("paper")
    before = bench.now.words
    with pytest.raises(InputError, match="CAMI 320"):
        bench.set(grade="320")
    assert bench.now.words == before and "names no scale" in bench.words
    bench.set(grade="CAMI 320")
    # 36 µm lies between P360 (40.5) and P400 (35.0)
    assert "P400 comes nearest" in bench.words and bench.error == ""


def test_scratch_by_hand():
    bench = lesson.bench("scratch")
    # 20 N ÷ 8750 mm² = 2286 Pa: 0.244 spreads deep × 0.44 × 0.6 × 46.2 µm; the deepest 66.8/46.2 times that
    assert bench.result.pressure == pytest.approx(2286, rel=1e-3)
    assert bench.result.depth.mean.middle == pytest.approx(2.98e-6, rel=0.02)
    assert bench.result.depth.deepest.middle == pytest.approx(4.31e-6, rel=0.02)
    assert 3.8 < width(bench.result.depth.deepest) < 4.5, "a factor of two either way, and the hardness"
    once = bench.result.depth.deepest.middle
    bench.set(force="40 N")
    assert 1 < bench.result.depth.deepest.middle / once < 1.1, "more grains bear"
    with refused("range", "force"):
        bench.set(force="0.5 N")


def test_kitchen_scale_narrows_the_hand_and_is_where_the_slider_starts():
    bench = lesson.bench("scratch")
    wide = width(bench.result.by_hand)
    assert "Nobody knows your hand yet" in bench.words
    measurement_form.enter("force", {"scale": "2.50 kg, 2.55 kg, 2.45 kg"})
    bench.compute_again()
    assert width(bench.result.by_hand) < 1.02 * wide and "what your hand pressed" in bench.words
    bench.restart()
    assert bench.values["force"] == pytest.approx(2.5 * 9.80665, rel=5e-3)  # weighed with what hands usually do
    assert lesson.bench("sand-out").values["force"] == bench.values["force"]


def test_gauge_strokes_gauge_narrows_the_strokes():
    bench = lesson.bench("sand-out")
    wide = bench.result
    measurement_form.enter(
        "removal",
        {
            "film_before": "86",
            "film_after": "79",
            "strokes": "50",
            "grade": "P320",
            "hardness": "surfacer",
            "block": "70 x 125 mm",
            "force": "20",
        },
    )
    bench.compute_again()
    # 7 µm in 50 strokes; the deepest scratch of P180 is 7.41 µm in the middle: 52.9 strokes, weighed with the table's
    assert bench.result.strokes.least.middle == pytest.approx(52.9, rel=0.08)
    # The usual band is narrow since what is in print stands in it: a gauge of one's own takes a seventh off.
    assert width(bench.result.strokes.least) < 0.9 * width(wide.strokes.least)
    assert "measured by you" in bench.words
    in_order = lesson.bench("papers-in-order").set(grades="P180, P320")
    assert in_order.result.cost.strokes.middle == pytest.approx(52.9, rel=0.08)


def test_film_too_thin_is_told():
    bench = lesson.bench("sand-out").set(film="2 µm")
    assert "goes through before" in bench.words


def test_papers_are_judged_in_the_units_that_are_shown():
    bench = lesson.bench("papers-in-order").set(grades="P80, P600, coat, P320, P180")
    assert "P600 – no" in bench.words and "P180 – doubtful" in bench.words
    unit_system.choose("us")
    assert " mil" in bench.words and "µm" not in bench.words
    with refused("form", "grades"):
        bench.set(grades="P180, P320, 600")
    with refused("value", "grades"):
        bench.set(grades=", ".join(["P180"] * 10))


def test_account_closes_and_counts_once():
    bench = lesson.bench("overspray").set(mixed_volume="400 mL", left_in_cup="50 mL", masked_share="100 %")
    middle = bench.result.middle
    # 400 mL at 40 %: 160 mL of solids, 240 mL of solvent; 50 + 4 + 5 mL stay behind; 62 % of 341 mL lands
    assert sum(middle.solids[1:]) == pytest.approx(160e-6) == middle.solids.mixed
    assert sum(middle.solvent[1:]) == pytest.approx(240e-6) == middle.solvent.mixed
    assert middle.solids.landed == pytest.approx(341e-6 * 0.4 * 0.62)
    assert middle.solids.past_edge == pytest.approx(0)
    assert middle.paint_lost == pytest.approx(400e-6 - 341e-6 * 0.62)


def test_weighed_card_narrows_the_account_and_leaves_the_levers():
    account, levers, film = (lesson.bench(key) for key in ("overspray", "levers", "coat-film"))
    wide, first, thick = account.result.bands.shares.landed, next(iter(levers.result.moved.items())), film.result.film
    assert first[0] == "transfer_efficiency"
    measurement_form.enter(
        "transfer",
        {"foil_before": "12.00", "foil_after": "24.00", "gun_before": "900", "gun_after": "850", "mass_solids": "40"},
    )
    measurement_form.enter("delivery", {"paint": "35, 36, 34", "time": "15"})
    for bench in (account, levers, film):
        bench.compute_again()
    narrow = account.result.bands.shares.landed
    assert narrow.high - narrow.low < 0.6 * (wide.high - wide.low)
    mine = levers.result.moved["transfer_efficiency"]
    assert mine.high - mine.low < 0.6 * (first[1].high - first[1].low)
    # 140 mL/min × 60 % × 40 % ÷ (0.4 m/s × 100 mm) = 14 µm
    assert film.result.film.middle == pytest.approx(14e-6, rel=0.02) and width(film.result.film) < 0.5 * width(thick)
    assert lesson.bench("solids-and-liquid").values["transfer_efficiency"] == pytest.approx(0.6, rel=0.01)


def test_liquid_by_hand():
    bench = lesson.bench("solids-and-liquid").set(transfer_efficiency="60 %")
    # 60 % × (40 + 60 × 0.75) %
    assert bench.result.liquid.middle == pytest.approx(0.51, abs=0.002)
    bench.set(volume_solids="100 %")
    assert bench.result.liquid.low == bench.result.liquid.high == pytest.approx(0.6)


def test_without_solvent_liquid_lands_like_solids():
    bench = lesson.bench("solids-and-liquid")
    assert "solvent leaves" in bench.words
    bench.set(volume_solids="100 %")
    assert "holds no solvent" in bench.words and "leaves" not in bench.words
