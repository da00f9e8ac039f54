"""Text on any console: one that knows no µ or no thin space gets the nearest plain sign instead of an error."""

from __future__ import annotations

import codecs
import sys
import unicodedata

PLAIN = "coursekit-plain"
_SIGNS = {
    "\N{NARROW NO-BREAK SPACE}": " ",
    "\N{NO-BREAK SPACE}": " ",
    "\N{THIN SPACE}": " ",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{MINUS SIGN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{MIDDLE DOT}": "|",
    "\N{MICRO SIGN}": "u",
    "\N{GREEK SMALL LETTER MU}": "u",
    "\N{DEGREE SIGN}": "deg ",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{LESS-THAN OR EQUAL TO}": "<=",
    "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{ALMOST EQUAL TO}": "~",
    "\N{GREEK CAPITAL LETTER DELTA}": "d",
    "\N{SQUARE ROOT}": "root of ",
}


def plain(text: str) -> str:
    """The text in ASCII, as near as can be."""
    return "".join(_plain(sign) for sign in text)


def _plain(sign: str) -> str:
    if sign.isascii():
        return sign
    found = _SIGNS.get(sign) or unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
    return found or "?"


def _replaced(error: UnicodeError) -> tuple[str, int]:
    """What a console gets for the signs it cannot print."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end


def prepare() -> None:
    """Have standard output and error print every text from now on."""
    codecs.register_error(PLAIN, _replaced)
    for stream in (sys.stdout, sys.stderr):
        if reconfigure := getattr(stream, "reconfigure", None):
            reconfigure(errors=PLAIN)
