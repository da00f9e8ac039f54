"""Benches on base and clear, finishing and what went wrong, against figures worked out by hand."""

import pytest

from coursekit import lesson


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def test_savings_in_paint_and_in_the_learners_money():
    bench = lesson.bench("garage-saving").set(
        area="1 m²",
        dry_film="25 µm",
        coats="2",
        volume_solids="50 %",
        usual_lands="50 %",
        saving_lands="80 %",
        usual_left="40 mL",
        saving_left="15 mL",
    )
    # 2 × 25 µm × 1 m² / 50 % is 100 mL that must land: 200 mL + 40 mL against 125 mL + 15 mL
    found = bench.result
    assert found.usual.mixed == pytest.approx(240e-6) and found.saving.mixed == pytest.approx(140e-6)
    assert found.usual.lost == pytest.approx(140e-6) and found.saving.lost == pytest.approx(40e-6)
    assert found.usual.landed == pytest.approx(100e-6) == found.saving.landed
    assert found.money is None and "Enter the price" in bench.words
    # 100 mL of a can of 500 mL that costs 30
    bench.set(pack_size="500 mL", pack_price="30")
    assert bench.result.money.saved == pytest.approx(6.0)
    assert "6 saved" in bench.words


def test_a_saving_that_costs_more_says_so():
    bench = lesson.bench("garage-saving").set(saving_lands="40 %", pack_price="30")
    assert "more of it goes elsewhere" in bench.words and " more, " in bench.words


def test_clear_that_is_left():
    bench = lesson.bench("clear-budget").set(strokes="0", polished="3 µm", clear_film="50 µm")
    assert bench.result.gone == pytest.approx((3e-6, 3e-6, 3e-6))
    assert bench.result.verdicts == ("go", "go", "go")
    assert lesson.bench("clear-budget").set(strokes="0", clear_film="38 µm").result.verdicts[1] == "fail"  # 35 left
    assert lesson.bench("clear-budget").set(strokes="0", polished="8 µm").result.verdicts[1] == "warn"


def test_more_force_takes_off_as_much_more():
    one, two = (
        lesson.bench("clear-budget").set(strokes="100", polished="0 µm", force=force).result.gone.middle
        for force in ("10 N", "20 N")
    )
    assert two == pytest.approx(2 * one)


def test_computed_panel_loses_what_the_gauge_should_show():
    found = lesson.bench("gauge-before-after").set(strokes="200").result
    assert 0 < found.removed < found.clear
    assert 0 < found.peel_left < 1
    apart = [
        lesson.bench("gauge-before-after").set(strokes="0", polish_time="0 min", seed=str(n)).result
        for n in range(1, 9)
    ]
    assert all(one.removed == 0 for one in apart)
    assert len({one.before for one in apart}) == 8


def test_worst_ground_falls_coat_by_coat():
    found = lesson.bench("coats-to-hide").result
    assert all(a >= b for a, b in zip(found.usual.differences, found.usual.differences[1:], strict=False))
    assert found.strong.coats <= found.usual.coats <= found.thin.coats


@pytest.mark.parametrize(
    ("seen", "moved", "step"),
    [
        ("run, sag", {"gun_speed": "0.2 m/s"}, 6),
        ("run, sag", {"flash": "1 min"}, 6),
        ("craters", {"wipes": "1"}, 2),
        ("milky bloom", {"humidity": "90 %"}, 0),
        ("scratches showing", {"grade": "P120"}, 4),
        ("lifting, wrinkling", {"waited": "2 min"}, 6),
        ("stripes", {"pitch": "200 mm"}, 6),
    ],
)
def test_the_mistake_that_is_made_on_the_bench_is_found(seen, moved, step):
    bench = lesson.bench("what-went-wrong").set(seen=seen)
    assert step not in bench.result.found.steps
    bench.set(**moved)
    assert step in bench.result.found.steps and "points to it" in bench.words
    assert bench.words.count("just as possible") == 0 and bench.more_html.count("just as possible") == 1
