"""What the learner is shown of the printed cases is what the tests read; the way links to what is there."""

import tomllib
from pathlib import Path

import pytest

from coursekit import belief, lesson, quantities, spraying
from coursekit.course.notebooks import notebooks
from coursekit.lesson.pages import evidence
from coursekit.lesson.pages.path import path
from coursekit.quantities import InputError

ROOT = Path(__file__).parents[1]
FILES = sorted((ROOT / "tests" / "published").glob("*.toml"))


def test_every_case_is_shown():
    assert set(evidence.cases()) == {file.stem for file in FILES}
    for file in FILES:
        found = tomllib.loads(file.read_text(encoding="utf-8"))["case"]
        assert evidence.cases()[file.stem] == found
    total = sum(len(found) for found in evidence.cases().values())
    assert f"{total} cases from " in str(lesson.checks()) and total > 40


def test_the_cases_are_installed_with_the_course():
    """An installed course has no tests folder: the same files go with it."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert project["tool"]["setuptools"]["data-files"]["share/coursekit/published"] == ["tests/published/*.toml"]


def test_a_case_is_carried_out_and_shown_with_source_and_reason():
    text = str(lesson.checks("film"))
    # MIL-HDBK-1110 rounds 1604 sq ft/gal at 1 mil to 1600
    assert "1600 sq ft/gal | 1604.2 sq ft/gal | 0.3 %: the handbook rounds" in text
    assert lesson.checks("film", "mixing").html.count("<details>") == 2
    for bad in ("nothing", 3, None, ["film"]):
        with pytest.raises(InputError, match="There are"):
            lesson.checks(bad)


def test_refusals_and_misprints_are_rows_too():
    every = [case for found in evidence.cases().values() for case in found]
    refused = next(case for case in every if "refuses" in case)
    assert evidence.computed(refused).startswith("refused: ")
    misprint = next(case for case in every if "misprint" in case)
    assert "a misprint" in " ".join(evidence._row(misprint))


def test_each_fact_in_print_is_shown_with_what_it_did():
    """What the page says is what the belief computes: a fact and a print each, and where two of them disagree."""
    text = str(lesson.facts())
    gun = [fact for fact in belief.facts().values() if fact.call.startswith("spraying.")]
    assert text.count(" | ") >= 6 * (len(gun) + 1) + 4 * (len(belief.facts()) - len(gun) + 1)
    assert {fact.call.split(".")[0] for fact in belief.facts().values()} == {
        "spraying",
        "sanding",
        "drying",
        "colour",
        "mixing",
    }
    for fact in belief.facts().values():
        assert fact.says in text
    usual = dict(belief.told()["transfer_efficiency"].at)
    row = next(
        one
        for one in belief.evidence(spraying.spray_setting, "account.transfer_efficiency", **usual)
        if one.fact.key == "transfer-door"
    )
    for band in (row.before, row.all, row.alone, row.foretold, row.held):
        assert quantities.shown_band(band.low, band.high, "transfer_efficiency") in text
    shared = [fact for fact in belief.facts().values() if len(fact.prints) > 1]
    assert text.count(" prints disagree about ") + text.count(" prints differ about ") == len(shared) == 5
    assert "62 % (50 to 74 %) and 55 % (45 to 65 %). A gun has to agree with one of" in text.replace("\u202f", " ")
    assert row.held.low < 0.55 < 0.62 < row.held.high


def test_what_a_fact_speaks_of_narrows_with_all_facts():
    """Source: each row of tables/facts/ names its own."""
    usual = dict(belief.told()["transfer_efficiency"].at)
    for row in belief.evidence(spraying.spray_setting, "wet_film", **usual):
        assert row.held.high / row.held.low < row.foretold.high / row.foretold.low, row.fact.key


def test_way_links_only_to_what_is_there(tmp_path):
    (tmp_path / "01-film.ipynb").write_text("{}")
    markup = path(tmp_path).html
    assert markup.count("<a href=") == 1 and 'href="01-film.ipynb"' in markup
    assert markup.count("(not in this folder)") == len(notebooks()) - 2
    names = [row["file"] for row in notebooks()]
    assert names == sorted(names) and {p.stem for p in (ROOT / "notebooks").glob("*.ipynb")} <= set(names)


def test_data_sheet_shows_what_is_written_follows_and_is_missing(tmp_path):
    text = str(lesson.data_sheet("surfacer"))
    assert 'mass_solids = "62 %"' in text and "Volume solids: 42.5" in text and "Missing, ask for it" in text
    mine = tmp_path / "mine.toml"
    mine.write_text('[door]\nkind = "surfacer"\nmass_solids = "60 %"\ndensity = "1.3 kg/L"\n')
    assert "worked out from mass solids and density" in str(lesson.data_sheet("door", mine))
    for bad in ("nothing", None, 3):
        with pytest.raises(InputError):
            lesson.data_sheet(bad)
