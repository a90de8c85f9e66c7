"""What may be given for a value of the station file, in words, with an example."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checklist.station.bonding import Gauge
from checklist.station.geometry import At
from checklist.station.lists import Many, NoneOr, Pairs
from checklist.station.reading import Known
from checklist.station.records import Entry, Key, keys_of
from checklist.station.shapes import (
    Day,
    Matching,
    Measure,
    Naming,
    OneOf,
    Shape,
    Whole,
    Words,
    YesNo,
    listed,
)
from checklist.station.site import Cable, LimitSet, Mode

_EXAMPLES = {
    "length": "35 ft or 10.7 m",
    "frequency": "7.1 MHz",
    "power": "100 W or 1.5 kW",
    "time": "2 min",
    "angle": "90 deg",
    "gain": "6 dBd or 8.15 dBi",
    "attenuation": "20 dB",
    "attenuation per length": "0.6 dB/100 ft",
    "ratio": "1.5, or 40 %",
    "voltage": "120 V",
    "current": "20 A",
    "resistance": "25 ohm",
    "volume": "4 gal",
    "volume flow": "0.5 gal/h",
}
_MANY_WORDS = 8


def may_be_given(  # noqa: C901 - one case for each shape
    shape: Shape,
    known: Known | None = None,
    names: Mapping[str, Sequence[str]] | None = None,
) -> str:
    """Return in words what can be typed for a value of this shape."""
    known, names = known or Known(), names or {}
    match shape:
        case Measure():
            return f"with its unit, as {example(shape)}{_bounds(shape)}"
        case At():
            return "three lengths: east, north and up from the origin, as 3 m, 10 m, 35 ft"
        case OneOf():
            return listed(shape.words)
        case YesNo():
            return "yes or no"
        case Whole():
            return f"a whole number from {shape.least} to {shape.most}"
        case Day():
            return "a day, as 2026-11-25"
        case Gauge():
            return "a gauge, as 6 AWG"
        case Matching():
            return shape.example
        case Naming():
            there = [name for section in shape.sections for name in names.get(section, ())]
            sections = " or ".join(shape.sections)
            return f"one of the {sections}: {_some(there) or 'there are none yet'}"
        case Mode():
            return f"one of: {_some(known.modes or ())}"
        case Cable():
            return f"one of: {_some(known.cables or ())}"
        case LimitSet():
            return f"one of: {_some(known.limit_sets or ())}"
        case Pairs():
            return (
                f"pairs between commas, as {_first(shape.left.dimension)}: "
                f"{_first(shape.right.dimension)}"
            )
        case Entry():
            return f"in columns between semicolons: {'; '.join(columns(shape))}"
        case Many() if isinstance(shape.item, At):
            return "points between semicolons, as 0 m, 0 m, 2 m; 10 m, 0 m, 8 m"
        case Many():
            return f"between commas, {may_be_given(shape.item, known, names)}"
        case NoneOr():
            return "none, or a list"
        case Words(lines=True):
            return "in words; / between blanks begins a new line"
        case _:
            return "in words"


def example(shape: Shape) -> str:  # noqa: C901 - one case for each shape
    """Return an example of what may be typed."""
    match shape:
        case Measure():
            return _fitting(shape)
        case At():
            return "3 m, 10 m, 35 ft"
        case OneOf():
            return " | ".join(shape.words)
        case YesNo():
            return "yes | no"
        case Day():
            return "2026-11-25"
        case Whole():
            return str(max(shape.least, min(4, shape.most)))
        case Gauge():
            return "6 AWG"
        case Matching():
            return shape.example
        case Pairs():
            return f"{_first(shape.left.dimension)}: {_first(shape.right.dimension)}"
        case Entry():
            return "; ".join(_one(key) for key in keys_of(shape.kind))
        case Many() if isinstance(shape.item, At):
            return "0 m, 0 m, 2 m; 10 m, 0 m, 8 m"
        case Many() if isinstance(shape.item, Measure):
            if shape.item.dimension == "angle" and shape.least == 2:
                return "0 deg, 90 deg"
            return ", ".join([example(shape.item)] * max(shape.least, 1))
        case Many():
            return example(shape.item)
        case Words():
            return "in words"
        case _:
            return ""


def _one(key: Key) -> str:
    """Return what may stand in one column of a row, a single thing that can be typed as it is."""
    said = example(key.shape) or key.name
    return said.split(" | ")[0].split(" or ")[0]


def columns(shape: Entry) -> list[str]:
    """Return the names of an entry's columns; those that may be left out stand in brackets."""
    return [key.name if key.is_needed else f"({key.name})" for key in keys_of(shape.kind)]


def choices(
    shape: Shape, known: Known | None = None, names: Mapping[str, Sequence[str]] | None = None
) -> tuple[str, ...]:
    """Return the words among which a value is chosen; empty where it is free."""
    known, names = known or Known(), names or {}
    match shape:
        case OneOf():
            return shape.words
        case YesNo():
            return ("yes", "no")
        case Naming():
            return tuple(name for section in shape.sections for name in names.get(section, ()))
        case Mode():
            return tuple(known.modes or ())
        case Cable():
            return tuple(known.cables or ())
        case LimitSet():
            return tuple(known.limit_sets or ())
        case _:
            return ()


def _bounds(shape: Measure) -> str:
    if shape.least and shape.most:
        return f"; from {shape.least} to {shape.most}"
    return f"; at most {shape.most}" if shape.most else ""


def _first(dimension: str) -> str:
    return _EXAMPLES.get(dimension, "").split(" or ")[0]


def _fitting(shape: Measure) -> str:
    """Return an example within the bounds: a diameter is no 35 ft."""
    usual = _EXAMPLES.get(shape.dimension, "")
    if shape.dimension == "length" and shape.most in {"2 m", "5 cm", "1 m"}:
        return "2 mm or 0.08 in"
    if shape.dimension == "length" and shape.most == "5 m":
        return "2 m or 6.5 ft"
    if shape.dimension == "ratio":
        return "1.5" if shape.least == "1" else "40 %"
    return usual


def _some(words: Sequence[str] | Any) -> str:
    held = list(words)
    more = f" and {len(held) - _MANY_WORDS} more" if len(held) > _MANY_WORDS else ""
    return ", ".join(held[:_MANY_WORDS]) + more
