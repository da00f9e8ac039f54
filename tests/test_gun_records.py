"""Gun, paint, hand and panel as records: what the spraying calls take for their single arguments."""

import dataclasses

import pytest

from coursekit import spraying, units
from coursekit.quantities import InputError
from coursekit.records import Record
from coursekit.spraying import Gun, Hand, Paint, Panel

GUN = Gun("my gun", tip_bore="1.3 mm", turns=2, gun_inlet_pressure="20 PSI", fan_opening="75 %")
PAINT = Paint("clear", density="1 kg/L", volume_solids="45 %", kinematic_viscosity="30 mm²/s")
HAND = Hand("me", gun_distance='7"', gun_speed="90 fpm", overlap="50 %", trigger="100 %")
DOOR = Panel("door", panel_width="1.2 m", panel_height="0.8 m")
RECORDS = {"gun": GUN, "paint": PAINT, "hand": HAND, "panel": DOOR}
PLAIN = {**GUN.arguments(), **PAINT.arguments(), **HAND.arguments(), **DOOR.arguments()}


def test_records_and_plain_keywords_are_one_call():
    by_records, by_hand = spraying.spray_setting(**RECORDS), spraying.spray_setting(**PLAIN)
    assert by_records == by_hand
    assert "gun_inlet_pressure" in PLAIN and PLAIN["gun_inlet_pressure"] == "20 PSI"
    moved = spraying.spray_setting(**RECORDS, turns=3)
    assert moved.fluid_delivery > by_records.fluid_delivery, "a single argument goes before the record's"
    assert spraying.spray_setting(**RECORDS, turns=[2, 3]).wet_film.magnitude.shape == (2,)


def test_the_whole_family_takes_them():
    found = spraying.find_setting("35 µm", gun=GUN, paint=PAINT, panel=DOOR)
    asked = {key: PLAIN[key] for key in ("volume_solids", "kinematic_viscosity", "density", "tip_bore")}
    assert found.answer == spraying.find_setting("35 µm", "1.2 m", "0.8 m", **asked).answer
    low, high = {"turns": 2, "gun_inlet_pressure": "12 psi"}, {"turns": 2, "gun_inlet_pressure": "29 psi"}
    both = spraying.compare_settings(low, high, gun=GUN, paint=PAINT, panel=DOOR)
    assert both == spraying.compare_settings(low, high, panel_width="1.2 m", panel_height="0.8 m", **asked)
    width = spraying.fan_width(gun=GUN, hand=HAND)
    assert width == spraying.fan_width("75 %", "7 in")


def test_a_result_prints_as_a_short_table_in_text_and_html():
    found = spraying.spray_setting(**RECORDS)
    lines = repr(found).splitlines()
    assert max(map(len, lines)) < 100 and any("wet_film" in line and "µm" in line for line in lines)
    assert "<table" in found._repr_html_() and "wet_film" in found._repr_html_()
    assert found.to_dict()["wet_film"] == found.wet_film


def test_the_backwards_search_knows_the_solvent_and_the_heat():
    fast = PAINT.but(solvent="acetone")
    job = {"gun": GUN, "paint": fast, "panel": DOOR, "air_temperature": "35 °C"}
    found = spraying.find_setting("35 µm", **job).answer
    setting = {field: getattr(found.setting, field) for field in spraying.Setting._fields}
    coat = spraying.spray_setting(**{**job, **setting})
    assert coat.wet_film.magnitude == pytest.approx(found.wet_film.magnitude, rel=1e-6)
    cool = spraying.spray_setting(**{**job, **setting, "paint": PAINT, "air_temperature": "20 °C"})
    assert coat.wet_film < 0.98 * cool.wet_film, "more solvent leaves in flight"


def test_the_setting_found_prints_in_a_dozen_lines_and_what_stops_it_where_there_is_none():
    job = {"gun": GUN, "paint": PAINT, "panel": DOOR}
    found = spraying.find_setting("35 µm", **job)
    told = {line.split()[0]: line for line in repr(found).splitlines()}
    assert len(told) == 12 and all(f"answer.setting.{field}" in told for field in spraying.Setting._fields)
    assert f"{found.answer.lost.to('mL').magnitude:.3g}" in told["answer.lost"]
    assert "dry film" in told["film"] and "middle" in told["film"]
    assert found._repr_html_().count("<tr>") == 11
    none = spraying.find_setting("35 µm", **job, worst_texture="0.2 µm")
    assert none.answer is None and "worst_texture" in repr(none) and "answer.setting" not in repr(none)


def test_what_is_typed_is_kept_as_typed_and_known_in_si():
    assert HAND.gun_distance == '7"' and HAND.si["gun_distance"] == pytest.approx(7 * 0.0254)
    assert HAND.si["gun_speed"] == pytest.approx(0.4572)
    by_quantity = GUN.but(tip_bore=units.Quantity(1.3, "mm"))
    assert by_quantity.tip_bore == "1.3 mm" and by_quantity == GUN
    with pytest.raises(dataclasses.FrozenInstanceError):
        GUN.turns = 3
    assert GUN.but(turns=3).si["turns"] == 3 and GUN.si["turns"] == 2
    assert "fluid tip" in repr(GUN) and "1.3 mm" in GUN._repr_html_()
    assert ("fluid tip", "0.0512 in") in GUN.lines("us")
    assert "&lt;b&gt;" in Gun("<b>", "1.3 mm", gun_inlet_pressure="1 bar")._repr_html_()


def test_a_cup_stands_for_the_viscosity_and_a_test_cap_for_the_inlet():
    by_cup = Paint("clear", density="1 kg/L", volume_solids="45 %", cup="DIN 4", flow_time="16 s")
    told = spraying.viscosity_from_cup("DIN 4", "16 s")
    assert by_cup.si["kinematic_viscosity"] == pytest.approx(told.to("m²/s").magnitude)
    by_cap = Gun("my gun", tip_bore="1.3 mm", cap_pressure="10 psi")
    inlet = spraying.inlet_for_cap("10 psi").to("Pa").magnitude
    assert by_cap.si["gun_inlet_pressure"] == pytest.approx(inlet) and "cap_pressure" not in by_cap.arguments()
    slow, fast = (PAINT.but(solvent=name) for name in ("n-butyl acetate", "acetone"))
    assert slow.arguments()["volatility"] == 1
    dry = [spraying.spray_setting(**{**RECORDS, "paint": one}).dry_spray for one in (slow, fast)]
    assert dry[1] > dry[0], "a faster solvent leaves more of the spray dry"


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Gun("", "1.3 mm", gun_inlet_pressure="2 bar"), "Give it a name"),
        (lambda: Gun("a\nb", "1.3 mm", gun_inlet_pressure="2 bar"), "must be text"),
        (lambda: Gun("my gun", "1.3 mm"), "or cap_pressure is needed"),
        (lambda: Gun("my gun", "13 mm", gun_inlet_pressure="2 bar"), "0.5 to 3 mm"),
        (lambda: Gun("my gun", 1.3, gun_inlet_pressure="2 bar"), 'such as "1.6 mm"'),
        (lambda: HAND.but(gun_distance="6-8 in"), '"7 in"'),
        (lambda: HAND.but(gun_distance=["6 in", "7 in"]), "one value of each"),
        (lambda: HAND.but(distance="6 in"), "is not a field of a hand. It has: name, gun_distance"),
        (lambda: Paint("clear", "1 kg/L", "45 %"), 'or cup="DIN 4"'),
        (lambda: Paint("clear", "1 kg/L", "45 %", cup="DIN 4"), "goes with the name of the cup"),
        (lambda: Paint("clear", "1 kg/L", "45 %", "30 mm²/s", solvent="unobtainium"), "no table here"),
        (lambda: Panel.of({"name": "door", "panel_width": "1 m"}), "panel_height: is missing"),
        (lambda: Gun.of("my gun"), "a str is not a gun"),
        (lambda: spraying.spray_setting(**{**RECORDS, "gun": PAINT}), "is given a paint. Write paint=…."),
        (lambda: spraying.cup_time("DIN 4", gun=GUN), "has nothing that spraying.cup_time needs"),
    ],
)
def test_what_cannot_be_is_refused_with_a_remedy(make, says):
    with pytest.raises(InputError) as told:
        make()
    assert says in str(told.value)


def test_a_record_equals_its_copy_from_a_mapping():
    for record in RECORDS.values():
        assert type(record).of(record.to_dict()) == record and isinstance(record, Record)
