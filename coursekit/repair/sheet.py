"""The job sheet that goes to the garage: one HTML page that needs no other file, for A4 and Letter, in grey."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from coursekit.garage import cautions
from coursekit.markup import Markup, each, items, paragraph, table, tag
from coursekit.nomenclature import System
from coursekit.repair import sheet_gun as gun
from coursekit.repair import sheet_masks as masking
from coursekit.repair import sheet_mixing as mixing
from coursekit.repair import sheet_packs as packs
from coursekit.repair import sheet_parts as parts
from coursekit.repair import sheet_shopping as buying
from coursekit.repair import sheet_wall as wall
from coursekit.repair.cautioning import caution_topics, first_cautions
from coursekit.repair.entry import Entry, SprayEntry
from coursekit.repair.forecast import Weather
from coursekit.repair.hardeners import hardener_of, sprayed
from coursekit.repair.plan import plan_checks, plan_lines
from coursekit.repair.playing import RecipeLike, Replay, as_replay
from coursekit.repair.sheet_clock import night_words, picture, sentences, spells
from coursekit.repair.words import time_words
from coursekit.template import template, text_of

NOTHING = Markup("")
BOX = tag("span", class_="box")
CHECK = "\N{WHITE SQUARE}"  # a box to tick
HALF = 40  # rows of a table in two halves, on one page
SHORT = 12  # rows of a table that is kept on one page
FIRST = (
    "This sheet comes from a computed panel. It is a plan to check against, not clearance to spray, "
    "breathe or burn: the data sheets of your products, local rules and licensed practice come "
    "first."
)


def job_sheet(recipe: RecipeLike, system: System = "metric") -> str:
    """The job sheet of a recipe as HTML; the same bytes for the same recipe.

    recipe  a recipe, its replay or the path of its file
    system  "metric" or "us"
    """
    replay = as_replay(recipe)
    sections = [(heading, [block for block in blocks(replay, system) if block]) for heading, blocks in SECTIONS]
    return template("coursekit.repair", "sheet", style=text_of("coursekit.repair", "sheet.css")).render(
        title=replay.recipe.title, wall=wall.pages(replay, system), opening=_plan(replay, system), sections=sections
    )


# --- pieces of HTML ----------------------------------------------------------------------------------------


def _list(lines: Iterable[str], kind: str = "") -> Markup:
    told = list(lines)
    return items(told, kind) if told else NOTHING


def _table(head: Sequence[str], rows: Iterable[Sequence[str]], caption: str = "", tick: bool = False) -> Markup:
    """A table; `tick` gives each row a box to tick."""
    told = [tuple(BOX if cell == CHECK else cell for cell in ((CHECK, *row) if tick else row)) for row in rows]
    if not told:
        return NOTHING
    head = ("", *head) if tick else head
    return table(head, told, caption=caption, class_="short" if len(told) <= SHORT else "")


def _side_by_side(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Iterator[Markup]:
    """Tables that are read down the left half, then down the right one."""
    for first in range(0, len(rows), 2 * HALF):
        part = rows[first : first + 2 * HALF]
        left, right = part[: (len(part) + 1) // 2], part[(len(part) + 1) // 2 :]
        right = [*right, *[("",) * len(head)] * (len(left) - len(right))]
        yield _table((*head, *head), ((*a, *b) for a, b in zip(left, right, strict=True)))


Blocks = Sequence[Markup]


# --- sections ----------------------------------------------------------------------------------------------


def _plan(replay: Replay, system: System) -> Blocks:
    return [paragraph(parts.about(replay, system)), paragraph(FIRST)]


def _before(replay: Replay, system: System) -> Blocks:
    """What the checks of the plan found, and the steps after which the panel is not ready."""
    found = plan_checks(replay)
    blocks = [_first_cautions(replay, "room"), paragraph(next(plan_lines(replay, system)), "lead")]
    blocks.append(_list((f"Change: {one.text(system)}" for one in found if one.against), "against"))
    blocks.append(_list((_not_yet(entry, system) for entry in replay.not_yet), "against"))
    known = _list(one.text(system) for one in found if not one.against)
    if replay.recipe.forecast and replay.not_yet:
        held = parts.garage_words(replay.recipe, system)
        known += paragraph(f"“Not yet” is computed for one temperature, {held}; the rest follows the forecast.")
    return [*blocks, known]


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _not_yet(entry: Entry, system: System) -> str:
    reasons = "; ".join(reason.text(system) for reason in entry.verdict.reasons if reason.against)
    return f"Not yet after step {entry.step.number} ({entry.step.words}), because {reasons}."


def _shopping(replay: Replay, system: System) -> Blocks:
    words = f"Paint is counted with a reserve of {buying.RESERVE:.0%}. Strike out what you have already."
    return [
        paragraph(words, "lead"),
        _table(
            ("What", "Buy", "The repair needs", "Note"),
            ((one.what, one.words, one.need, one.note) for one in packs.to_buy(replay, system=system)),
            tick=True,
        ),
    ]


def _cost(replay: Replay, system: System) -> Blocks:
    found = buying.costs(replay)
    head = ("What", "Packs", "Used", "Wasted", "Wasted without the savings")
    return [
        *(paragraph(words) for words in found.words[:1]),
        _table(head, found.table),
        *(paragraph(words) for words in found.words[1:]),
    ]


def _time_line(replay: Replay, system: System) -> Blocks:
    weather = Weather(replay.recipe)
    held = parts.forecast_words(replay.recipe, system)
    words = (
        f"From the first step to the last it takes {time_words(replay.time)}. {held} Hatched: pot life. "
        "Grey: time to recoat or to sand. Dotted: between the two ends of what is "
        "known."
    )
    blocks = [
        tag(
            "div",
            picture(spell, weather, system),
            paragraph(" ".join(sentences(spell, weather, system))),
            class_="spell",
        )
        for spell in spells(replay, weather)
    ]
    rows = [
        (CHECK, str(entry.step.number), weather.clock(entry.began), weather.clock(entry.ended), entry.step.words)
        for entry in replay
    ]
    return [
        paragraph(words, "lead"),
        *blocks,
        paragraph(night_words(replay, weather), "against") if night_words(replay, weather) else NOTHING,
        tag("h3", "Every step by the clock"),
        *_side_by_side(("", "Step", "From", "To", "What"), rows),
    ]


def _papers(replay: Replay, system: System) -> Blocks:
    return [
        _first_cautions(replay, "dust"),
        _table(("Step", "Paper", "Tool and hand", "How much", "Where"), parts.papers(replay, system)),
        paragraph("A stroke goes one way: there and back are two."),
    ]


def _masking(replay: Replay, system: System) -> Blocks:
    if not any(isinstance(entry, SprayEntry) for entry in replay):
        return []
    drawn = list(masking.sketches(replay, system))
    return [
        tag("div", *drawn, class_="pair short") if drawn else NOTHING,
        _table(("Step", "Leave open", "Edge", "Sprayed through it", "Comes off"), masking.rows(replay, system)),
        paragraph(masking.unmasked(replay)) if masking.unmasked(replay) else NOTHING,
        _list(masking.advice(replay)),
    ]


def _mixing(replay: Replay, system: System) -> Blocks:
    tables = [
        tag("div", _table(mix.head, mix.rows, mix.title), paragraph(mix.note), class_="short")
        for mix in mixing.mixes(replay, system)
    ]
    if not tables:
        return []
    words = (
        "Stir each can, pour in this order, set the scale to zero with the empty cup. Weights rest on "
        "densities: put in those of your data sheets."
    )
    own = NOTHING if replay.recipe.cup else paragraph(mixing.NO_CUP)
    return [_first_cautions(replay, "skin and eyes"), paragraph(words), *tables, own]


def _gun(replay: Replay, system: System) -> Blocks:
    return [
        _first_cautions(replay, "isocyanate", "compressed air"),
        _list(_sentence(hardener_of(replay.recipe, name).words) for name in sprayed(replay.recipe)),
        _table(("Step", "Set", "Move", "Expect"), gun.cards(replay, system)),
        _list(gun.notes(replay, system)),
    ]


def _checks(replay: Replay, system: System) -> Blocks:
    rows = (
        (str(entry.step.number), entry.step.words, "; ".join(parts.checks(replay, entry, system))) for entry in replay
    )
    return [
        paragraph(parts.checks_words(replay.recipe), "lead"),
        _table(("After", "", "Look for"), (r for r in rows if r[2]), tick=True),
    ]


def _cautions(replay: Replay, system: System) -> Blocks:
    blocks = []
    for topic in caution_topics(replay):
        told = _list(caution.text for caution in cautions(topic))
        blocks.append(tag("div", tag("h3", topic[:1].upper() + topic[1:]), told, class_="short"))
    return [*blocks]


def _first_cautions(replay: Replay, *topics: str) -> Markup:
    """The first caution of each topic, where its work is planned; the others stand under Cautions."""
    return each("div", first_cautions(replay, *topics), class_="caution")


def _known(replay: Replay, system: System) -> Blocks:
    return [_list(parts.coefficients(replay.recipe, system))]


SECTIONS: tuple[tuple[str, Callable[[Replay, System], Blocks]], ...] = (
    ("Before anything is done", _before),
    ("To buy", _shopping),
    ("Cost and waste, in your currency", _cost),
    ("Timeline", _time_line),
    ("Papers and strokes", _papers),
    ("Masking plan", _masking),
    ("Mixing", _mixing),
    ("Gun settings", _gun),
    ("Checks between the steps", _checks),
    ("Cautions", _cautions),
    ("What is a band, and what is measured", _known),
)
