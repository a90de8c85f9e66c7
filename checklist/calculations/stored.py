"""Findings as plain data for the signed record, and back, strictly."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from checklist.calculations.kinds import Finding, Outcome, Output, Result
from checklist.errors import StandclearError
from checklist.quantities import UNITS, Quantity
from checklist.quantities.display import Side
from checklist.quantities.quantity import plain
from checklist.rulebook import Cited
from checklist.rulebook.stored import cited_data, cited_from

_FINDING = {"calculation", "version", "given", "outcome", "says", "outputs", "stops", "cautions",
            "decided-by", "used", "lines", "assumptions"}  # fmt: skip
_OUTPUT = {"name", "meaning", "value", "unit", "rounds"}
_SIDES: dict[str, Side] = {"up": "up", "down": "down", "nearest": "nearest"}


class StoredFindingRefused(StandclearError):
    """Data that should be a finding is not one."""


def as_data(finding: Finding) -> dict[str, Any]:
    """Return the finding as dicts, lists and texts; numbers are decimal texts with their unit.

    The version alone is an integer. Everything that the finding was judged by is in it:
    each published value as resolved, with citation and standing.
    """
    result = finding.result
    return {
        "calculation": finding.calculation,
        "version": finding.version,
        "given": dict(finding.given),
        "outcome": result.outcome.value,
        "says": result.says,
        "outputs": [
            {"name": o.name, "meaning": o.meaning, "value": plain(o.quantity.value),
             "unit": o.quantity.unit.symbol, "rounds": o.rounds}
            for o in result.outputs
        ],
        "stops": list(result.stops),
        "cautions": list(result.cautions),
        "decided-by": result.decided_by,
        "used": [
            cited_data(c) for c in result.used
        ],
        "lines": list(result.lines),
        "assumptions": list(result.assumptions),
    }  # fmt: skip


def from_data(data: object) -> Finding:
    """Return the finding that `as_data` wrote; raises StoredFindingRefused for anything else.

    The calculation's name is not looked up: an old record stays readable.
    """
    entry = _mapping(data, _FINDING, "finding")
    version = entry["version"]
    if type(version) is not int or version < 1:
        raise StoredFindingRefused("the version is not a positive integer", where="finding")
    result = Result(
        outcome=_outcome(entry["outcome"]),
        says=_text(entry["says"], "says"),
        outputs=tuple(_output(o) for o in _list(entry["outputs"], "outputs")),
        stops=_texts(entry["stops"], "stops"),
        cautions=_texts(entry["cautions"], "cautions"),
        decided_by=_text(entry["decided-by"], "decided-by"),
        used=tuple(_cited(c) for c in _list(entry["used"], "used")),
        lines=_texts(entry["lines"], "lines"),
        assumptions=_texts(entry["assumptions"], "assumptions"),
    )
    return Finding(_text(entry["calculation"], "calculation"), version, _given(entry), result)


def _given(entry: Mapping[str, Any]) -> dict[str, str]:
    given = entry["given"]
    if not isinstance(given, dict):
        raise StoredFindingRefused("“given” is not a mapping", where="finding")
    return {_text(k, "given"): _text(v, f"given {k}") for k, v in given.items()}


def _output(data: object) -> Output:
    entry = _mapping(data, _OUTPUT, "output")
    texts = {key: _text(value, f"output {key}") for key, value in entry.items()}
    if texts["unit"] not in UNITS:
        raise StoredFindingRefused(f"“{texts['unit']}” is not a unit known here", where="output")
    # Only the plain decimal form that as_data writes: no exponent, no spaces, no NaN.
    digits = texts["value"].removeprefix("-").replace(".", "", 1)
    if not (digits.isascii() and digits.isdigit()):
        raise StoredFindingRefused(f"“{texts['value']}” is not a decimal number", where="output")
    quantity = Quantity.of(Decimal(texts["value"]), texts["unit"])
    if texts["rounds"] not in _SIDES:
        raise StoredFindingRefused(f"“{texts['rounds']}” is no side to round to", where="output")
    return Output(texts["name"], texts["meaning"], quantity, _SIDES[texts["rounds"]])


def _cited(data: object) -> Cited:
    try:
        return cited_from(data)
    except StandclearError as error:
        raise StoredFindingRefused(error.what, where="used", right=error.right) from None


def _outcome(value: object) -> Outcome:
    try:
        return Outcome(_text(value, "outcome"))
    except ValueError:
        raise StoredFindingRefused(f"“{value}” is not an outcome", where="finding") from None


def _mapping(data: object, keys: set[str], where: str) -> Mapping[str, Any]:
    if not isinstance(data, dict) or set(data) != keys:
        raise StoredFindingRefused(
            "it does not have exactly the keys it should", where=where,
            right=f"They are {', '.join(sorted(keys))}.",
        )  # fmt: skip
    return data


def _list(value: object, where: str) -> list[Any]:
    if not isinstance(value, list):
        raise StoredFindingRefused("it is not a list", where=where)
    return value


def _texts(value: object, where: str) -> tuple[str, ...]:
    return tuple(_text(item, where) for item in _list(value, where))


def _text(value: object, where: str) -> str:
    if not isinstance(value, str):
        raise StoredFindingRefused("it is not a text", where=where)
    return value
