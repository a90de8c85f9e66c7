"""Stations to vary in tests: written to a file, read as variants read them."""

from __future__ import annotations

from pathlib import Path

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.sessions.desk import Desk
from checklist.sessions.variants.values import values_of
from checklist.sessions.variants.variant import Source, Step, Variant, source_of, with_step
from tests.station.example import changed_example

AT_THE_ANTENNA = ("at: [18 m, 4 m, 0 m]", "at: [3 m, 0 m, 12 m]")
AIMED = (
    "{kind: by-gain, like: collinear, gain: 3 dBd, ground-in-gain: no,\n"
    "    at: [0 m, 0 m, 14 m], extent: 2.6 m}",
    "{kind: by-gain, like: yagi, gain: 9 dBi, ground-in-gain: no,\n"
    "    at: [0 m, 0 m, 14 m], extent: 2.6 m, bearing: 90 deg,\n"
    "    pattern: {30 deg: 3 dB, 90 deg: 20 dB, 180 deg: 20 dB}}",
)
"""The mast's antenna as a beam that points at the track."""

IN_THE_BEAM = ("at: [18 m, 4 m, 0 m]", "at: [9 m, 0 m, 12 m]")

UNDER_THE_DIPOLE = (
    ("at: [18 m, 4 m, 0 m]", "at: [0 m, 10.5 m, 10 m]"),
    ("power: 500 W", "power: 800 W"),
    ("mode: SSB", "mode: FSK or RTTY"),
    ("on: 2 min, off: 4 min", "on: 30 min, off: 0 min"),
)

BESIDE_A_BEAM = (
    ("at: [18 m, 4 m, 0 m]", "at: [8 m, 0 m, 10 m]"),
    ("{kind: log, overs: [{start: 0 min, lasted: 2 min}, {start: 5 min, lasted: 1 min}]}",
     "{kind: continuous}"),
    ("    power: 100 W\n    power-is: peak envelope\n    mode: CW\n    duty: 40 %\n",
     "    power: 800 W\n    power-is: peak envelope\n    mode: CW\n"),
    ("transmitter: desk-rig\n    antenna: beam", "transmitter: amplifier\n    antenna: beam"),
    ("frequency: 10.368 GHz\n", "frequency: 10.368 GHz\n    power: 1 mW\n"),
)  # fmt: skip
"""Changes to the whole station: its beam, with the amplifier, passes over the track."""

TURNS_FREELY = ("    sector: [0 deg, 180 deg]\n", "")


def desk_in(folder: Path) -> Desk:
    """Return a desk on a fresh log folder."""
    return Desk(folder / "logs", RealDisk(), RealClock())


def written(folder: Path, *pairs: tuple[str, str]) -> Path:
    """Write the example station, changed, with a remark ahead of it; return its path."""
    path = folder / "station.yaml"
    path.write_text(f"# Kept by the station manager.\n{changed_example(*pairs)}", "utf-8")
    return path


def varied(folder: Path, *pairs: tuple[str, str]) -> Source:
    """Return the changed example, ready to be varied."""
    return source_of(desk_in(folder), written(folder, *pairs))


def step(variant: Variant, of: str, word: str, text: str) -> Step:
    """Return the step of one typed value."""
    return next(v for v in values_of(variant) if (v.of, v.word) == (of, word)).taken(text)


def with_typed(source: Source, variant: Variant, of: str, word: str, text: str) -> Variant:
    """Return the variant with one typed value on top."""
    return with_step(source, variant, step(variant, of, word, text), "variant 1", f"{of}, {word}")
