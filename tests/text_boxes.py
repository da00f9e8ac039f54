"""Where the words of a drawing stand, measured without a browser: none may leave its drawing or lie on another.

The letters are those of DejaVu Sans, which matplotlib brings along: wider than most that a page is shown in, and the
same on every machine.
"""

import functools
import itertools
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import matplotlib
from PIL import ImageFont

LETTERS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
ASCENT, DESCENT = 0.74, 0.2  # of the size of a letter, over and under the line it stands on
OUT, ON = 1.0, 1.5  # px of a drawing that pass: out of it, on the line of another word
APART = 3.0  # px between words of one line
COLUMN = 540.0  # px, the picture's column beside the controls at 1280 × 800 with Lab's file browser open
NUMBER = r"-?[\d.]+"


@functools.lru_cache(maxsize=4)
def _font(bold):
    return ImageFont.truetype(LETTERS / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"), 100)


@functools.lru_cache(maxsize=20_000)
def wide(words, size, bold=False):
    """How wide words are, in px."""
    return _font(bold).getlength(words) * size / 100


def drawings(markup):
    """The outermost drawings of a piece of page."""
    markup = re.sub(r"(<img[^>]*[^/])>", r"\1/>", markup).replace("&nbsp;", " ")
    left = [ElementTree.fromstring(f"<all>{markup}</all>")]
    while left:
        one = left.pop()
        if one.tag == "svg":
            yield one
        else:
            left += list(one)


def faults(markup):
    """What is wrong with the words of the drawings in a piece of page, each in a line."""
    return [fault for one in drawings(markup) for fault in _faults(one)]


def _faults(drawing):
    left, top, width, height = map(float, drawing.get("viewBox").split())
    least = re.search(r"min-width:([\d.]+)px", drawing.get("style", ""))
    if least and float(least[1]) > COLUMN:
        yield f"is {least[1]} px wide at least: one has to scroll it sideways"
    found = [box for one, around in _texts(drawing, (), {}) for box in _box(one, *around)]
    for words, (x0, y0, x1, y1) in found:
        out = max(left - x0, x1 - left - width, top - y0, y1 - top - height)
        if out > OUT:
            yield f"“{words}” leaves its drawing by {out:.0f}"
    for (words, a), (other, b) in itertools.combinations(found, 2):
        across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
        if across > -APART and up > ON:
            yield f"“{words}” lies on “{other}” by {across:.0f} × {up:.0f}"


def _texts(one, moves, look):
    """Every text below an element, with the moves and the look that hold for it."""
    look = {**look, **{key: one.get(key) for key in ("font-size", "font-weight", "class") if one.get(key)}}
    moves = (*moves, one.get("transform")) if one.get("transform") and one.tag != "text" else moves
    if one.tag == "text":
        yield one, (moves, look)
    for inner in one:
        yield from _texts(inner, moves, look)


def _box(one, moves, look):
    words = "".join(one.itertext()).strip()
    if not words or one.get("opacity") == "0":
        return
    size, bold = (
        float(look["font-size"]),
        "ck-on" in look.get("class", "") or look.get("font-weight") in ("bold", "700"),
    )
    length, x, y = wide(words, size, bold), float(one.get("x")), float(one.get("y"))
    begin = x - {"start": 0.0, "middle": length / 2, "end": length}[one.get("text-anchor", "start")]
    box = begin, y - ASCENT * size, begin + length, y + DESCENT * size
    turned = one.get("transform")
    if turned:
        angle, about_x, about_y = map(float, re.findall(NUMBER, turned))
        assert angle == -90, turned
        box = (
            about_x + box[1] - about_y,
            about_y - box[2] + about_x,
            about_x + box[3] - about_y,
            about_y - box[0] + about_x,
        )
    for move in reversed(moves):
        across, down = map(float, re.fullmatch(rf"translate\(({NUMBER})[ ,]+({NUMBER})\)", move).groups())
        box = box[0] + across, box[1] + down, box[2] + across, box[3] + down
    yield words, box
