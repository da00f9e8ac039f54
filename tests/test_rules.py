"""The rules by which a repair is planned: complete, with a source that bears out how sure each is said to be."""

import math
from itertools import pairwise

import pytest

from coursekit.repair.rules import SURE_WORDS, reach, rule, rules
from coursekit.repair.vocabulary import materials, tools
from coursekit.sanding.grits import read_grade
from coursekit.sanding.progression import SHAPING

RULES = pytest.mark.parametrize("one", rules().values(), ids=lambda one: one.key)
BORNE_OUT = {
    "published": ("published",),
    "weak": ("published",),
    "usual": ("from memory", "common practice, no source"),
    "assumed": ("assumed", "derived"),
}


@RULES
def test_a_rule_says_why_and_how_sure_it_is(one):
    assert one.says and one.why and one.sure in SURE_WORDS
    assert one.why in str(one) and SURE_WORDS[one.sure] in str(one)
    if one.sure == "disputed":
        assert one.other, f"{one.key} is disputed, and does not say by what"
    else:
        assert one.source.kind in BORNE_OUT[one.sure], (
            f"{one.key} is called {one.sure}, its source is {one.source.kind}"
        )


@RULES
def test_a_number_lies_between_its_ends(one):
    if not math.isnan(one.value):
        assert one.low <= one.value <= one.high


@RULES
def test_papers_of_a_stage_follow_one_another(one):
    """The ones that are wanted go from coarse to fine, and no step is larger than for shaping."""
    if one.key.startswith("papers."):
        grains = [read_grade(paper).grain_size for paper in one.more["wanted"]]
        assert all(1 < before / after <= SHAPING for before, after in pairwise(grains))
        for paper, others in zip(one.more["wanted"], one.more["either"], strict=True):
            assert others[0] == paper and all(read_grade(other) for other in others)


def test_a_film_of_a_coat_is_that_of_a_material_of_the_course():
    names = set(materials()) | {"primer", "surfacer-on-paint", "recoat", "proud", "second-filler"}
    assert {key.partition(".")[2] for key in rules() if key.startswith("coats.")} <= names


def test_lengths_are_in_metres_and_blocks_are_known():
    assert reach("surfacer") == pytest.approx(0.05)
    assert rule("block.sagitta").value == pytest.approx(0.3e-3)
    assert rule("coats.surfacer").more["coats"] == [2, 4]
    assert "long board" in tools()


def test_metal_is_never_answered_by_surfacer_alone():
    for sheet in ("steel", "aluminium"):
        assert rule(f"ground.{sheet}").more["needs"] == "epoxy primer"
