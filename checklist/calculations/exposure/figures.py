"""The published numbers that the exposure engine works with, read once from the rule tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from checklist.rulebook import Book, Cited, Standing

_VALUES = {
    "full_reflection": ("exposure/full-reflection", "1"),
    "partial_reflection": ("exposure/partial-reflection", "1"),
    "dipole_gain": ("exposure/dipole-gain", "1"),
    "plane_wave_ohm": ("exposure/ground-wave-impedance", "ohm"),
    "envelope_margin_db": ("exposure/envelope-margin", "dB"),
    "mesh_change_db": ("exposure/mesh-change", "dB"),
    "nearest_wavelengths": ("exposure/nearest", "1"),
    "farthest_wavelengths": ("exposure/farthest", "1"),
    "lowest_frequency_hz": ("exposure/lowest-frequency", "Hz"),
    "highest_frequency_hz": ("exposure/highest-frequency", "Hz"),
    "lowest_wire_wavelengths": ("exposure/lowest-wire", "1"),
    "highest_wire_wavelengths": ("exposure/highest-wire", "1"),
    "low_dipole_wavelengths": ("exposure/low-dipole", "1"),
    "longest_low_wire_wavelengths": ("exposure/longest-low-wire", "1"),
    "near_the_limit": ("exposure/near-the-limit", "1"),
    "sar_distance_m": ("exposure/sar-distance", "m"),
    "severe": ("exposure/severe", "1"),
    "half_wave_share": ("exposure/half-wave-share", "1"),
    "arm_reach_m": ("exposure/arm-reach", "m"),
    "aperture_near": ("exposure/near-field-shape", "1"),
    "aperture_far_start": ("exposure/far-field-start", "1"),
    "am_peak_to_carrier": ("duty/am-peak-to-carrier", "1"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with the citation of the row that it comes from."""

    number: float
    cited: Cited

    @property
    def is_unverified(self) -> bool:
        """Whether it is from memory."""
        return self.cited.standing is Standing.MEMORY


@dataclass(frozen=True, slots=True)
class Cable:
    """A class of cable: dB per 100 ft is root x sqrt(f) + linear x f, less a share `shade`."""

    root: float
    linear: float
    shade: float
    cited: Cited


@dataclass(frozen=True, slots=True)
class Figures:
    """Every table value of the engine as a plain number, with its citation at hand."""

    numbers: Mapping[str, float]
    cited: Mapping[str, Cited]
    duty: Mapping[str, Figure]
    cables: Mapping[str, Cable]

    def __getitem__(self, name: str) -> float:
        return self.numbers[name]


def figures(book: Book) -> Figures:
    """Return the numbers of the tables `exposure`, `duty` and `feedlines`."""
    values = {name: book.value(address) for name, (address, _) in _VALUES.items()}
    numbers = {name: values[name].quantity.number(unit) for name, (_, unit) in _VALUES.items()}
    duty = {
        key: Figure(row["duty"].number("1"), row.cited)
        for table in ("duty/mode", "duty/more")
        for key, row in book.table(table).rows.items()
    }
    cables = {
        key: Cable(
            row["root"].number("1"), row["linear"].number("1"), row["shade"].number("1"), row.cited
        )
        for key, row in book.table("feedlines/cable").rows.items()
    }
    return Figures(numbers, {name: v.cited for name, v in values.items()}, duty, cables)
