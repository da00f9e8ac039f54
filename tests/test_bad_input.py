"""Whatever a person gives, a public call answers or raises the one documented error: two hundred tries a call."""

import contextlib
import datetime
import decimal
import fractions
import inspect
import math
import random
import signal
import zlib

import numpy as np
import pint
import pytest

from coursekit.quantities import InputError
from tests.calls import fair_arguments, public_calls

TRIES = 200
SECONDS = 2.0  # for one call
UREG = pint.get_application_registry()
FOREIGN = pint.UnitRegistry()


class Odd:
    """Looks like a quantity, is none."""

    magnitude = "many"
    dimensionality = {}  # noqa: RUF012

    def __repr__(self):
        return "odd " * 1000


class Hostile:
    def __getattr__(self, name):
        raise RuntimeError(name)

    def __eq__(self, other):
        raise RuntimeError("eq")

    __hash__ = None

    def __float__(self):
        raise RuntimeError("float")


def nested(depth):
    found = []
    for _ in range(depth):
        found = [found]
    return found


SELF = []
SELF.append(SELF)

FIXED = [
    None,
    object(),
    Odd(),
    Hostile(),
    print,
    type,
    len,
    True,
    False,
    b"120 \xff",
    bytearray(b"x"),
    {"a": 1},
    {"turns": "x"},
    {1: []},
    {1, 2},
    range(3),
    0,
    1,
    -1,
    4,
    0.5,
    -0.0,
    60,
    10**400,
    -(10**400),
    1e308,
    -1e308,
    1e-320,
    math.nan,
    math.inf,
    -math.inf,
    3 + 4j,
    decimal.Decimal("1.5"),
    decimal.Decimal("NaN"),
    fractions.Fraction(1, 3),
    datetime.timedelta(minutes=3),
    np.float32(3),
    np.int64(-5),
    np.nan,
    np.array([]),
    np.array([1.0, np.nan]),
    np.array(["a"]),
    np.array([None]),
    np.ma.masked,
    np.datetime64("2026-01-01"),
    np.zeros((2, 3)),
    np.str_("x"),
    [],
    [[]],
    (),
    [None],
    ["a", "b"],
    ["1 mm", "2 kg"],
    ["1 mm", None],
    [1, [2, 3]],
    [["1 mm"], ["1 mm", "2 mm"]],
    ["1 mm"] * 3,
    nested(3),
    nested(5000),
    SELF,
    [0] * 100_001,
    [math.nan],
    ["nan mm"],
    (1, 2, 3),
    [object()],
    ["P320"] * 200,
    "",
    " ",
    "\n",
    "\0",
    "nan",
    "inf",
    "-inf",
    "nan mm",
    "inf s",
    "None",
    "x" * 41,
    "9" * 100_000,
    "4",
    "-4",
    "4;1;1",
    "4;1",
    "1,5 mm",
    "1.000,5 mm",
    "1 000 mm",
    "10**10**10 m",
    "10**8",
    "2*3 mm",
    "1/0",
    "(1 mm)",
    "1e999 m",
    "1e99 m",
    "1e-99 m",
    "-1e99 s",
    "0 m",
    "0",
    "0 kg",
    "0 L",
    "0 s",
    "0 %",
    "-5 %",
    "150 %",
    "1e9 %",
    "100 %",
    "0x10 mm",
    "1_0 mm",
    "mm",
    "mm 5",
    "5 mmm",
    "5 oz",
    "5 Gal",
    "5 m^9",
    "5 m/s/s",
    "5 m//s",
    "5 /",
    "5 °",
    "5 °C",
    "-400 °C",
    "5 K",
    "5 Δ°C",
    "2 psia",
    "2 psig",
    "2 bar abs",
    "9 cfm",
    "9 scfm",
    "1 atm",
    "20 %RH",
    "5 turns",
    "3 coats",
    "5 m m m",
    "5 m·",
    "P320",
    "p 320",
    "P",
    "P0",
    "P-320",
    "P1e9",
    "P99999",
    "320",
    "CAMI 320",
    "#320",
    "F320",
    "JIS 1000",
    "P320.5",
    "P320" * 8,
    "4:1:1",
    "4:0:0",
    "0:0",
    ":",
    "4:",
    "4:-1",
    "4:nan",
    "1:1e308",
    "1e308:1e308",
    ":".join(["1"] * 500),
    "4:1 +",
    "4:1 +10%",
    "4:1 +1e99 %",
    "4:1 + -5 %",
    "1e-99:1",
    "<script>",
    "'; drop table",
    "{0}",
    "%s",
    "\\u0000",
    "١٢ mm",
    "12 mm",
    "µ",
    "5 μm",
    "½ mm",
    "∞ m",
    "5 mm",
    "5\N{NARROW NO-BREAK SPACE}%",
    "\N{MINUS SIGN}5 mm",
    "5 m²",
    "5 m⁴",
    "e\u0301" * 5,
    "\ud800",
    "🚗 m",
    "5 🚗",
    "\u202e5 mm",
    "__import__('os')",
    "../../etc",
    "metric",
    "us",
    "METRIC",
    "metric " * 5,
]
NUMBERS = "0 1 -1 0.001 1e-30 1e30 1e99 7 65 273.15 1e5 99999999 .5 5. -3e4".split()
UNITS = [
    "",
    "sq ft",
    "fl oz",
    *(
        "m µm mil ft m² L gal g kg lb s min h d °C °F K % ppm psi bar kPa psia N lbf m/s ft/min kg/L lb/gal mPa·s "
        "mm²/s cSt mN/m L/min scfm ° rad m²/L g/m² 1/GPa kJ/mol g/mol /h GPa/m"
    ).split(),
]
PINT_UNITS = (
    "meter kilogram second kelvin degC delta_degC dimensionless percent psi radian mil meter**2 liter gram/liter "
    "pascal*second newton candela bit mole"
).split()
MAGNITUDES = [
    0,
    1,
    -1,
    1e-30,
    1e300,
    math.nan,
    math.inf,
    10**400,
    "x",
    None,
    [1, 2],
    np.array([1.0, math.nan]),
    3 + 4j,
    np.array(["a"]),
]


def generated(rng):
    """One bad or doubtful value."""
    kind = rng.randrange(6)
    if kind <= 2:
        return rng.choice(FIXED)
    if kind == 3:
        return f"{rng.choice(NUMBERS)} {rng.choice(UNITS)}"
    if kind == 4:
        registry = rng.choice([UREG, FOREIGN])
        with contextlib.suppress(Exception):  # pint itself may refuse to make it
            return registry.Quantity(rng.choice(MAGNITUDES), rng.choice(PINT_UNITS))
        return None
    letters = range(rng.randrange(60))
    return "".join(chr(rng.choice([rng.randrange(32, 127), rng.randrange(1, 0x2FFF)])) for _ in letters)


@contextlib.contextmanager
def time_limit():
    def late(*_):
        raise TimeoutError(f"took longer than {SECONDS} s")

    if not hasattr(signal, "setitimer"):
        yield
        return
    signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)


def holds_nan(value):
    if hasattr(value, "magnitude"):
        value = value.magnitude
    if isinstance(value, (list, tuple)):
        return any(holds_nan(v) for v in value)
    if isinstance(value, (float, np.floating, np.ndarray)):
        return np.asarray(value).dtype.kind == "f" and bool(np.any(np.isnan(value)))
    return False


def short(value):
    try:
        return repr(value)[:80]
    except Exception:
        return type(value).__name__


CALLS = [pytest.param(path, call, id=path) for path, call in public_calls()]


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_fair_input_is_taken(path, call):
    """Without this, the bad inputs below would stop at an argument that was not meant."""
    assert not holds_nan(call(**fair_arguments(path, call)))


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_bad_input_raises_only_the_documented_error(path, call):
    fair = fair_arguments(path, call)
    arguments = list(inspect.signature(call.si).parameters)
    if not arguments:
        return
    rng = random.Random(zlib.crc32(path.encode()))
    refused = 0
    for number in range(TRIES):
        spoiled = rng.sample(arguments, 2 if len(arguments) > 1 and number % 10 == 0 else 1)
        given = {**fair, **{argument: generated(rng) for argument in spoiled}}
        told = ", ".join(f"{a}={short(given[a])}" for a in spoiled)
        try:
            with time_limit():
                result = call(**given)
        except InputError as error:
            text = str(error)
            assert 10 < len(text) < 600, f"{path}({told}): the message is {len(text)} characters long"
            assert error.argument, f"{path}({told}): the message names no argument"
            refused += 1
        except Exception as error:
            pytest.fail(f"{path}({told}) raised {type(error).__name__}, not InputError: {str(error)[:200]}")
        else:
            assert not holds_nan(result), f"{path}({told}) took it and gave nan"
    assert refused > TRIES / 4


@pytest.mark.parametrize(("path", "call"), CALLS)
def test_arguments_that_are_none_are_refused_by_name(path, call):
    with pytest.raises(InputError) as refusal:
        call(no_such_argument=1)
    assert refusal.value.argument == "no_such_argument" and path.rpartition(".")[2] in str(refusal.value)
    with pytest.raises(InputError) as refusal:
        call(*[1] * 60)
    assert refusal.value.argument == call.path
