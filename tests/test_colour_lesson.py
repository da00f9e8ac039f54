"""The benches of colour against the general colour library and what must hold."""

import re

import numpy as np
import pytest

from coursekit import lesson
from coursekit.lesson.content.shared.colours import COLOURS, strip
from coursekit.lesson.pages import measurement_form
from tests.calls import refused


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


def test_two_colours_against_the_library():
    import colour as reference

    bench = lesson.bench("two-colours").set(colour_name="demo red", lighter="2", redder="-3", yellower="4")
    old = np.array(COLOURS["demo red"], dtype=float)
    there = float(reference.delta_E(old, old + np.array([2, -3, 4]), method="CIE 2000"))
    assert bench.result.apart == pytest.approx(there, abs=1e-3)
    assert "lighter by 2, greener by 3, yellower by 4" in bench.words and f"difference of {there:.2g}" in bench.words
    assert "A screen shows no flake" in bench.words


@pytest.mark.parametrize("name", COLOURS)
def test_swatches_are_right_in_srgb(name):
    import colour as reference

    lab = np.array(COLOURS[name], dtype=float)
    xyz = reference.Lab_to_XYZ(lab, reference.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
    expected = np.clip(reference.XYZ_to_sRGB(xyz), 0, 1) * 255
    shown = strip([lab])[0].hex
    assert [int(shown[n : n + 2], 16) for n in (1, 3, 5)] == pytest.approx(expected, abs=1.5)
    assert shown in lesson.bench("two-colours").set(colour_name=name).html


def test_hiding_counts_coats_and_a_card_narrows_them():
    bench = lesson.bench("hiding")
    wide = bench.result.hiding
    assert wide["strong"].coats < wide["middle"].coats < wide["weak"].coats
    assert f"{wide['strong'].coats} to {wide['weak'].coats} coats" in bench.words
    assert np.all(np.diff(bench.result.worst.middle) < 0), "each coat hides more"
    thin, thick = (
        bench.set(coat_film=film, coats=coats).result.spread for film, coats in (("5 µm", "4"), ("20 µm", "1"))
    )
    assert thin == pytest.approx(thick, rel=1e-9), "film counts, not the number of coats"
    measurement_form.enter(
        "hiding_card", {"dry_film": "15", "thick": "#a01d1d", "over_white": "#b4403c", "over_black": "#8b1515"}
    )
    narrow = lesson.bench("hiding").result.hiding
    # The card of this paint hides badly, so all counts grow: the ratio of the ends tells what is known.
    assert narrow["weak"].coats / narrow["strong"].coats < wide["weak"].coats / wide["strong"].coats


def test_a_wider_blend_is_flatter_and_metallic_is_refused():
    bench = lesson.bench("blend")
    near = bench.set(first_reach="60 mm", further="20 mm").result
    far = bench.set(first_reach="250 mm", further="150 mm").result
    assert far.score.middle < near.score.middle < 1 and far.bare == pytest.approx(near.bare)
    assert far.score.low <= far.score.middle <= far.score.high and "relative" in bench.words
    for paint in ("metallic", "pearl"):
        with refused("not computed", "paint"):
            bench.set(paint=paint)
        assert "Only solid" in bench.words and 'role="alert"' in bench.html
    assert bench.set(paint="solid").error == ""
    strips = re.findall(r'fill="(#[0-9a-f]{6})"', bench.html)
    assert strips[0] != strips[26], "the blend runs from the new colour to the old"
    assert "nothing to blend" in bench.set(lighter="0", yellower="0").words
