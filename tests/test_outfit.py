"""The learner's guns, paints, hands and panels: kept in one file, several of each, one chosen."""

import multiprocessing
import os

import pytest

from coursekit import outfit, spraying
from coursekit.quantities import InputError
from coursekit.spraying import Gun, Hand, Paint, Panel
from tests.calls import refused

GUN = Gun("my gun", tip_bore="1.3 mm", turns=2.5, gun_inlet_pressure="20 PSI", fan_opening="75 %", air_cap="HV 30")
PAINT = Paint("clear", density="1 kg/L", volume_solids="45 %", cup="DIN 4", flow_time="16 s")


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


def test_the_demo_stands_in_until_something_is_written_down(own_folder):
    mine = outfit.load()
    assert mine.gun.tip_bore == "1.6 mm" and mine.paint.name == "surfacer" and not mine.is_own("gun")
    assert mine.si["density"] == 1300 and mine.si["gun_inlet_pressure"] == 0.8e5
    assert not list(own_folder.iterdir()), "reading makes no file"
    found = spraying.spray_setting(gun=mine.gun, paint=mine.paint, hand=mine.hand, panel=mine.panel)
    assert found.passes > 0


def test_several_are_kept_as_typed_and_one_is_chosen(own_folder):
    outfit.keep(GUN)
    outfit.keep(Gun("gun for base", tip_bore="1.4 mm", gun_inlet_pressure="2 bar"))
    mine = outfit.keep(PAINT)
    assert mine == outfit.load() and mine.gun.name == "gun for base"
    assert [gun.name for gun in mine.own["gun"]] == ["my gun", "gun for base"]
    assert outfit.choose("gun", "my gun").gun == GUN and outfit.load().gun == GUN
    text = (own_folder / outfit.FILE).read_text(encoding="utf-8")
    assert 'gun_inlet_pressure = "20 PSI"' in text and "turns = 2.5" in text and 'cup = "DIN 4"' in text
    assert outfit.load().paint is not None and outfit.load().all("paint")[0] == PAINT
    assert [p.name for p in outfit.load().all("paint")] == ["clear", "surfacer"], "the demo's clear steps back"
    changed = outfit.keep(GUN.but(tip_bore="1.4 mm"))
    assert changed.gun.tip_bore == "1.4 mm" and len(changed.own["gun"]) == 2
    assert outfit.choose("gun", "gun with the 1.3 tip").gun.tip_bore == "1.3 mm", "the demo's can be chosen too"
    assert outfit.forget("gun", "my gun").all("gun")[0].name == "gun for base"
    assert "gun" not in outfit.forget("gun", "gun for base").own and outfit.load().own["paint"] == (PAINT,)


def test_odd_names_come_back(own_folder):
    for name in ('say "hello"', "back\\slash", "Pistole für Füller · №1", "a = [b]", "#1", "'''", "C:\\new\\t"):
        outfit.keep(GUN.but(name=name))
        outfit.keep(Hand(name))
        assert outfit.load().gun.name == name and outfit.load().hand.name == name
    assert len(outfit.load().own["gun"]) == 7


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "must be 1"),
        ("format = 2", "must be 1"),
        ("format = 1\ngun = 3", "[[gun]]"),
        ("format = 1\ngnu = []", "Did you mean gun?"),
        ("format = 1\n[chosen]\ngun = 3", "is not a name"),
        ('format = 1\n[[gun]]\nname = "a"', "line 2, gun.1.tip_bore: is missing"),
        (
            'format = 1\n[[gun]]\nname = "a"\ntip_bore = "13 mm"\ngun_inlet_pressure = "2 bar"',
            "line 4, gun.1.tip_bore: 13 mm is above",
        ),
        ('format = 1\n[[hand]]\nname = "a"\ngun_distance = "6-8 in"', 'the middle: "7 in"'),
        ('format = 1\n[[hand]]\nname = "a"\n[[hand]]\nname = "a"', "is there twice"),
        ('format = 1\n[[hand]]\nname = "a"\nspeed = "1 m/s"', "is not a field of a hand"),
    ],
)
def test_a_file_that_cannot_be_read_is_told_by_line_and_stays(own_folder, text, says):
    file = own_folder / outfit.FILE
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as told:
        outfit.load()
    assert says in str(told.value)
    with pytest.raises(InputError):
        outfit.keep(GUN)
    assert file.read_text(encoding="utf-8") == text


def test_what_is_not_there_cannot_be_chosen_nor_forgotten_nor_kept():
    with pytest.raises(InputError, match="Choose from"):
        outfit.choose("gun", "nobody's gun")
    with refused("choice", "kind"):
        outfit.choose("knife", "x")
    with refused("unknown", "gun"):
        outfit.forget("gun", "gun with the 1.3 tip")
    with pytest.raises(InputError, match="Give a Gun"):
        outfit.keep("my gun")
    for number in range(outfit.MOST):
        outfit.keep(Panel(f"panel {number}", "1 m", "0.5 m"))
    with refused("count", "panel"):
        outfit.keep(Panel("one more", "1 m", "0.5 m"))


def _keeps(folder, number):
    os.environ["COURSEKIT_HOME"] = str(folder)
    for turn in range(5):
        outfit.keep(Hand(f"hand {number}-{turn}"))


def test_two_notebooks_lose_nothing_of_each_other(own_folder):
    context = multiprocessing.get_context("spawn")
    workers = [context.Process(target=_keeps, args=(own_folder, number)) for number in range(2)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(60)
    assert len(outfit.load().own["hand"]) == 10
