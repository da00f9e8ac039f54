"""What the course must never say, wherever it says it: text of notebooks, tables and the package's own sentences."""

import functools
import json
import re
import tomllib
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest

from coursekit import lesson, repair
from coursekit.__main__ import main
from coursekit.lesson.pages.cautions import cautions
from coursekit.lesson.teaching.paper import CARE, paper
from coursekit.lesson.teaching.static_page import lesson_page
from coursekit.measurements import ways
from coursekit.repair.cautioning import NOT_CLEARANCE, care_lines
from tests.test_garage import literals

ROOT = Path(__file__).parent.parent
BLOW = re.compile(r"\bblow(n|ing)?\b|\bair gun\b|\bair line\b|\bblasts?\b", re.IGNORECASE)
NEVER = re.compile(r"\b(never|not)\b", re.IGNORECASE)


DEED = "(spray|breathe|burn|sand|mix|light|enter)"
DONE = "(sprayed|breathed|inhaled|burnt|burned|lit|entered)"
# What reads as leave to do what can hurt somebody, or as a promise that it does not.
LEAVE = re.compile(
    "|".join(
        [
            r"\bsafe(ly)?\b(?! side| data)|\bharmless\b|\bbreathable\b|\ball clear\b",
            rf"\b(can|may|could) ((now|then|safely|well) )?be {DONE}\b",
            rf"\b(you|one|we|they|who) (can|may|could) ((now|then|safely|well) )?{DEED}\b",
            rf"\b(clear|cleared|free|allowed|permitted|fit|fine|ok|okay|good) to (be )?({DEED}|{DONE})\b",
            r"\b(go ahead|good to go|green light|feel free)\b",
            r"\bno (risk|danger|hazard|mask|protection)\b|\bno need\b",
            r"\bwithout (a |any |the )?(mask|protection|risk|danger)\b",
            r"\b(mask|filter|cartridge|respirator|hood|air|protection)s? (is|are|was) "
            r"(enough|sufficient|adequate|not needed|not required|unnecessary)\b",
            r"\b(take off|remove) (the|your) (mask|hood|visor)\b",
        ]
    ),
    re.IGNORECASE,
)
# Sentences that hold such words and deny them; what else stands in the same text is still read.
DENIED = (
    "what may be sprayed in that garage at all",
    "what may be sprayed where is for your local rules",
    "What may be sprayed, where and with what gun is for your local rules",
    "They never tell you when the air may be breathed",
    "never when it may be breathed",
    "never whether it may be breathed",
    "it says nothing about when the air may be breathed",
    "When the room may be entered is not in these numbers",
    "No mask stops a fire",
    "for spraying two-part paint no mask from this list",
    "stiff block lies safely on a",  # of sanding
    "no need to double",  # of a number
)


def leave(text: str) -> list[str]:
    """What in a text reads as leave."""
    told = " ".join(text.split())
    for denied in DENIED:
        told = told.replace(denied, "")
    return [found[0] for found in LEAVE.finditer(told)]


def strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from strings(one)
    elif isinstance(value, list):
        for one in value:
            yield from strings(one)


@functools.lru_cache(maxsize=1)
def texts() -> tuple[tuple[Path, str], ...]:
    return tuple(_texts())


def _texts() -> Iterator[tuple[Path, str]]:
    for path in sorted(ROOT.glob("notebooks/*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            yield from ((path, line) for line in "".join(cell["source"]).splitlines())
    for path in sorted((ROOT / "coursekit").rglob("*.toml")):
        yield from ((path, text) for text in strings(tomllib.loads(path.read_text(encoding="utf-8"))))
    for path in sorted((ROOT / "coursekit").rglob("*.py")):
        yield from ((path, text) for text in literals(path))
    for path in [
        ROOT / "README.md",
        *(one for end in ("html", "js") for one in (ROOT / "coursekit").rglob(f"*.{end}")),
    ]:
        yield from ((path, line) for line in path.read_text(encoding="utf-8").splitlines())


def blows_dust(text: str) -> bool:
    """Whether a text on dust has a sentence on blowing that does not forbid it."""
    if "dust" not in text.casefold():
        return False
    return any(BLOW.search(sentence) and not NEVER.search(sentence) for sentence in re.split(r"(?<=[.!?])\s", text))


def test_sanding_dust_is_never_blown():
    found = [f"{path.relative_to(ROOT)}: {text}" for path, text in texts() if blows_dust(text)]
    assert not found


@pytest.mark.parametrize(
    ("text", "blown"),
    [
        ("Blow, wipe, wash, and wipe dry: sanding dust under a coat is a coat that peels.", True),
        ("Take the dust off with the air gun.", True),
        ("Sanding dust: vacuum it up; never blow it off.", False),
        ("Fold it over the width of a finger, and blow less.", False),
    ],
)
def test_the_search_for_blown_dust_finds_it(text, blown):
    assert blows_dust(text) is blown


def test_no_text_of_the_course_reads_as_leave():
    """Every sentence that is written anywhere, as it is written: notebooks, tables, scripts, pages, code."""
    found = [f"{path.relative_to(ROOT)}: {leave(text)} in {text}" for path, text in texts() if leave(text)]
    assert not found
    told = " ".join(" ".join(text.split()) for _, text in texts())
    assert all(denied in told for denied in DENIED), "what nobody says any more is taken out"


@pytest.mark.parametrize(
    ("place", "known"),
    [
        ("coursekit/lesson/content/scripts/at_the_gun.toml", "no filter mask protects against it"),
        ("coursekit/lesson/content/benches/pot_life.py", "what its data sheet says rules"),
        ("coursekit/lesson/teaching/static_page.html", "Drag a slider"),
        ("coursekit/lesson/teaching/paper.py", "not clearance to spray"),
        ("coursekit/lesson/plan/overview.py", "No plan was found that holds"),
        ("coursekit/repair/sheet_wall.py", "Computed, not a clearance."),
        ("coursekit/repair/judging.py", "what does not hold is not compared"),
        ("coursekit/repair/proposal.py", "The one that comes nearest fails here"),
        ("coursekit/repair/cautioning.py", "not clearance to spray"),
        ("coursekit/tables/data/packs.toml", "does not protect against isocyanate"),
        ("coursekit/tables/data/wall_cautions.toml", "supplied air only"),
        ("coursekit/tables/data/planning.toml", "supplied air from a system of its own"),
        ("notebooks/25-teach-a-class.ipynb", "lesson.cautions("),
        ("README.md", "coursekit"),
    ],
)
def test_the_walk_reaches_what_is_told_to_others(place, known):
    assert any(known in text for path, text in texts() if path == ROOT / place)


@pytest.mark.parametrize(
    "text",
    [
        "At this setting the air is safe.",
        "The mix can be sprayed for 40 min.",
        "Now you may spray.",
        "It is safe to breathe.",
        "The room may now be entered.",
        "No mask is needed for base.",
        "Supplied air is not needed here.",
        "{now.level}: you can breathe it without a mask.",
        "A filter mask is enough. No mask stops a fire.",
        "Go ahead: every verdict holds.",
    ],
)
def test_the_search_for_leave_finds_it(text):
    assert leave(text)


# What each measurement is, of the work that can hurt; of a scale on a bench and a ruler on a board nothing is told.
WORK = {
    **dict.fromkeys(
        ("delivery", "delivery_by_weight", "transfer", "pattern", "comb", "turns", "landing"), "spraying"
    ),
    **dict.fromkeys(("ramp", "flash_card", "hiding_card"), "spraying"),
    **dict.fromkeys(("receiver", "gauge", "printed"), "compressed air"),
    **dict.fromkeys(("force", "pad"), "nothing"),
    "removal": "sanding",
    "panel_lag": "vapour",
    "cup_doubling": "mixing",
    "smoke_test": "air changes",
}
SAID = {
    "spraying": ("This is spraying: supplied air for anything two-part", "data sheet", "no flame"),
    "mixing": ("gloves", "eye cover", "mask", "sensitised", "outdoors"),
    "sanding": ("mask with particle filter", "lead"),
    "compressed air": ("Compressed air injures", "eye cover"),
    "vapour": ("No heater, flame or switch once a can is open",),
    "air changes": ("never shortens what the data sheet or the local code requires", "No flame"),
    "nothing": (),
}
STEPS = {
    "spraying": r"\b[Ss]pray\b(?! at)|one pass|mixed paint|Paint and air",
    "mixing": r"\b[Mm]ix a\b",
    "sanding": r"Sand it",
}


@pytest.mark.parametrize("key", WORK)
def test_a_measurement_says_beside_its_steps_what_can_hurt(key):
    """Who sprays is told of supplied air, who mixes of gloves, who sands of a mask."""
    way, work = ways()[key], WORK[key]
    assert all(words in way.caution for words in SAID[work]) and bool(way.caution) is (work != "nothing")
    assert [one for one, deed in STEPS.items() if re.search(deed, " ".join(way.steps)) and one != work] == []


def test_of_every_measurement_it_is_known_what_can_hurt():
    assert set(WORK) == set(ways()) and set(WORK.values()) == set(SAID)


def test_a_repair_says_its_cautions_on_the_command_line_and_where_it_is_dragged(capsys):
    """All of those that its steps ask for, from the table, and that nothing is cleared."""
    path = repair.demo_path("impatient_repair")
    assert main(["play", str(path)]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    bench = lesson.play_repair(path)
    asked = list(care_lines(bench.played))
    assert len(asked) > 8 and asked[-1] == NOT_CLEARANCE and any("isocyanate" in line for line in asked)
    assert all(line in printed and line in repr(bench) for line in asked)
    drawn = unescape(bench._repr_mimebundle_()["text/html"])
    assert all(line.removeprefix("Caution: ") in drawn for line in asked)


@pytest.mark.parametrize("kind", ["exercises", "key", "cards"])
def test_paper_in_plain_text_says_the_cautions_that_its_page_shows(kind):
    """Every line of them: text goes where the page does not, to a terminal or into a message."""
    page = paper(kind, "19-air-you-breathe" if kind != "cards" else "", "gatepost", ["Ada"])
    shown = re.findall(
        r"<li>(.*?)</li>", " ".join(re.findall(r'<div class="ck-take-care".*?</div>', page.html, re.S))
    )
    assert len(shown) > 3 and all(unescape(line) in page.words for line in shown)
    assert CARE in page.words and CARE in unescape(page.html)


def test_a_page_without_python_says_its_cautions_in_plain_text_too():
    page = lesson_page("19-air-you-breathe", "gatepost", "Ada")
    assert CARE in page.words and all(line in page.words for line in cautions("isocyanate").text.splitlines())


@pytest.mark.parametrize("text", ["See the safety data sheet.", "A paint ready to spray.", "No mask stops a fire."])
def test_the_search_for_leave_passes_what_gives_none(text):
    assert not leave(text)
