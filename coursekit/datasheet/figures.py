"""The figures of one material: what its sheet says, what follows from that, and the band that stands in."""

from __future__ import annotations

import math
import re
from typing import Any

from coursekit import film, mixing, spraying
from coursekit.belief import band_si
from coursekit.mixing.ratio import read_ratio
from coursekit.nomenclature import load_data, names
from coursekit.quantities import InputError, read, shown, shown_band
from coursekit.sources import coefficient
from coursekit.tomlfile import Document
from coursekit.uncertain import Coefficient, SourceKind, Spread

# Each figure and its row of the nomenclature.
FIGURES = {
    "volume_solids": "volume_solids",
    "mass_solids": "mass_solids",
    "density": "density",
    "voc": "voc_content",
    "viscosity": "kinematic_viscosity",
    "film_per_coat": "film_per_coat",
    "pot_life": "reference",
    "pot_life_temperature": "pot_life_temperature",
    "recoat_after": "earliest",
    "recoat_before": "latest",
    "price_per_litre": "price_per_litre",
}
HELPS = {"volatile_density": "volatile_density", "water": "water", "cup_time": "time"}
PART_LISTS = {
    "densities": "densities",
    "component_solids": "component_solids",
    "component_mass_solids": "component_mass_shares",
}
WORDS = ("kind", "name", "ratio", "mass_ratio", "cup")
KEYS = (*WORDS, *PART_LISTS, *FIGURES, *HELPS)
LONGEST_NAME = 120
_SECONDS = re.compile(r"[0-9]\s*(?:s|sec|seconds?)\s*$")
SHEET_ROOM = ("20 °C", "23 °C")  # what sheets mean when they give no temperature; assumed
NO_EXEMPT = "if no solvent in it is exempt"
# Figures of one sheet that differ by more than this are reported.
DENSITY_GAP, SOLIDS_GAP, VOC_GAP, RATIO_GAP = 0.03, 0.02, 0.05, 0.03


class MaterialReader:
    """Reads one table of the file; `figures`, `where`, `known`, `missing` and `remarks` are what it found."""

    def __init__(self, document: Document, key: str, row: Any) -> None:
        self.document, self.key = document, key
        self.row = document.check_keys((key,), row, KEYS)
        self.figures: dict[str, Coefficient] = {}
        self.where: dict[str, str] = {}
        self.known: set[str] = set()  # what the sheet says or what follows from it alone
        self.missing: list[str] = []
        self.remarks: list[str] = []
        self.helps: dict[str, Coefficient] = {}
        kinds = load_data("materials")
        self.kind = self._word("kind")
        if self.kind not in kinds:
            self._fail(
                "kind",
                "is not a kind of material." if self.kind else "is missing.",
                "Choose from: " + ", ".join(kinds) + ".",
            )
        self.usual = kinds[self.kind]
        self.name = self._word("name") or key
        self.cup = self._word("cup")
        self.parts = {k: self._list(k, row_name) for k, row_name in PART_LISTS.items() if k in row}
        self.ratio = self._ratio()
        for figure, row_name in FIGURES.items():
            if figure in row:
                self._keep(figure, self._given(figure, row_name), "on the sheet", known=True)
        self.helps = {k: self._given(k, row_name) for k, row_name in HELPS.items() if k in row}
        self._work_out()
        self._stand_in()
        self._compare()

    # --- what the sheet says ---------------------------------------------------------------------------

    def _fail(self, field: str, problem: str, remedy: str) -> Any:
        self.document.fail((self.key, field), problem, remedy, "value")

    def _word(self, field: str) -> str:
        text = self.row.get(field, "")
        if not isinstance(text, str) or len(text) > LONGEST_NAME:
            self._fail(field, "is not a short text.", f'Write {field} = "…".')
        return " ".join(text.split())

    def _quantity(self, field: str, value: object, row_name: str) -> float:
        if field == "viscosity" and isinstance(value, str) and _SECONDS.search(value):
            self._fail(field, "is the time of a flow cup.", 'Write cup = "DIN 4" and cup_time = "20 s" instead.')
        return float(self.document.quantity((self.key, field), value, row_name))

    def _given(self, field: str, row_name: str) -> Coefficient:
        value = self.row[field]
        if isinstance(value, list):
            if len(value) != 2:
                self._fail(field, "is a list, but not a range.", "Write one figure, or a range: [low, high].")
            low, high = (self._quantity(field, end, row_name) for end in value)
            if low > high:
                self._fail(field, "is a range from high to low.", "Write the lower figure first.")
            return self._figure(field, row_name, (low, (low + high) / 2, high), "published", "data-sheet")
        one = self._quantity(field, value, row_name)
        return self._figure(field, row_name, (one, one, one), "published", "data-sheet")

    def _list(self, field: str, row_name: str) -> tuple[Coefficient, ...]:
        values = self.row[field]
        if not isinstance(values, list) or not values:
            self._fail(field, "is not a list.", "Write one figure for each part, in the order of the ratio: [ … ].")
        ones = (self._quantity(field, value, row_name) for value in values)
        return tuple(self._figure(field, row_name, (v, v, v), "published", "data-sheet") for v in ones)

    def _ratio(self) -> str | None:
        """Parts by volume as text; also checks that each list has a figure for each part."""
        read_ones = {}
        for field, basis in (("ratio", "volume"), ("mass_ratio", "mass")):
            if field in self.row:
                try:
                    read_ones[field] = read_ratio(self.row[field], field, basis)
                except InputError as error:
                    self.document.refuse((self.key, field), error)
        if not read_ones and self.parts:
            self._fail(
                next(iter(self.parts)), "stands without a ratio.", 'Add ratio = "4:1:1" (by volume) or mass_ratio.'
            )
        for field, values in self.parts.items():
            for ratio in read_ones.values():
                if len(values) != len(ratio.parts):
                    problem = f'has {len(values)} figures for the {len(ratio.parts)} parts of "{ratio.text}".'
                    self._fail(field, problem, "Give one for each part; a reducer is a part.")
        if "mass_ratio" not in read_ones:
            return read_ones["ratio"].text if read_ones else None
        if "densities" not in self.parts:
            if "ratio" not in read_ones:
                self.missing.append("densities")
                self.remarks.append("The parts are by mass: weigh them. By volume needs the density of each part.")
            return read_ones["ratio"].text if "ratio" in read_ones else None
        by_volume = mixing.parts_by_mass_to_volume(self.row["mass_ratio"], self.parts["densities"])
        if "ratio" not in read_ones:
            return str(by_volume.ratio)
        said = [part / read_ones["ratio"].parts[0] * 100 for part in read_ones["ratio"].parts]
        if any(not math.isclose(a, float(b), rel_tol=RATIO_GAP) for a, b in zip(said, by_volume.parts, strict=True)):
            self.remarks.append(
                f"The ratio by volume, {read_ones['ratio'].text}, and the one by mass, which is "
                f"{by_volume.ratio} by volume, disagree: ask which is meant."
            )
        return read_ones["ratio"].text

    # --- what follows ----------------------------------------------------------------------------------

    def _figure(
        self, field: str, row_name: str, ends: tuple[Any, Any, Any], kind: SourceKind, source: str, note: str = ""
    ) -> Coefficient:
        low, value, high = sorted(float(end) for end in ends)
        spread: Spread = "factor" if low > 0 else "shift"
        if names()[row_name].kind == "fraction" and low > 0 and high < 1:
            spread = "share"
        if low == high or names()[row_name].kind == "temperature":
            spread = "shift"
        return Coefficient(
            value,
            low,
            high,
            key=f"{self.key}.{field}",
            kind=kind,
            source=source,
            spread=spread,
            name=row_name,
            note=note,
        )

    def _keep(self, figure: str, value: Coefficient | None, where: str, known: bool) -> None:
        if value is None:
            return
        self.figures[figure], self.where[figure] = value, where
        if known:
            self.known.add(figure)

    def _derived(self, figure: str, call: object, *args: Any) -> Coefficient | None:
        """The figure as a band of that call, or None when the figures contradict each other."""
        try:
            ends = band_si(call, *args)
        except InputError as error:
            self.remarks.append(
                f"{figure.replace('_', ' ').capitalize()} cannot follow from the other figures: {error.problem}"
            )
            return None
        return self._figure(figure, FIGURES[figure], ends, "derived", "data-sheet")

    @property
    def _with_water(self) -> bool:
        return self.kind == "water base" or self.helps.get("water", 0.0) > 0

    def _volatile(self) -> Coefficient:
        if "volatile_density" in self.helps:
            return self.helps["volatile_density"]
        ends = self.usual["bands"].get("volatile_density")
        return self._usual("volatile_density", "volatile_density", ends) if ends else coefficient("volatile_density")

    def _work_out(self) -> None:
        """Density, solids, VOC and viscosity from the other figures of the sheet."""
        has = self.known.__contains__
        if not has("density") and self.ratio and "densities" in self.parts:
            self._keep(
                "density",
                self._derived("density", mixing.mix_density, self.ratio, self.parts["densities"]),
                "mixed from its parts",
                known=True,
            )
        if not has("mass_solids") and self.ratio and {"densities", "component_mass_solids"} <= set(self.parts):
            mixed = self._derived(
                "mass_solids",
                mixing.mix_mass_share,
                self.ratio,
                self.parts["densities"],
                self.parts["component_mass_solids"],
            )
            self._keep("mass_solids", mixed, "mixed from its parts", known=True)
        if not has("mass_solids") and has("voc") and has("density") and not self._with_water:
            left = self._derived("mass_solids", _solids_left, self.figures["voc"], self.figures["density"])
            self._keep("mass_solids", left, f"worked out from VOC and density, {NO_EXEMPT}", known=True)
        if not has("volume_solids") and self.ratio and "component_solids" in self.parts:
            parts = self.parts["component_solids"]
            mixed = self._derived("volume_solids", mixing.mix_volume_solids, self.ratio, parts)
            self._keep("volume_solids", mixed, "mixed from its parts", known=True)
        if not has("volume_solids") and has("mass_solids") and has("density"):
            self._keep("volume_solids", self._from_mass(), "worked out from mass solids and density", known=True)
        if not has("volume_solids") and has("voc") and not self._with_water:
            left = self._derived("volume_solids", _solids_left, self.figures["voc"], self._volatile())
            self._keep("volume_solids", left, f"worked out from VOC and the solvent, {NO_EXEMPT}", known=True)
        water_known = not self._with_water or "water" in self.helps
        if not has("voc") and has("mass_solids") and has("density") and water_known:
            found = self._derived(
                "voc", _voc, self.figures["mass_solids"], self.figures["density"], self.helps.get("water", 0.0)
            )
            self._keep("voc", found, f"worked out from mass solids and density, {NO_EXEMPT}", known=True)
        self._viscosity()

    def _from_mass(self) -> Coefficient | None:
        return self._derived(
            "volume_solids",
            film.volume_solids_from_mass,
            self.figures["mass_solids"],
            self.figures["density"],
            self._volatile(),
        )

    def _viscosity(self) -> None:
        if bool(self.cup) != ("cup_time" in self.helps):
            self._fail(
                "cup" if self.cup else "cup_time",
                "stands alone: seconds mean nothing without the cup.",
                'Write both: cup = "DIN 4" and cup_time = "20 s".',
            )
        if not self.cup or "viscosity" in self.known:
            return
        try:
            ends = band_si(spraying.viscosity_from_cup, self.cup, self.helps["cup_time"])
        except InputError as error:
            field = error.argument if error.argument == "cup" else "cup_time"
            self.document.refuse((self.key, field), error)
        figure = self._figure("viscosity", FIGURES["viscosity"], ends, "derived", "data-sheet")
        seconds = shown(float(self.helps["cup_time"]), "time")
        self._keep("viscosity", figure, f"worked out from {seconds} of {self.cup}", known=True)

    # --- what stands in --------------------------------------------------------------------------------

    def _usual(self, figure: str, row_name: str, ends: Any) -> Coefficient:
        low, high = (float(read(end, row_name)) for end in ends)
        kind, source = self.usual["kind"], self.usual["source"]
        if figure in self.usual.get("assumed", ()):
            kind, source = "assumed", "assumed-here"
        if figure in self.usual.get("practice", ()):
            kind, source = "common practice, no source", "common-practice"
        middle = math.sqrt(low * high)
        return self._figure(figure, row_name, (low, middle, high), kind, source, f"Usual for {self.usual['words']}.")

    def _stand_in(self) -> None:
        """Bands for what is not known, and the list of what to ask for."""
        bands = self.usual["bands"]
        if "pot_life" in bands and not self.ratio and "mass_ratio" not in self.row:
            self.missing.append("ratio")
        for figure in ("density", "volume_solids", "voc", "viscosity", "film_per_coat", "pot_life"):
            if figure in self.known:
                continue
            if figure in bands:
                self.missing.append(figure)
                value = self._usual(figure, FIGURES[figure], bands[figure])
                where = f"not on the sheet: the band of {self.usual['words']} stands in"
                self._keep(figure, value, where, known=False)
            elif figure in ("density", "volume_solids") or self.kind == "other":
                self.missing.append(figure)
        if "pot_life" in self.known and "pot_life_temperature" not in self.known:
            self.missing.append("pot_life_temperature")
            ends = tuple(float(read(t, "pot_life_temperature")) for t in SHEET_ROOM)
            value = self._figure(
                "pot_life_temperature", "pot_life_temperature", (ends[0], 294.15, ends[1]), "assumed", "assumed-here"
            )
            self._keep("pot_life_temperature", value, "not on the sheet: a usual room stands in", known=False)
        self.missing += [f for f in ("recoat_after", "recoat_before") if f not in self.known]
        if "mass_solids" not in self.known and {"volume_solids", "density"} <= set(self.figures):
            known = {"volume_solids", "density"} <= self.known
            value_or_none = self._derived(
                "mass_solids",
                film.mass_solids_from_volume,
                self.figures["volume_solids"],
                self.figures["density"],
                self._volatile(),
            )
            self._keep(
                "mass_solids",
                value_or_none,
                "worked out from volume solids and density"
                + ("" if known else ", of which one is a band that stands in"),
                known=known,
            )

    # --- do the figures agree? -------------------------------------------------------------------------

    def _compare(self) -> None:
        said = {figure for figure in FIGURES if figure in self.row}
        figures = self.figures
        if {"recoat_after", "recoat_before"} <= said and figures["recoat_after"] >= figures["recoat_before"]:
            self._fail("recoat_before", "is not later than recoat_after.", "Swap them, or check the units.")
        if "density" in said and self.ratio and "densities" in self.parts:
            mixed = mixing.mix_density.si(self.ratio, [float(d) for d in self.parts["densities"]])
            self._differ("density", mixed, mixed, DENSITY_GAP * mixed, "its parts give")
        if {"volume_solids", "mass_solids"} <= said and "density" in self.known and (other := self._from_mass()):
            self._differ("volume_solids", other.low, other.high, SOLIDS_GAP, "mass solids and density give")
        if {"voc", "mass_solids"} <= said and "density" in self.known and not self._with_water:
            other_voc = _voc(float(figures["mass_solids"]), float(figures["density"]), 0.0)
            self._differ("voc", other_voc, other_voc, VOC_GAP * max(other_voc, 1.0), "mass solids and density give")

    def _differ(self, figure: str, low: float, high: float, slack: float, words: str) -> None:
        value, row_name = self.figures[figure], FIGURES[figure]
        if value.high < low - slack or value.low > high + slack:
            other = shown(low, row_name) if low == high else shown_band(low, high, row_name)
            said, label = shown(float(value), row_name), names()[row_name].label
            self.remarks.append(
                f"The figures disagree about {label}: the sheet says {said}, {words} {other}. "
                "Check the copy, and ask which figure is for the mix."
            )


def _solids_left(voc: Any, density: Any) -> Any:
    """Solids once VOC has gone: by mass with the density of the mix, by volume with that of the solvent."""
    solids = 1 - voc / density
    if (solids <= 0).any() if hasattr(solids, "any") else solids <= 0:
        raise InputError("voc", "the VOC leaves no room for solids.", "Check VOC and density.", kind="impossible")
    return solids


def _voc(mass_solids: Any, density: Any, water: Any) -> Any:
    return mixing.voc.si(mass_solids, water, density, 0.0).less_water
