"""Whether a panel is ready for what comes next: hard, clean, dry, straight, dull, and the right thing on top."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coursekit.belief import shipped
from coursekit.drying.weather import COLDEST_SHEET, DAMPEST, MARGIN_ISO, WARMEST_SHEET, dew_point
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read
from coursekit.repair.case import CLEAN, SPOT, Case
from coursekit.repair.change import LEAST_OPENED
from coursekit.repair.condition import STRICT_SLOPE, Condition
from coursekit.repair.forecast import Weather
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Sand, Spray, Timed, Wait
from coursekit.repair.vocabulary import COLOUR
from coursekit.repair.words import Reason, time_words
from coursekit.sanding import read_grade, scratch_width, seen_width, show_through

# Times the strict limit. With a tube lamp as far from the panel as the eye, a slope moves the lamp's line by as much:
# ten times the strict limit are 5 arc-minutes, the size of the letters that normal sight reads. Most people see that.
KIND = 10.0
WHERE = {
    "below": "below the damage",
    "above": "above the damage",
    "left": "left of the damage",
    "right": "right of the damage",
}
# Film (m) that full coats of surfacer build before sanding: what lies lower is filler's work.
FULL_BUILD = float(read(load_data("film_builds")["surfacer"]["high"], "film"))
FEATHER_OUT = (
    "Feather out wider: each finer paper a few finger widths beyond the coarser one, which stays on the filler"
)
RECOAT_MARGIN = 2.0  # film laid over film needed
COARSEST_TOO_FINE = 33e-6  # m of grain: finer than P400 is no key for surfacer or primer (common practice)


def ready(case: Case) -> Iterator[Reason]:
    """What speaks for and against going on to the next step."""
    step = case.next
    if step is None:
        yield from _finished(case)
        return
    sands, sanded = isinstance(step, Sand), isinstance(case.step, Sand)
    if sands and case.after.dirt > CLEAN and not sanded:
        yield Reason(True, "wax and grease are still on it: sanding would rub them into the scratches")
    if step.brings:
        yield from _clean(case.after)
        if isinstance(step, Spray):
            yield from weather_reasons(case.recipe)
    yield from _time(case)
    if case.coming is not None and (sanded or step.brings):
        yield from _what_shows(case, case.material_coming)
        if isinstance(case.coming, Spray):
            yield from _scratches(case, case.coming)
        if sanded and isinstance(case.coming, Spray):
            yield from _filled(case, case.coming)
        if sanded and _has_to_be_straight(case):
            yield from waves_reasons(case.after)
            yield from _ring(case.after)


# --- time --------------------------------------------------------------------------------------------------


def _time(case: Case) -> Iterator[Reason]:
    """After a wait, what it must have been long enough for; before any other step only what follows at once."""
    since = case.since
    for step in case.following:
        if isinstance(step, Sand) and case.top and not case.dulled:
            yield from _hard(case, since)
        if step.brings and case.top and not case.dulled:
            yield from _window(case, since)
        if not (isinstance(step, Timed) and step.quick and isinstance(case.step, Wait)):
            return
        since += step.time


def _hard(case: Case, since: float) -> Iterator[Reason]:
    weather = Weather(case.recipe)
    needed = weather.needed(case.laid, case.material["dry_to_sand"])
    if needed is None:
        yield Reason(True, f"the {case.top} hardly cures at {{0}}", (("temperature", weather.panel(case.laid)),))
    elif since < needed.middle:
        spread = "" if time_words(needed.low) == time_words(needed.high) else " ({1} to {2})"
        yield Reason(
            True,
            f"the time to sand of the {case.top} is {{0}}{spread} in this garage, and {{3}} have passed",
            (("time", needed.middle), ("time", needed.low), ("time", needed.high), ("time", since)),
        )
    elif since < needed.high:
        yield Reason(False, f"the {case.top} may still be soft: up to {{0}} in this garage", (("time", needed.high),))


def _window(case: Case, since: float) -> Iterator[Reason]:
    weather = Weather(case.recipe)
    early, late = (weather.needed(case.laid, case.material[key]) for key in ("dry_to_recoat", "recoat_until"))
    if early is None or late is None:
        yield Reason(True, f"the {case.top} hardly cures at {{0}}", (("temperature", weather.panel(case.laid)),))
    elif since < early.middle:
        yield Reason(
            True,
            f"the {case.top} may be recoated after {{0}}, and {{1}} have passed: solvent would be trapped",
            (("time", early.middle), ("time", since)),
        )
    elif since > late.middle:
        yield Reason(
            True,
            f"the {case.top} could be recoated until {{0}}, and {{1}} have passed: scuff it all over first",
            (("time", late.middle), ("time", since)),
        )


def weather_reasons(recipe: Recipe) -> Iterator[Reason]:
    """Reasons not to spray in the weather of this garage."""
    temperature, humidity = recipe.garage["temperature"], recipe.garage["humidity"]
    if not COLDEST_SHEET <= temperature <= WARMEST_SHEET:
        yield Reason(
            True,
            "the garage is at {0}; published conditions are {1} to {2}",
            (("temperature", temperature), ("temperature", COLDEST_SHEET), ("temperature", WARMEST_SHEET)),
            "temperature",
        )
    if humidity > DAMPEST:
        yield Reason(
            True,
            "the air is at {0} of humidity; published conditions end at {1}",
            (("humidity", humidity), ("humidity", DAMPEST)),
            "humidity",
        )
    try:
        margin = temperature - float(dew_point.si(temperature, humidity))
    except InputError:
        return  # so dry that dew is far off
    if margin < MARGIN_ISO:
        yield Reason(
            True,
            "a panel as warm as the air is {0} over the dew point, under the usual {1}",
            (("dew_margin", margin), ("dew_margin", MARGIN_ISO)),
            "dew point",
        )


# --- surface -----------------------------------------------------------------------------------------------


def _clean(after: Condition) -> Iterator[Reason]:
    if after.dirt > CLEAN:
        yield Reason(True, "wax, grease or silicone is left ({0} of it): wipe again", (("remaining", after.dirt),))
    if after.rubbed_in > CLEAN:
        yield Reason(
            True, "wax is rubbed into the scratches ({0}): wipe, sand on, wipe", (("remaining", after.rubbed_in),)
        )
    if after.dust > CLEAN:
        yield Reason(True, "sanding dust is on it: clean first")


def _what_shows(case: Case, coming: str) -> Iterator[Reason]:
    shows = case.after.shows
    metal, filler = shows.get("bare metal", 0.0), shows.get("filler", 0.0)
    for line, shown in case.after.lines.items():
        if coming not in ("epoxy primer", "filler") and (length := shown.get("bare metal", 0.0)) > LEAST_OPENED:
            yield Reason(
                True,
                f"bare metal shows along {{0}} of the {line}: a corrosion-protecting primer there first",
                (("extent", length),),
            )
        elif coming in COLOUR and (length := shown.get("filler", 0.0)) > LEAST_OPENED:
            yield Reason(True, f"filler shows along {{0}} of the {line}: surfacer first", (("extent", length),))
    if metal > SPOT and coming not in ("epoxy primer", "filler"):
        yield Reason(
            True,
            "bare metal shows on {0}: a corrosion-protecting primer first, surfacer alone does not protect it",
            (("spot", metal),),
        )
    if filler > SPOT and coming in COLOUR:
        yield Reason(True, "filler shows on {0}: surfacer first", (("spot", filler),))


def deepest_scratch(after: Condition) -> float:
    """Depth of the deepest scratches over the repair, m: the largest grains stand out by a known ratio."""
    try:
        return after.scratch * read_grade(after.paper).outlier_ratio
    except InputError:
        return after.scratch


def grain_of(paper: str) -> float:
    """Grain size (m) of a paper; nothing for a compound or no paper."""
    try:
        return read_grade(paper).grain_size
    except InputError:
        return 0.0  # a compound


def seen_scratch(recipe: Recipe, deepest: float) -> tuple[float, float]:
    """Width of the dip that a scratch leaves in the clear: middle and the wide end of what is not known, m."""
    factor = shipped().coefficient("scratch_factor")
    wide = factor.high / factor if recipe.measured["scratch_factor"] is None else 1.0
    middle = float(scratch_width.si(show_through.si(deepest)))
    return middle, middle * wide


def film_over(deepest: float, coming: Spray, recipe: Recipe) -> float:
    """Film (m) of coats that fill scratches so deep (m), shrinking over them."""
    return float(RECOAT_MARGIN * deepest * (2 - coming.volume_solids(recipe)))


def _scratches(case: Case, coming: Spray) -> Iterator[Reason]:
    if case.after.scratch <= 0 or not isinstance(case.step, Sand):
        return
    deepest, paper = deepest_scratch(case.after), case.after.paper
    figures = (("scratch_depth", deepest),)
    if coming.material in COLOUR:
        _, wide = seen_scratch(case.recipe, deepest)
        if wide > float(seen_width.si("point lamp")):
            yield Reason(
                True,
                f"scratches of {paper}, {{0}} deep, may show through base and clear under a strong "
                "lamp: a finer paper first",
                figures,
            )
        else:
            yield Reason(False, f"base and clear hide the scratches of {paper}, {{0}} deep", figures)
        return
    grain = grain_of(paper)
    if 0 < grain < COARSEST_TOO_FINE:
        yield Reason(
            True, f"scratches of {paper} are too fine a key for {coming.material}: it may peel. Scuff it with P320"
        )
    film, needed = coming.planned_film(case.recipe), film_over(deepest, coming, case.recipe)
    hides = film >= needed
    yield Reason(
        not hides,
        f"scratches of {paper}, {{0}} deep, need {{1}} of {coming.material}, and "
        + ("about {2} are to come" if hides else "only {2} are to come: sand finer or lay more"),
        (*figures, ("film", needed), ("film", film)),
    )


def _has_to_be_straight(case: Case) -> bool:
    """Before colour, and before a recoat that is not there to build: surfacer over surfacer."""
    coming = case.material_coming
    return coming in COLOUR or (coming == "surfacer" and "surfacer" in case.before.film)


def too_deep(after: Condition) -> float:
    """Height (m) from crest to hollow that must go until most people see its waves as straight.

    Blocking takes it off the crests, and surfacer lies on crest and hollow alike: so much film the crests must bear.
    """
    if after.waves <= KIND:
        return 0.0
    return 2 * (after.waves - KIND) * STRICT_SLOPE * after.wavelength / (2 * math.pi)


def _filled(case: Case, coming: Spray) -> Iterator[Reason]:
    """Before surfacer that builds on filler: do its coats bear what must be blocked off over the waves?"""
    if coming.material != "surfacer" or "surfacer" in case.after.film or "filler" not in case.after.film:
        return
    deep, film = too_deep(case.after), coming.planned_film(case.recipe)
    if deep > film:
        yield Reason(
            True,
            "the filler is not shaped yet: its waves are {0} times the limit of a strict eye. Blocking would take "
            "{1} "
            "off their crests, more than the {2} of surfacer to come. P80 on the filler again, or filler in the lows",
            (("plain", case.after.waves), ("film", deep), ("film", film)),
        )


def waves_reasons(after: Condition, painted: bool = False) -> Iterator[Reason]:
    """Is it straight, to a strict eye and to most, where are the worst waves, and what is right to do there?

    painted  whether colour and clear lie on it
    """
    deep, left = too_deep(after), after.film["surfacer"].thin if "surfacer" in after.film else 0.0
    figures = (
        ("plain", after.waves),
        ("wavelength", after.wavelength),
        ("plain", after.in_damage or 0.0),
        ("film", deep),
        ("film", left),
        ("film", FULL_BUILD),
    )
    where = "The worst sit in the damage" if after.side else ""
    if after.beside:
        where = f"The worst sit {WHERE[after.side]}; the damage itself has {{2}} times"
    if after.waves > KIND:
        if painted:
            cure = "Paint does not hide them: sand back to the surfacer, level, and paint again"
        elif after.beside and (after.in_damage or 0.0) <= KIND:
            cure = f"More strokes there only dig deeper. {FEATHER_OUT}"
        elif deep > FULL_BUILD:
            cure = (
                "{3} would have to come off their crests, more than full coats of surfacer build ({5}). Sand back to "
                "the filler, fill the lows, and shape it again"
            )
        elif deep > left:
            cure = (
                "{3} have to come off their crests, and {4} of surfacer is left where it is thinnest: full coats of "
                "surfacer first. Then block them with a block longer than the waves, which are mostly {1} long"
            )
        else:
            cure = "Block on while the film lasts, with a block longer than the waves, which are mostly {1} long"
        yield Reason(
            True,
            "its waves are {0} times the limit of a strict eye. Under a tube lamp as far off as the "
            f"eye, most people see {KIND:.0f} times. " + ". ".join(filter(None, (where, cure))),
            figures,
            "waves",
        )
    elif after.waves > 1:
        yield Reason(
            False,
            "straight to most eyes, not to a strict one ({0} times its limit, mostly waves of {1}). "
            f"Under a tube lamp as far off as the eye, most people see {KIND:.0f} times"
            + (f". {where}" if where else ""),
            figures,
            "waves",
        )
    else:
        yield Reason(False, "straight, even to a strict eye", about="waves")


def _ring(after: Condition, painted: bool = False) -> Iterator[Reason]:
    """The edge that a tape left in a film, where it is steep enough to show."""
    if after.ring > KIND:
        cure = (
            "sand it back, feather it, and paint again"
            if painted
            else ("sand over it until it runs out over a hand's width, or let the film run out before the tape")
        )
        yield Reason(
            True,
            "the edge of a film, where the tape was, is {0} times as steep as a strict eye just sees, "
            f"and most people see {KIND:.0f} times. So it shows as a ring. Feather it: {cure}"
            if not painted
            else "the edge of a film, where the tape was, shows through as a ring. It is {0} times as steep as a "
            f"strict eye just sees, and most people see {KIND:.0f} times. To fix it, {cure}",
            (("plain", after.ring),),
        )


# --- the end -----------------------------------------------------------------------------------------------


def _finished(case: Case) -> Iterator[Reason]:
    after = case.after
    if case.buried > CLEAN:
        yield Reason(
            True,
            "wax, grease or silicone is trapped under the films ({0} of what was there): it may "
            "crater now and peel or blister later",
            (("remaining", case.buried),),
        )
    if "clear" not in after.film:
        yield from _clean(after)
        return
    keep = load_data("polishing_limits")["keep"]["micrometres"] * 1e-6
    clear = after.film["clear"]
    if clear.thin < keep:
        yield Reason(
            True,
            "{0} of clear are left where it is thinnest; under {1} it blocks too little ultraviolet: clear again",
            (("film", clear.thin), ("film", keep)),
        )
    else:
        yield Reason(False, "{0} of clear where it is thinnest", (("film", clear.thin),))
    removed = case.used.removed.get("clear", 0.0)
    if removed:
        yield from _budget(case)
    if case.dulled and float(scratch_width.si(after.scratch)) > float(seen_width.si("point lamp")):
        yield Reason(
            True,
            f"scratches of {after.paper}, {{0}} deep, are left in the clear: finer, then polish",
            (("scratch_depth", after.scratch),),
        )
    yield from waves_reasons(after, painted=True)
    yield from _ring(after, painted=True)


def _budget(case: Case) -> Iterator[Reason]:
    limits = {key: row["micrometres"] * 1e-6 for key, row in load_data("polishing_limits").items()}
    off = case.before.film["clear"].mean - case.after.film["clear"].mean
    if off > limits["warn"]:
        yield Reason(
            off > limits["fail"],
            "{0} of clear went in this step; published limits are {1} and {2}",
            (("film", off), ("film", limits["warn"]), ("film", limits["fail"])),
        )
