"""The learner's own data sheets: a small TOML of materials, what it says, what follows, and what is missing.

    mine = datasheet.load("materials.toml")
    mine["surfacer"].volume_solids     # a Coefficient: goes into any public call, and into `band`
    print(mine["surfacer"].report())   # each figure with where it comes from
    mine["surfacer"].missing           # the figures to ask the sheet for

A figure is what the sheet says; else what follows from other figures of that sheet; else the band of usual materials
of that kind; else it is missing. Figures stand for the mix ready to spray, unless their key says component.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import resources
from pathlib import Path

from coursekit.datasheet.figures import FIGURES, KEYS, MaterialReader
from coursekit.nomenclature import System, names
from coursekit.quantities import InputError, shown, shown_band
from coursekit.tomlfile import Document
from coursekit.tomlfile import load as load_document
from coursekit.uncertain import Coefficient

__all__ = ["KEYS", "DataSheet", "Material", "demo", "demo_text", "load", "read"]
FORMAT = 1
MOST_MATERIALS = 100
_LABELS = {"viscosity": "viscosity", "pot_life": "pot life"}  # shorter than their rows


@dataclass(frozen=True)
class Material:
    """One material. Each figure is a Coefficient (SI, with its band and source), or None when nothing is known."""

    key: str
    name: str
    kind: str
    ratio: str | None = None  # parts by volume
    mass_ratio: str | None = None  # parts by mass, when the sheet gives them
    densities: tuple[Coefficient, ...] | None = None
    volume_solids: Coefficient | None = None
    mass_solids: Coefficient | None = None
    density: Coefficient | None = None
    voc: Coefficient | None = None
    viscosity: Coefficient | None = None
    film_per_coat: Coefficient | None = None
    pot_life: Coefficient | None = None
    pot_life_temperature: Coefficient | None = None
    recoat_after: Coefficient | None = None
    recoat_before: Coefficient | None = None
    price_per_litre: Coefficient | None = None
    cup: str | None = None
    cup_time: Coefficient | None = None
    where: dict[str, str] = field(default_factory=dict)  # for each figure that is there, where it comes from
    missing: tuple[str, ...] = ()  # figures the sheet should be asked for
    remarks: tuple[str, ...] = ()  # figures of one sheet that disagree, and what else a reader must know

    def sentence(self, figure: str, system: System = "metric") -> str:
        """One figure in words, with where it comes from."""
        if figure not in FIGURES:
            known = "Choose from: " + ", ".join(FIGURES)
            raise InputError("figure", f"{figure!r:.60} is not a figure of a sheet.", known, kind="unknown")
        label = label_of(figure)
        label = label[:1].upper() + label[1:]
        value: Coefficient | None = getattr(self, figure)
        if value is None:
            return f"{label}: not on the sheet, and nothing usual stands in. Ask for it."
        text = shown(float(value), value.name, system)
        if value.low < value.high:
            text += f" ({shown_band(value.low, value.high, value.name, system)})"
        return f"{label}: {text}, {self.where[figure]}."

    def report(self, system: System = "metric") -> str:
        """The whole material in words: figures, what is missing, and what does not agree."""
        lines = [f"{self.name} ({self.kind})"]
        if self.ratio or self.mass_ratio:
            lines.append(
                f"Mixing ratio: {self.ratio} by volume."
                if self.ratio
                else f"Mixing ratio: {self.mass_ratio} by mass."
            )
        lines += [self.sentence(f, system) for f in FIGURES if getattr(self, f) is not None]
        if self.missing:
            lines.append("Missing, ask for it: " + ", ".join(label_of(m) for m in self.missing) + ".")
        return "\n".join([*lines, *self.remarks])


def label_of(figure: str) -> str:
    """What a figure is called."""
    return _LABELS.get(figure) or names()[FIGURES.get(figure, figure)].label


@dataclass(frozen=True)
class DataSheet:
    """The materials of one file, by the key of their table."""

    file: str
    materials: dict[str, Material]

    def __getitem__(self, key: str) -> Material:
        if not isinstance(key, str) or key not in self.materials:
            has = "It has: " + ", ".join(self.materials)
            raise InputError("material", f"{key!r:.60} is not in {self.file}.", has, kind="unknown")
        return self.materials[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.materials)

    def __len__(self) -> int:
        return len(self.materials)

    @property
    def missing(self) -> dict[str, tuple[str, ...]]:
        """For each material that lacks something, the figures to ask for."""
        return {key: material.missing for key, material in self.materials.items() if material.missing}

    def report(self, system: System = "metric") -> str:
        """All materials in words."""
        return "\n\n".join(material.report(system) for material in self.materials.values())


def load(path: str | Path) -> DataSheet:
    """The learner's materials from a file. Raises InputError that names file, line, field and remedy."""
    return _read(load_document(path))


def read(text: str, name: str = "data sheet") -> DataSheet:
    """The same from text: what a lesson's editor holds."""
    if not isinstance(text, str):
        raise InputError(name, "is not text.", "Give the TOML of your materials.", kind="form")
    return _read(Document(text, name))


def demo() -> DataSheet:
    """The materials of the demo repair, all invented."""
    return read(demo_text(), "demo data sheet")


def demo_text() -> str:
    """The demo file as text, to copy and change."""
    return (resources.files("coursekit") / "tables" / "demo" / "materials.toml").read_text(encoding="utf-8")


def _read(document: Document) -> DataSheet:
    data = dict(document.data)
    if data.pop("format", FORMAT) != FORMAT:
        document.fail(("format",), f"must be {FORMAT}.", f"Write format = {FORMAT}.", kind="format")
    if not data or len(data) > MOST_MATERIALS:
        document.fail(
            (),
            f"has {len(data)} materials.",
            'Write a table for each: [surfacer], then kind = "surfacer".',
            kind="count",
        )
    for key, row in data.items():
        if not isinstance(row, dict):
            document.fail(
                (key,), "stands outside a material.", "Write the material's name above it: [surfacer].", kind="form"
            )
    return DataSheet(document.name, {key: _material(MaterialReader(document, key, row)) for key, row in data.items()})


def _material(found: MaterialReader) -> Material:
    return Material(
        found.key,
        found.name,
        found.kind,
        found.ratio,
        found.row.get("mass_ratio"),
        found.parts.get("densities"),
        cup=found.cup or None,
        cup_time=found.helps.get("cup_time"),
        where=found.where,
        missing=tuple(found.missing),
        remarks=tuple(found.remarks),
        **found.figures,
    )
