"""What a learner knows of a damage: panel, place, garage, stock, hours. A TOML file, read strictly.

    from coursekit.repair import damage
    mine = damage.load("DAMAGE.toml")

Every key may be left out or "unknown": then its default stands, and `taken` says so. Numbers are SI once read.
`tables/demo/damage.toml` has every key, its default and its choices; `python -m coursekit demo damage` says where.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any, TypeVar

from coursekit import tomlfile
from coursekit.errors import Entry, Where
from coursekit.nomenclature import load_data, number_of
from coursekit.panel import FACTORY_COATS, LINED, SHAPES, Shape
from coursekit.quantities import InputError, read_choice
from coursekit.repair import formats, recipe
from coursekit.repair.areas import line_heights
from coursekit.repair.reading import read_clock, read_one, read_one_of
from coursekit.repair.rules import rule
from coursekit.repair.start import SHALLOW, shape_of
from coursekit.repair.vocabulary import materials, tools
from coursekit.repair.words import DAYS, clock_words
from coursekit.sanding.grits import Grade, read_grade
from coursekit.tomlfile import Document

FORMAT = 1
UNKNOWN = "unknown"
KINDS = tuple(kind for kind in SHAPES if kind != "test card")
ALSO = {"fender": "front wing", "front fender": "front wing", "hood": "bonnet"}
PROMOTER = "adhesion promoter"  # no film of the computed panel: it is named in the plan
THROUGH = 0.8  # of the old clear: a scratch as deep is not sanded out of it without going through (assumed)
OFF_LINE = 40e-3  # m: nearer to a body line no damage of unknown place is taken to lie (assumed)
UNTOLD = 0.5  # of the old clear: how deep a scratch in it is, where nobody knows (assumed)
MOST_HOURS = 50  # rows of working hours
_YES = ("yes", "no")


def _quantity(row: str, default: str | None = None) -> Any:
    """A number of that row of the nomenclature; without a default it stays None."""
    return field(default=None if default is None else number_of(default), metadata={"reads": "quantity", "of": row})


def _choice(options: tuple[str, ...], default: str | None) -> Any:
    return field(default=default, metadata={"reads": "choice", "of": options})


@dataclass(frozen=True, kw_only=True)
class OnPanel:
    """The panel: its kind, and where it is known its own size, crown and line. None: as that kind usually is."""

    kind: str = _choice(KINDS, "door")
    sheet: str | None = _choice(("steel", "aluminium", "plastic"), None)
    width: float | None = _quantity("extent")
    height: float | None = _quantity("extent")
    radius_along: float | None = _quantity("crown_radius")
    radius_up: float | None = _quantity("crown_radius")
    line_height: float | None = _quantity("place")
    old_paint: float = _quantity("old_film", "110 µm")

    @property
    def made_of(self) -> str:
        """Steel unless it is said to be something else; a bumper is plastic."""
        return self.sheet or ("plastic" if self.kind == "bumper" else "steel")


@dataclass(frozen=True, kw_only=True)
class DamagePlace:
    """Where the damage lies (None: in the middle), how wide and deep it is, and what it reaches.

    depth    of the low once the metal is straightened; of a scratch: none
    reaches  the deepest it goes: into the clear, to the base, to the primer, to the bare sheet, to old filler
    """

    x: float | None = _quantity("place")
    y: float | None = _quantity("place")
    width: float = _quantity("extent", "250 mm")
    height: float = _quantity("extent", "150 mm")
    depth: float = _quantity("low_metal", "0.8 mm")
    reaches: str = _choice(("clear", "base", "primer", "bare", "old filler"), "bare")
    on_it: str = _choice(("nothing", "rust", "primer", "wax"), "nothing")


@dataclass(frozen=True, kw_only=True)
class Garage:
    """Where the work is done. What is not known of the fan and of the air to breathe counts as not there."""

    temperature: float = _quantity("garage_temperature", "20 °C")
    humidity: float = _quantity("humidity", "50 %")
    length: float = _quantity("room_side", "6 m")
    width: float = _quantity("room_side", "3 m")
    height: float = _quantity("room_side", "2.4 m")
    air_changes: float = _quantity("air_changes", "1 /h")
    spray_at: str = _choice(("booth", "home"), "booth")
    extraction: str = _choice(_YES, "no")
    supplied_air: str = _choice(_YES, "no")


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """The coldest and the warmest air of the day; None when nobody looked."""

    coldest: float | None = _quantity("garage_temperature")
    warmest: float | None = _quantity("garage_temperature")
    begins: float = field(default=8 * 3600.0, metadata={"reads": "clock"})


@dataclass(frozen=True, kw_only=True)
class Stock:
    """What is there. None: the usual things, which are bought where they are missing."""

    papers: tuple[Grade, ...] | None = field(default=None, metadata={"reads": "papers"})
    tools: tuple[str, ...] | None = field(default=None, metadata={"reads": "names", "of": "tools"})
    materials: tuple[str, ...] | None = field(default=None, metadata={"reads": "names", "of": "materials"})
    buy: str = _choice(_YES, "no")


@dataclass(frozen=True, kw_only=True)
class GunAsMeasured:
    """What was measured of the gun; None: not measured."""

    fluid_delivery: float | None = _quantity("fluid_delivery")
    fan_width: float | None = _quantity("width")
    captured: float | None = _quantity("transfer_efficiency")

    @property
    def measured(self) -> bool:
        """Whether the two numbers that make the film are known."""
        return self.fluid_delivery is not None and self.captured is not None


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What there should be least of, and how much the hand strays."""

    least: str = _choice(("hours", "film", "paint", "mist"), "hours")
    hand: float = _quantity("hand_variation", "15 %")


@dataclass(frozen=True, kw_only=True)
class Hours:
    """Hours of a week in which somebody works: day from 0 (Monday), seconds after midnight."""

    day: int
    begins: float
    ends: float


@dataclass(frozen=True, kw_only=True)
class Damage:
    """All that is known of one damage. `taken` names the keys whose default stands in for what is unknown."""

    title: str = "A repair"
    panel: OnPanel = field(default_factory=OnPanel)
    damage: DamagePlace = field(default_factory=DamagePlace)
    garage: Garage = field(default_factory=Garage)
    forecast: Forecast = field(default_factory=Forecast)
    stock: Stock = field(default_factory=Stock)
    gun: GunAsMeasured = field(default_factory=GunAsMeasured)
    wish: Wish = field(default_factory=Wish)
    hours: tuple[Hours, ...] = ()
    written: Mapping[str, Any] = field(default_factory=dict, compare=False)  # as in a recipe
    taken: tuple[str, ...] = field(default=(), compare=False)
    name: str = field(default="damage", compare=False)

    @property
    def shape(self) -> Shape:
        """The form of the panel on a coarse grid."""
        return _shape_of(self.panel)

    @property
    def reaches(self) -> str:
        """How deep the work goes: a measured low that surfacer does not level is opened to bare sheet."""
        low = self.low > SHALLOW and "damage.depth" not in self.taken
        if low and self.damage.reaches in ("clear", "base", "primer"):
            return "bare"
        through = self.damage.reaches == "clear" and self.scratch > THROUGH * self.old_clear
        return "base" if through else self.damage.reaches

    @property
    def is_chip(self) -> bool:
        """Whether it is so small that paint is missing, and hardly any sheet lies low."""
        place = self.damage
        return max(place.width, place.height) <= rule("chip.width").value and place.reaches != "clear"

    @property
    def low(self) -> float:
        """How low the sheet lies, m: a chip no deeper than the paint leaves its sheet where it was."""
        chipped = self.is_chip and self.damage.depth <= self.panel.old_paint + SHALLOW
        return 0.0 if chipped or ("damage.depth" in self.taken and self.is_chip) else self.damage.depth

    @property
    def old_clear(self) -> float:
        """The film of the old clear, m: its usual share of the old paint."""
        return self.panel.old_paint * dict(FACTORY_COATS)["old clear"] / sum(dict(FACTORY_COATS).values())

    @property
    def scratch(self) -> float:
        """How deep a scratch in the clear is, m."""
        return UNTOLD * self.old_clear if "damage.depth" in self.taken else self.damage.depth

    @property
    def corner(self) -> tuple[float, float]:
        """Where the damage begins: as given, or in the middle of the panel and off its body line; m."""
        at, size, panel = (self.damage.x, self.damage.y), (self.damage.width, self.damage.height), self.shape.size
        x, y = (
            given if given is not None else max((whole - own) / 2, 0.0)
            for given, own, whole in zip(at, size, panel, strict=True)
        )
        return x, y if at[1] is not None else _off_lines(self.shape, y, size[1])


# --- reading -----------------------------------------------------------------------------------------------

_TABLES = {
    "panel": OnPanel,
    "damage": DamagePlace,
    "garage": Garage,
    "forecast": Forecast,
    "stock": Stock,
    "gun": GunAsMeasured,
    "wish": Wish,
}
_AS_IN_A_RECIPE = ("material", "measurement", "measured")
_T = TypeVar("_T")


def load(path: str | Path) -> Damage:
    """The damage in a TOML file. Raises InputError naming line, field and remedy."""
    return from_document(tomlfile.load(path))


def read_tables(path: str | Path) -> dict[str, Any]:
    """The tables of the damage in a file, as they are written, once they could be read."""
    document = tomlfile.load(path)
    from_document(document)
    return document.data


def loads(text: str, name: str = "damage") -> Damage:
    """The damage in TOML text."""
    if not isinstance(text, str):
        raise InputError(name, "is not text.", "Give the text of a TOML file.", kind="form")
    return from_document(Document(text, name))


def from_document(document: Document) -> Damage:
    """The damage in the tables of a document, which says where a complaint is."""
    top = document.check_keys((), document.data, ("format", "title", *_TABLES, "hours", *_AS_IN_A_RECIPE))
    given = top.get("format")
    if given != FORMAT or isinstance(given, bool):
        wrong = "is missing." if given is None else f"is {str(given)[:20]}, not {FORMAT}."
        document.fail(("format",), wrong, f"Write format = {FORMAT} at the top.", kind="format")
    title = top.get("title", Damage.title)
    if not isinstance(title, str) or len(title) > 200:
        document.fail(
            ("title",), "is not a short text.", 'Write title = "Left rear door", at most 200 characters.', kind="form"
        )
    taken: list[str] = []
    read: dict[str, Any] = {name: _table(document, name, kind, taken) for name, kind in _TABLES.items()}
    found = Damage(
        title=title,
        hours=tuple(_hours(document)),
        written={key: top[key] for key in _AS_IN_A_RECIPE if key in top},
        taken=tuple(taken),
        name=document.name,
        **read,
    )
    _check(found, document)
    return found


def _table(document: Document, name: str, kind: type[_T], taken: list[str]) -> _T:
    keys = {one.name: one for one in fields(kind)}  # type: ignore[arg-type]
    given = document.check_keys((name,), document.data.get(name, {}), keys)
    settings = {}
    for key, value in given.items():
        if isinstance(value, str) and value.strip().casefold() == UNKNOWN:
            continue
        settings[key] = _value(document, (name, key), keys[key].metadata, value)
    taken += [f"{name}.{key}" for key in keys if key not in settings]
    return kind(**settings)


def _value(document: Document, where: Where, says: Mapping[str, Any], value: Any) -> Any:
    if says["reads"] == "quantity":
        return read_one(document, where, value, says["of"])
    if says["reads"] == "choice":
        return read_one_of(document, where, ALSO.get(value, value) if isinstance(value, str) else value, says["of"])
    if says["reads"] == "clock":
        return read_clock(document, where, value)
    return _list(document, where, says, value)


def _list(document: Document, where: Where, says: Mapping[str, Any], value: Any) -> tuple[Any, ...]:
    if not isinstance(value, list) or len(value) > 100:
        document.fail(where, "is not a list.", ("Write ", Entry(str(where[-1]), '["…", "…"]'), "."), "list")
    found: list[Any] = []
    for number, one in enumerate(value):
        try:
            if says["reads"] == "papers":
                found.append(read_grade(one, str(where[-1])))
            else:
                known = (*tools(), *load_data("packs")["kit"]) if says["of"] == "tools" else (*materials(), PROMOTER)
                found.append(read_choice(one, known, str(where[-1])))
        except InputError as error:
            document.refuse((*where, number), error)
    return tuple(found)


def _hours(document: Document) -> Iterator[Hours]:
    rows = document.data.get("hours", [])
    if not isinstance(rows, list) or len(rows) > MOST_HOURS:
        document.fail(
            ("hours",), "is not a list of working hours.", 'Write [[hours]] with day = "Saturday".', kind="other type"
        )
    for number, row in enumerate(rows):
        where: Where = ("hours", number)
        document.check_keys(where, row, ("day", "from", "to"))
        for key in ("day", "from", "to"):
            if key not in row:
                document.fail((*where, key), "is missing.", "Working hours have day, from and to.", "missing")
        try:
            day = DAYS.index(read_choice(row["day"], DAYS, "day"))
        except InputError as error:
            document.refuse((*where, "day"), error)
        begins, ends = (read_clock(document, (*where, key), row[key]) for key in ("from", "to"))
        if ends <= begins:
            first, last = (clock_words(time) for time in (begins, ends))
            document.fail(
                (*where, "to"),
                f"ends at {last}, not after it begins at {first}.",
                f"{_evening(begins, ends)}A night is two spans: {first} to 23:59, and 00:00 to {last} the day after.",
                kind="order",
            )
        yield Hours(day=day, begins=begins, ends=ends)


def _evening(begins: float, ends: float) -> str:
    """Who ends at 09:00 what begins at 18:00 may mean nine in the evening."""
    later = ends + 12 * 3600
    return f"If you mean the evening, write {clock_words(later)}. " if begins < later < 24 * 3600 else ""


def _check(found: Damage, document: Document) -> None:
    """What single keys cannot tell: a panel that cannot be, a damage off it, a forecast upside down."""
    if found.panel.line_height is not None and found.panel.kind not in LINED:
        document.fail(
            ("panel", "line_height"),
            f"a {found.panel.kind} has no body line here.",
            "Leave it out, or take another kind.",
            kind="place",
        )
    try:
        width, height = found.shape.size
    except InputError as error:
        document.refuse(("panel", error.problems[0].key), error)
    (x, y), place = found.corner, found.damage
    if x >= width or y >= height or x + place.width > width + 1e-9 or y + place.height > height + 1e-9:
        document.fail(
            ("damage",),
            "does not lie on the panel.",
            (*found.shape.how_large, " x and y count from its lower front corner."),
            kind="place",
        )
    if not _on(found.shape, found.corner, place):
        document.fail(("damage",), "lies where the panel is cut out.", "Move it off the wheel arch.", kind="place")
    _check_materials(document)
    cold, warm = found.forecast.coldest, found.forecast.warmest
    if (cold is None) != (warm is None):
        missing = "coldest" if cold is None else "warmest"
        document.fail(
            ("forecast", missing),
            "is missing.",
            ("Write ", Entry(missing, '"12 °C"'), ", or leave both out."),
            "missing",
        )
    if cold is not None and warm is not None and cold > warm:
        document.fail(("forecast", "coldest"), "is above the day's warmest.", "Exchange the two.", kind="order")


def _check_materials(document: Document) -> None:
    """Data sheets and measurements stand as in a recipe, and are read by its reader."""
    given = {key: document.data[key] for key in _AS_IN_A_RECIPE if key in document.data}
    alone = {"format": formats.FORMAT, "step": [{"do": "clean"}], **given}
    recipe.from_document(Document.of_tables(alone, document.name, within=document))


def _on(shape: Shape, corner: tuple[float, float], place: DamagePlace) -> bool:
    x, y = corner
    columns = (shape.x >= x) & (shape.x <= x + place.width)
    rows = (shape.y >= y) & (shape.y <= y + place.height)
    here = shape.inside[rows][:, columns]
    return not here.size or bool(here.mean() > 0.5)


def _off_lines(shape: Shape, low: float, height: float) -> float:
    """Where a damage of unknown place begins, moved off a body line that it would touch or all but touch, m."""
    for line in line_heights(shape):
        if low - OFF_LINE < line < low + height + OFF_LINE:
            top = shape.size[1]
            field = (0.0, line) if line >= top / 2 else (line, top)
            return max((field[0] + field[1] - height) / 2, 0.0)
    return low


def _shape_of(panel: OnPanel) -> Shape:
    given = {key: getattr(panel, key) for key in ("width", "height", "radius_along", "radius_up", "line_height")}
    return shape_of({"shape": panel.kind, "cell": 10e-3, "sheet": sheet_of(panel), **given})


def sheet_of(panel: OnPanel) -> str:
    """The sheet as the computed panel knows it: aluminium stands, bare, as steel does."""
    return "plastic" if panel.made_of == "plastic" else "steel"
