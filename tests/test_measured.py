"""The garage file: what a measurement says, that it narrows bands, and that the file cannot be spoiled."""

import inspect
import os

import pytest

from coursekit import film, measured, spraying
from coursekit.belief import band
from coursekit.measurements import ways
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError, RangeError
from coursekit.showing import coefficient_words
from coursekit.sources import coefficient, coefficients, sources
from coursekit.unit_grammar import NUMBER, unit_of
from tests.calls import refused
from tests.spelling import spelled


@pytest.fixture
def mine(tmp_path):
    return measured.load(tmp_path / "garage.toml")


DELIVERY = {"paint": "38 mL", "time": "15 s"}
TRANSFER = {
    "foil_before": "20.1 g",
    "foil_after": "25 g",
    "gun_before": "900 g",
    "gun_after": "882 g",
    "mass_solids": "50 %",
}


@pytest.mark.parametrize("way", ways().values(), ids=lambda w: w.key)
def test_a_way_is_complete(way):
    assert list(inspect.signature(way.compute).parameters) == list(way.fields), "function and table name other fields"
    assert way.source in sources() and way.steps and way.measures and way.minutes <= 10
    assert set(way.gives) <= set(coefficients())
    for field in way.fields.values():
        row = names()[field.name]
        if field.error:
            match = NUMBER.match(field.error)
            unit = unit_of(match[2].strip())
            assert match[2].strip() == "%" or unit.dimension == unit_of(KINDS[row.kind].si).dimension, field
        assert not field.default or field.default in coefficients()
    assert way.title in way.how() and way.fields.keys() <= set(way.how("us").replace(":", " ").split())


@pytest.mark.parametrize(
    ("way", "fields", "key", "unit", "expected"),
    [
        ("delivery", DELIVERY, "fluid_delivery", "mL/min", 152),  # 4 × 38
        (
            "delivery_by_weight",
            {"gun_before": "900 g", "gun_after": "850 g", "density": "1.25 kg/L", "time": "15 s"},
            "fluid_delivery",
            "mL/min",
            160,
        ),  # 50 g / 1.25 g/mL × 4
        ("transfer", TRANSFER, "transfer_efficiency", "", 4.9 / 9),
        ("force", {"scale": "2 kg"}, "hand_force", "N", 19.6133),
        # removed · H / (size effect · strokes · F / block's width), by hand
        (
            "removal",
            {
                "film_before": "100 µm",
                "film_after": "94 µm",
                "strokes": 50,
                "grade": "P320",
                "block": "70 x 125 mm",
                "hardness": "150 MPa",
                "force": "20 N",
            },
            "wear_coefficient",
            "",
            6e-6 * 150e6 / (0.462**0.6 * 50 * 20 / 0.07),
        ),
        ("pattern", {"width": "250 mm", "gun_distance": "180 mm"}, "open_fan", "mm", 250 / 0.9),
        # 8 mm over 2.5631 · 5 mm · (200 mm / 4 / 175 mm)
        (
            "ramp",
            {"ramp_width": "8 mm", "lip_height": "5 mm", "fan_extent": "200 mm", "gun_distance": "175 mm"},
            "width_factor",
            "",
            8 / (2.5631031 * 5 * 50 / 175),
        ),
        ("comb", {"wetted_tooth": "25 µm", "dry_tooth": "50 µm"}, "pass_film", "µm", 37.5),
        (
            "receiver",
            {"receiver_volume": "50 L", "from_pressure": "4 bar", "to_pressure": "6 bar", "time": "40 s"},
            "compressor_delivery",
            "L/min",
            50 * 2e5 / 101325 / 40 * 60,
        ),
    ],
)
def test_what_it_says(mine, way, fields, key, unit, expected):
    said = mine.enter(way, **fields)
    value = mine.coefficient(key)
    read = mine.entries[-1].estimates[key].value / unit_of(unit).factor
    assert read == pytest.approx(expected, rel=1e-6)
    # What is usual still counts a little beside the reading.
    usual, got = float(coefficient(key)), said.after[key].middle.m_as(unit_of(unit).pint_name or "dimensionless")
    ends = sorted([read, usual / unit_of(unit).factor])
    assert ends[0] * (1 - 3e-3) <= got <= ends[1] * (1 + 3e-3) and abs(got / read - 1) < 0.1
    assert value.low < read * unit_of(unit).factor < value.high
    assert value.kind == "measured by you" and value.low < value < value.high
    assert value.high / value.low < coefficient(key).high / coefficient(key).low
    assert "narrower" in said.sentence and said.contradiction == ""
    assert "measured by you" in coefficient_words(value, "us")


def test_left_out_fields(mine):
    card = {"width": "250 mm", "gun_distance": "200 mm"}
    assert list(mine.enter("pattern", **card).after) == ["open_fan"]
    mine.enter("pattern", **card, middle_film="20 µm", quarter_film="15 µm")
    assert mine.entries[-1].estimates["fan_shape"].value == pytest.approx(2)  # a parabola has 0.75 there
    with refused("together", "middle_film"):
        mine.enter("pattern", **card, middle_film="20 µm")
    sanded = {
        "film_before": "100 µm",
        "film_after": "90 µm",
        "strokes": 80,
        "grade": "P320",
        "block": "70 x 125 mm",
        "hardness": "surfacer",
    }
    mine.enter("removal", **sanded)
    wide = mine.coefficient("wear_coefficient")  # the hand's usual band went into it
    mine.enter("force", scale=["2 kg"] * 5)
    mine.enter("removal", **sanded)
    assert mine.coefficient("wear_coefficient").high / mine.coefficient("wear_coefficient") < wide.high / wide


def test_a_fact_is_kept(mine):
    assert mine.reading("gauge", "air_gauge") is None
    said = mine.enter("gauge", air_gauge="Inlet")
    assert said.after == {} and "inlet" in said.sentence
    assert measured.load(mine.path).reading("gauge", "air_gauge") == "inlet"
    with pytest.raises(InputError, match="Choose from: inlet, cap"):
        mine.enter("gauge", air_gauge="hose")


def test_both_gauges_give_the_passages(mine):
    said = mine.enter("gauge", air_gauge="cap", gun_inlet_pressure="2 bar", cap_pressure="10 psi")
    assert said.after["passage_ratio"].middle.magnitude == pytest.approx(0.561, rel=0.01)
    assert mine.using(spraying.pressure_at_cap).keys() == {"passage_ratio"}
    with refused("together", "cap_pressure"):
        mine.enter("gauge", air_gauge="cap", cap_pressure="10 psi")


GUN = {
    "time": "15 s",
    "tip_bore": "1.4 mm",
    "kinematic_viscosity": "55 mm²/s",
    "density": "1 kg/L",
    "cap_pressure": "8 psi",
}
DELIVERED = {"tip_bore": "1.4 mm", "kinematic_viscosity": "55 mm²/s", "cap_pressure": "8 psi"}


def test_turns_narrow_the_delivery_of_the_gun(mine):
    truth = [spraying.fluid_delivery(n, **DELIVERED).m_as("mL/min") for n in (1, 2, 3)]
    cups = dict(zip(("one_turn", "two_turns", "three_turns"), [f"{q / 4:.1f} mL" for q in truth], strict=True))
    wide = band(spraying.fluid_delivery, 2, **DELIVERED)
    said = mine.enter("turns", **cups, **GUN)
    assert said.contradiction == "" and "before" in said.sentence
    again = measured.load(mine.path)
    narrow = band(spraying.fluid_delivery, 2, **DELIVERED, **again.using(spraying.fluid_delivery))
    assert narrow.high / narrow.low < 0.6 * wide.high / wide.low
    assert narrow.middle.m_as("mL/min") == pytest.approx(truth[1], rel=0.1)


def test_turns_that_fit_no_gun_are_told_and_kept_apart(mine):
    said = mine.enter("turns", one_turn="60 mL", two_turns="40 mL", three_turns="20 mL", **GUN)
    assert "more turns gave less" in said.contradiction and said.after == {}
    assert mine.using(spraying.fluid_delivery) == {}
    assert measured.load(mine.path).entries[0].contradiction == said.contradiction
    with refused("missing", "cap_pressure"):
        mine.enter("turns", one_turn="2 mL", two_turns="3 mL", three_turns="4 mL", **GUN, gun_inlet_pressure="2 bar")


def test_comb_is_as_sure_as_its_teeth(mine):
    said = mine.enter("comb", wetted_tooth="1 mil", dry_tooth="2 mil")
    band_ = said.after["pass_film"]
    assert 1 < band_.low.m_as("thou") < 1.2 and 1.8 < band_.high.m_as("thou") < 2
    assert "measured by you" in coefficient_words(mine.coefficient("pass_film"), "us")


def test_repeats_narrow_when_they_agree_and_widen_when_they_do_not(mine):
    def width(paint):
        mine.enter("delivery", paint=paint, time="15 s")
        value = mine.coefficient("fluid_delivery")
        return value.high / value.low

    once = width("38 mL")
    assert width(["38 mL", "38.5 mL", "37.5 mL"]) < once < width(["25 mL", "38 mL", "51 mL"])


def test_it_replaces_defaults_and_narrows_a_result(mine):
    asked = {"area": "1 m²", "dry_film": "50 µm", "volume_solids": "45 %"}
    wide = band(film.paint_needed, **asked, transfer_efficiency=mine.coefficient("transfer_efficiency"))
    mine.enter("transfer", **TRANSFER)
    assert list(mine.using(film.paint_needed)) == ["transfer_efficiency"] and mine.using(film.dry_film) == {}
    narrow = band(film.paint_needed, **asked, **mine.using(film.paint_needed))
    assert narrow.high - narrow.low < wide.high - wide.low
    assert narrow.middle.m_as("mL") == pytest.approx(1e3 * 50e-3 / 0.45 / (4.9 / 9), rel=0.03)


def test_a_contradiction_is_told_and_the_measurement_kept(mine):
    said = mine.enter("delivery", paint="138 mL", time="15 s")
    assert "outside the 60 to 300 mL/min" in said.contradiction
    assert mine.coefficient("fluid_delivery") * 6e7 == pytest.approx(552, rel=0.01)
    again = mine.enter("delivery", **DELIVERY)
    assert "does not agree with what you measured before" in again.contradiction
    assert mine.coefficient("fluid_delivery") * 6e7 == pytest.approx(152, rel=0.01)


def test_file_is_read_back_and_keeps_what_the_learner_wrote(mine):
    mine.enter("delivery", **DELIVERY)
    mine.path.write_text(mine.path.read_text() + "# the small gun\n")
    mine.enter("force", scale=["1.9 kg", "2.1 kg"])
    text = mine.path.read_text()
    assert "# the small gun" in text and text.startswith("# What you measured") and "format = 1" in text
    back = measured.load(mine.path)
    assert back.coefficients() == mine.coefficients()
    assert [c.high for c in back.coefficients().values()] == pytest.approx(
        [c.high for c in mine.coefficients().values()], rel=2e-3
    )
    back.forget("delivery")
    assert list(measured.load(mine.path).coefficients()) == ["hand_force"]
    with refused("unknown", "way"):
        back.forget("delivery")


def test_quantities_are_kept_as_text(mine):
    import pint

    ureg = pint.UnitRegistry()
    mine.enter("delivery", paint=[ureg("38 mL"), ureg("40 cm**3")], time=ureg.Quantity(0.25, "min"))
    assert 'paint = ["38 mL", "40 mL"]' in mine.path.read_text()
    assert measured.load(mine.path).coefficient("fluid_delivery") * 6e7 == pytest.approx(156, rel=0.01)


def test_two_notebooks_lose_nothing(mine):
    other = measured.load(mine.path)
    mine.enter("delivery", **DELIVERY)
    other.enter("force", scale="2 kg")
    mine.enter("transfer", **TRANSFER)
    assert len(measured.load(mine.path).entries) == 3


def test_spread_of_the_file_counts(mine):
    mine.enter("delivery", **DELIVERY)
    text = mine.path.read_text()
    line = next(row for row in text.splitlines() if row.startswith("spread"))
    mine.path.write_text(text.replace(line, 'spread.fluid_delivery = "20 %"'))
    value = measured.load(mine.path).coefficient("fluid_delivery")
    assert value.high / value == pytest.approx(1.2, rel=0.01)


def test_power_cut_leaves_the_old_file(mine, monkeypatch):
    mine.enter("delivery", **DELIVERY)
    old = mine.path.read_bytes()

    def cut(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", cut)
    with refused("file"):
        mine.enter("force", scale="2 kg")
    assert mine.path.read_bytes() == old
    assert sorted(p.name for p in mine.path.parent.iterdir()) == [".lock", "garage.toml"], "nothing half written"
    assert list(mine.coefficients()) == ["fluid_delivery"]


GOOD = "format = 1\n[[measurement]]\nway = 'delivery'\ndate = 2026-05-30\npaint = '38 mL'\ntime = '15 s'\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1, format"),
        ("format = 2", "line 1, format"),
        ("format = true", "line 1, format"),
        ("format = ", "cannot be read as TOML"),
        (GOOD + "colour = 'red'", "line 7, measurement.1.colour"),
        (GOOD.replace("delivery", "delivry"), "Did you mean delivery"),
        (GOOD.replace("38 mL", "38 g"), 'line 5, measurement.1.paint: "38 g" is not a volume'),
        (GOOD.replace("38 mL", "38 L"), "line 5, measurement.1.paint: 38 L is above"),
        (GOOD.replace("paint = '38 mL'\n", ""), "measurement.1.paint: is missing"),
        (GOOD.replace("2026-05-30", "'2026'"), "line 4, measurement.1.date"),
        (GOOD + "spread.fluid_delivery = 'wide'", "line 7, measurement.1.spread.fluid_delivery"),
        (GOOD + "spread = 3", "line 7, measurement.1.spread"),
        ("format = 1\nmeasurement = 3", "line 2, measurement"),
        ("format = 1\nmeasurement = [3]", "line 2, measurement.1"),
        ("[" * 5000, "cannot be read as TOML"),
        ("#" * 2_000_000, "far shorter"),
    ],
)
def test_broken_file_is_told_and_left_alone(mine, text, words):
    mine.path.write_text(text)
    with pytest.raises(InputError) as refusal:
        measured.load(mine.path)
    assert words in str(refusal.value) and (str(mine.path) in str(refusal.value))
    with pytest.raises(InputError):
        mine.enter("force", scale="2 kg")
    with pytest.raises(InputError):
        mine.forget("force")
    assert mine.path.read_text() == text


def test_not_text_at_all(mine):
    mine.path.write_bytes(b"\xff\xfe\x00")
    with refused("file"):
        measured.load(mine.path)
    with refused("file"):
        measured.load(mine.path.parent)
    with pytest.raises(InputError):
        measured.load("a\0b")


BAD = [
    None,
    object(),
    float("nan"),
    4,
    "4",
    "4;1",
    "",
    "1" * 99,
    "-3 mL",
    "0 mL",
    "9e99 mL",
    [],
    [[]],
    ["38 mL", None],
    ["38 mL"] * 51,
    {"a": 1},
    b"38 mL",
    "38 mL; x",
    "10**10**10 mL",
    "38\nmL\n[[x]]",
    True,
    "1,5 mL",
]


@pytest.mark.parametrize("bad", BAD, ids=spelled)
def test_bad_reading_writes_nothing(mine, bad):
    with pytest.raises(InputError):
        mine.enter("delivery", paint=bad, time="15 s")
    assert not mine.path.exists()


def test_other_refusals(mine):
    for call in (
        lambda: mine.enter("delivry", **DELIVERY),
        lambda: mine.enter(None),
        lambda: mine.enter("delivery"),
        lambda: mine.enter("delivery", **DELIVERY, colour="red"),
        lambda: mine.enter("delivery", paint=["38 mL"] * 3, time=["15 s"] * 2),
        lambda: mine.enter("transfer", **{**TRANSFER, "foil_after": "20 g"}),
        lambda: mine.enter("transfer", **{**TRANSFER, "foil_after": "80 g"}),
        lambda: mine.enter("transfer", **{**TRANSFER, "foil_after": "20.101 g"}),
        lambda: mine.coefficient("hand_fors"),
        lambda: mine.coefficient(None),
        lambda: mine.using(print),
        lambda: measured.how("x"),
    ):
        with pytest.raises(InputError):
            call()
    assert not mine.path.exists()


def test_a_mark_before_the_first_letter_is_no_mistake(mine):
    """Some editors save text with a byte order mark."""
    mine.enter("delivery", **DELIVERY)
    mine.path.write_text(mine.path.read_text("utf-8"), encoding="utf-8-sig")
    again = measured.load(mine.path)
    again.enter("force", scale="2 kg")
    assert set(measured.load(mine.path).coefficients()) == {"fluid_delivery", "hand_force"}


# --- a weighed card and the mist ---------------------------------------------------------------------------

CARD = {
    "turns": 2,
    "gun_inlet_pressure": "30 psi",
    "fan_opening": "75 %",
    "gun_distance": "200 mm",
    "overlap": "50 %",
    "tip_bore": "1.4 mm",
    "kinematic_viscosity": "45 mm²/s",
    "density": "1.2 kg/L",
    "volume_solids": "40 %",
    "panel_width": "1 m",
    "panel_height": "0.7 m",
}
HAND = {"gun_speed": "0.45 m/s", "trigger": 1}


def landed(**gun):
    found = spraying.spray_setting(**CARD, **HAND, **gun)
    return (found.aimed * found.captured).m_as("")


def card(share):
    return {**CARD, "transfer_efficiency": f"{100 * share:.4f} %"}


@pytest.mark.parametrize("share", [0.5, 0.6, 0.65])
def test_a_weighed_card_pins_what_lands_and_the_mist(mine, share):
    """Whatever the rest of the gun is, the setting of the card lands what the card says, within its reading."""
    mine.enter("landing", **card(share))
    gun = mine.using(spraying.spray_setting)
    setting = CARD | HAND
    before, after = band(spraying.spray_setting, **setting), band(spraying.spray_setting, **setting, **gun)
    ends = [end.m_as("") for end in after.account.transfer_efficiency]
    assert ends[0] == pytest.approx(share - 0.03, abs=0.02) and ends[2] == pytest.approx(share + 0.03, abs=0.02)
    assert ends[0] < share < ends[2], "what was measured lies inside its own band"
    wide, narrow = ((b.mist_per_landed.high / b.mist_per_landed.low).m_as("") for b in (before, after))
    assert narrow < wide / 1.3


def test_a_card_still_holds_after_something_else_is_measured(mine):
    mine.enter("landing", **card(0.6))
    mine.enter("pattern", width="320 mm", gun_distance="200 mm")
    gun = mine.using(spraying.spray_setting)
    assert gun["open_fan"].low < 0.32 < gun["open_fan"].high
    found = band(spraying.spray_setting, **CARD, **HAND, **gun).account.transfer_efficiency
    assert found.low.m_as("") < 0.6 < found.high.m_as("") and (found.high - found.low).m_as("") < 0.08
    assert measured.load(mine.path).coefficient("cut_factor") == mine.coefficient("cut_factor")


@pytest.mark.parametrize("share", [0.012, 0.99])
def test_a_card_no_setting_can_make_is_refused(mine, share):
    with refused("no solution", "transfer_efficiency"):
        mine.enter("landing", **card(share))
    assert not mine.path.exists()


def test_what_readings_come_to_is_named_with_its_unit(mine):
    """A receiver that fills by 7 bar in a second would take 20 000 L/min of air."""
    with pytest.raises(RangeError) as refusal:
        mine.enter("receiver", receiver_volume="50 L", time="1 s", from_pressure="1 bar", to_pressure="8 bar")
    told = str(refusal.value)
    assert told.startswith("air the compressor delivers: ") and "5000 L/min" in told
    assert refusal.value.problems[0].key == "compressor_delivery"
    mine.path.write_text('format = 1\n[[measurement]]\nway = "force"\ndate = 2026-05-30\nscale = "0 kg"\n')
    with pytest.raises(InputError, match=r"line 2, force of the hand: comes to 0\sN"):
        measured.load(mine.path)


def test_a_label_says_what_the_coefficients_say_of_the_usual_gun(mine):
    """Their notes, common practice: 2 bar at the inlet give 10 psi at the cap, and 10 scfm go through 14.3 mm²."""
    printed = {"gun_inlet_pressure": "2 bar", "cap_pressure": "10 psi", "air_use": "10 scfm"}
    said = mine.enter("printed", **printed)
    found = mine.entries[-1].estimates
    assert found["passage_ratio"].value == pytest.approx(0.561, rel=0.01)
    assert found["cap_area"].value == pytest.approx(14.3e-6, rel=0.01)
    for key in ("passage_ratio", "cap_area"):
        assert said.now[key].high / said.now[key].low < said.was[key].high / said.was[key].low, "it is narrower"
