"""A repair by the clock of people: working hours, nights, windows, one time everywhere."""

from dataclasses import replace

import pytest

from coursekit import repair
from coursekit.quantities import InputError, read
from coursekit.repair import damage, timetable, waiting
from coursekit.repair.clocking import by_the_clock, fitted_to
from coursekit.repair.damage import Hours
from coursekit.repair.forecast import Weather
from coursekit.repair.outline import Choice
from coursekit.repair.proposing import Search
from coursekit.repair.recipe import from_document
from coursekit.repair.steps import Spray, Wait
from coursekit.repair.words import time_words, week_words
from coursekit.tomlfile import Document
from tests.damages import DAMAGES, HEAD

SATURDAY, SUNDAY = 5, 6
H = 3600.0


def hours(*spells):
    return [Hours(day=day, begins=begins * H, ends=ends * H) for day, begins, ends in spells]


@pytest.fixture(scope="module")
def demo():
    return repair.replay(repair.demo_path(), preview=True)


def within(row, spells):
    week = 7 * 24 * H
    return any(
        one.day * 24 * H + one.begins - 1 <= row.begins % week
        and row.ends - row.begins + row.begins % week <= one.day * 24 * H + one.ends + 1
        for one in spells
    )


WEEKEND = hours((SATURDAY, 9, 18), (SUNDAY, 13, 18))


def test_all_work_lies_in_working_hours_in_its_order(demo):
    found = timetable.fit(demo, WEEKEND)
    assert [row.number for row in found.rows] == [entry.step.number for entry in demo]
    for before, row in zip(found.rows, found.rows[1:], strict=False):
        assert row.begins >= before.ends - 1e-6
    assert all(within(row, WEEKEND) for row in found.rows if not row.waits)


def test_no_wait_is_shorter_than_the_plan_asks(demo):
    found = timetable.fit(demo, WEEKEND)
    waits = [(row, entry) for row, entry in zip(found.rows, demo, strict=True) if row.waits]
    assert waits and all(row.ends - row.begins >= entry.used.time - 1e-6 for row, entry in waits)


def test_what_falls_in_the_night_is_told(demo):
    found = timetable.fit(demo, WEEKEND)
    night = {row.number for row in found.rows if row.waits and row.begins // (24 * H) != row.ends // (24 * H)}
    assert night and night <= set(found.at_night)
    assert "through a night" in " ".join(found.lines())


def test_more_hours_never_end_it_later(demo):
    ends = []
    for spells in (WEEKEND, hours((SATURDAY, 8, 20), (SUNDAY, 8, 20)), hours(*((day, 0, 23.9) for day in range(7)))):
        found = timetable.fit(demo, spells)
        ends.append(found.ends - found.begins)
    assert ends[0] >= ends[1] >= ends[2]


def test_what_does_not_fit_says_why_and_what_would(demo):
    found = timetable.fit(demo, hours((SATURDAY, 9, 9.2)))
    assert isinstance(found, timetable.Unfit) and "at a stretch" in found.text() and "longer" in found.text()


def test_a_film_that_must_be_recoated_soon_is_laid_in_the_same_spell(demo):
    """Base and clear: with a window of 40 min no evening may come between them."""
    recipe = demo.recipe
    short = {
        name: {**row, "recoat_until": 2400.0} if name == "base" else row for name, row in recipe.materials.items()
    }
    played = repair.replay(replace(recipe, materials=short), preview=True)
    found = timetable.fit(played, hours((SATURDAY, 9, 18), (SUNDAY, 9, 18)))
    rows = {row.number: row for row in found.rows}
    base, clear = (next(e.step.number for e in demo if e.step.brings == name) for name in ("base", "clear"))
    assert rows[clear].begins - rows[base].ends < 2400


def test_nothing_is_sprayed_in_an_hour_that_speaks_against_it():
    text = (
        repair.demo_path()
        .read_text(encoding="utf-8")
        .replace("[panel]", '[forecast]\ncoldest = "4 °C"\nwarmest = "26 °C"\n\n[panel]', 1)
    )
    played = repair.replay(repair.loads(text), preview=True)
    weather = Weather(played.recipe)
    found = timetable.fit(played, hours(*((day, 6, 22) for day in range(7))), weather)
    sprayed = [row for row, entry in zip(found.rows, played, strict=True) if isinstance(entry.step, Spray)]
    assert len(sprayed) > 2
    for row in sprayed:
        assert not weather.against(row.begins - weather.begins, row.ends - weather.begins)


def test_the_recipe_that_is_proposed_keeps_the_same_time_as_its_timetable():
    text = HEAD + DAMAGES["tailgate, scratch in the clear"]
    found = repair.propose(damage.loads(text + '[[hours]]\nday = "Sunday"\nfrom = "13:00"\nto = "18:00"\n'), hands=1)
    table, played = found.timetable, found.played
    assert week_words(table.begins) == "Sunday 13:00" == week_words(found.recipe.start)
    assert table.rows[-1].ends - table.begins == pytest.approx(played.time)
    assert Weather(found.recipe).clock(0) == "Sun 13:00" and "Sunday 13:00" in found.text()
    assert 'day = "Sunday"' in found.recipe_text() and repair.loads(found.recipe_text()).start == table.begins
    assert "Sunday 13:00" in repair.job_sheet(played)


def test_waits_of_the_recipe_are_as_long_as_by_the_clock():
    found = damage.loads(HEAD + DAMAGES["door, creased"])
    search = Search(found, 1, None, None)
    made, recipe = search.written(Choice(long="rubber block", short="rubber block"))
    fitted = timetable.fit(repair.replay(recipe, preview=True), hours((SATURDAY, 9, 12), (SUNDAY, 9, 14)))
    after = by_the_clock(made, fitted)
    played = repair.replay(from_document(Document.of_tables(after.tables, "x")), preview=True)
    for row in timetable.of(played).rows:
        assert row.waits or within(row, hours((SATURDAY, 9, 12), (SUNDAY, 9, 14))), row


@pytest.mark.parametrize(
    ("time", "words"),
    [(0, "Monday 00:00"), (5 * 24 * H + 9 * H, "Saturday 09:00"), (8 * 24 * H, "Tuesday of week 2 00:00")],
)
def test_times_of_the_week_in_words(time, words):
    assert week_words(time) == words


def test_a_start_that_is_no_day_is_refused():
    text = repair.demo_path().read_text(encoding="utf-8")
    with pytest.raises(InputError, match="day"):
        repair.loads(text + '\n[start]\nday = "Someday"\n')
    assert repair.loads(text + '\n[start]\nday = "Monday"\nat = "07:30"\n').start == 7.5 * H
    assert repair.loads(text).start is None


def least_of(changed, **of):
    played = repair.replay(changed, preview=True)
    asked = waiting.least(played, played.recipe, played.recipe.garage["temperature"])
    return {number: one.after(0.0) if one is not None else 0.0 for number, one in asked.items()}


def test_what_a_wait_has_to_be_goes_with_film_and_weather(demo):
    """Colder is longer, and a wait that is stretched over a night is asked for no longer than a short one."""
    recipe = demo.recipe
    usual = least_of(recipe)
    cold = least_of(replace(recipe, garage={**recipe.garage, "temperature": 285.15}))
    waits = [entry.step.number for entry in demo if isinstance(entry.step, Wait)]
    assert [*usual] == waits and all(cold[number] >= usual[number] for number in waits)
    assert sum(cold.values()) > 1.5 * sum(usual.values())
    for number in waits:
        assert least_of(recipe.changed("step", number, "time", to="40 h")) == usual


def under(recipe, coldest, warmest, begins=9 * H):
    return replace(
        recipe, forecast={"coldest": 273.15 + coldest, "warmest": 273.15 + warmest, "begins": begins}, start=None
    )


def test_a_wait_goes_with_the_weather_of_the_hour_in_which_it_falls(demo):
    """By a forecast a film that is laid in the evening is left longer than one of the morning, and none shorter than
    its sheet says; with no swing it is what a garage of that temperature asks."""
    for one in waiting.least(demo, under(demo.recipe, 8, 24), 293.15).values():
        if one is not None and one.sheet > H:
            assert one.after(21 * H) > one.after(10 * H) >= one.sheet
    steady = {**demo.recipe.garage, "temperature": 285.15}
    even = under(replace(demo.recipe, garage=steady), 12, 12)
    plain = least_of(replace(demo.recipe, garage=steady))
    for number, one in waiting.least(demo, even, 285.15).items():
        assert one is None or one.after(3 * H) == pytest.approx(plain[number], abs=waiting.ROUND)


def test_timetable_verdict_and_sheet_have_the_waits_of_the_forecast():
    """Colder days make the plan longer; the verdict on the film before each wait agrees, and the reason says so."""
    ends = []
    home = '[garage]\nspray_at = "home"\nextraction = "yes"\nsupplied_air = "yes"\n'
    for cold, warm in ((14, 24), (6, 17)):
        forecast = home + f'[forecast]\ncoldest = "{cold} °C"\nwarmest = "{warm} °C"\nbegins = "09:00"\n'
        found = damage.loads(HEAD + DAMAGES["door, creased"] + forecast)
        search = Search(found, 1, None, None)
        made, recipe = search.written(Choice(long="rubber block", short="rubber block"))
        fitted = fitted_to(repair.replay(recipe, preview=True), found)
        after = by_the_clock(made, fitted, begins=False)
        played = repair.replay(from_document(Document.of_tables(after.tables, "x")), preview=True)
        weather = Weather(played.recipe)
        laid, top = 0.0, ""
        for entry, step in zip(played, after.steps, strict=True):
            if entry.step.brings:
                laid, top = entry.ended, entry.step.brings
            if isinstance(entry.step, Wait) and top not in ("", "base", "epoxy primer"):
                needed = weather.needed(laid, played.recipe.materials[top]["dry_to_sand"])
                assert entry.ended - laid >= needed.middle, entry.step
                assert waiting.BY_FORECAST in step.why or step.why == timetable.WORK_GOES_ON
            assert not any(
                "soft" in reason.words or "time to sand" in reason.words for reason in entry.verdict.reasons
            )
        ends.append(played.time)
    assert ends[1] > 1.2 * ends[0]


def test_flash_in_a_step_of_coats_goes_with_the_weather(demo):
    def flash(coldest, warmest):
        recipe = under(demo.recipe, coldest, warmest)
        return {number: one.after(11 * H) for number, one in waiting.flashes(demo, recipe, {}).items()}

    cold, mild = flash(4, 9), flash(19, 23)
    assert cold and all(cold[number] > 1.5 * mild[number] for number in cold)
    assert not waiting.flashes(demo, demo.recipe, {})


def test_waits_are_told_in_one_form():
    assert [waiting.written(waiting.whole(60 * one)) for one in (34, 35.2, 89, 91, 185, 600)] == [
        "34 min",
        "36 min",
        "89 min",
        "1.6 h",
        "3.1 h",
        "10 h",
    ]
    for minutes in (10, 95, 185, 1155):
        text = waiting.written(waiting.whole(60 * minutes))
        assert time_words(float(read(text, "time"))) == text


def test_a_wait_that_is_held_is_followed_by_a_break(demo):
    """A wait that somebody wrote stays; what it falls short of is waited after it."""
    number = next(entry.step.number for entry in demo if isinstance(entry.step, Wait) and entry.used.time > 2 * H)
    found = timetable.fit(demo, hours((SATURDAY, 9, 13), (SUNDAY, 9, 13)))
    held = found.written({number: 3 * H})
    assert number in found.written().waits and number not in held.waits
    assert any(before > number for before in held.breaks)


def test_a_start_that_is_settled_is_kept(demo):
    start = 5 * 24 * H + 10.5 * H
    assert timetable.fit(demo, WEEKEND, start=start).begins == start
    assert isinstance(timetable.fit(demo, WEEKEND, start=3 * H), timetable.Unfit)


def test_whoever_gives_no_hours_sprays_in_fair_hours_or_is_told(demo):
    """By a forecast too hot or too cold for any coat no plan by the clock is made: nothing is sprayed then."""
    for coldest, warmest in ((45, 45), (4, 8)):
        recipe = under(demo.recipe, coldest, warmest)
        played = repair.replay(recipe, preview=True)
        asked, flashes = waiting.least(demo, recipe, 293.15), waiting.flashes(demo, recipe, {})
        found = timetable.at_once(played, asked, flashes)
        assert isinstance(found, timetable.Unfit) and "fair weather" in found.text()
