"""Reads a set of limits from `rules/limits`, or a club's own, strictly and all errors at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from checklist.calculations.exposure.limits import Band, Law, LimitSet, LimitTable, Tier
from checklist.errors import StandclearError
from checklist.rulebook import Source
from checklist.strictyaml import Document, Path, read_yaml

_SET = {"limits", "title", "jurisdiction", "edition", "source", "about", "tables"}
_TABLE = {"table", "tier", "averaging", "rows"}
_ROW = {"from", "to"}
_COLUMNS = {
    "E": {"V/m": 1.0},
    "H": {"A/m": 1.0, "mA/m": 1e-3},
    "S": {"W/m2": 1.0, "mW/cm2": 10.0, "uW/cm2": 0.01},
}
_COLUMNS |= {"SE": _COLUMNS["S"], "SH": _COLUMNS["S"]}
_TIMES = {"s": 1.0, "min": 60.0}
_FREQUENCIES = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}
_NUMBER = r"\d+(?:\.\d+)?(?:e-?\d+)?"
_LAW = re.compile(
    rf"(?P<factor>{_NUMBER})?\s*(?P<sign>[*/])?\s*(?P<f>fG|f)?(?:\^(?P<power>{_NUMBER}))?"
    rf"\s*(?:/\s*(?P<divisor>{_NUMBER}))?\s+(?P<unit>[A-Za-z0-9/]+)"
)
_EXAMPLE = "Write a number and a unit, with f in MHz or fG in GHz: 1842 / f V/m, f / 300 mW/cm2"


class LimitsRefused(StandclearError):
    """One or more errors in files of limits; the sentence has one line for each."""

    def __init__(self, errors: list[str]) -> None:
        self.errors = errors
        super().__init__("\n".join(errors))


def load_limits(
    shipped: Mapping[str, str], sources: Mapping[str, Source], own: Mapping[str, str] | None = None
) -> dict[str, LimitSet]:
    """Return every set by its name, from file name to content; a club's own sets come in `own`.

    Raises LimitsRefused with every error, each with file, line and column. A club's set must
    cite a source of the bibliography, and never takes the name of another set.
    """
    reader = _Reader(sources)
    for texts, is_clubs in ((shipped, False), (own or {}, True)):
        for name in sorted(texts):
            reader.read(name, texts[name], is_clubs=is_clubs)
    if reader.errors:
        raise LimitsRefused(reader.errors)
    return reader.sets


class _Reader:
    def __init__(self, sources: Mapping[str, Source]) -> None:
        self.sources = sources
        self.errors: list[str] = []
        self.sets: dict[str, LimitSet] = {}

    def read(self, name: str, text: str, *, is_clubs: bool) -> None:
        try:
            doc = read_yaml(text, name)
        except StandclearError as error:
            self.errors.append(error.sentence())
            return
        data = doc.data
        if not self._keys(doc, (), data, _SET, set()):
            return
        source = self._source(doc, ("source",), data["source"])
        tables = [
            table
            for i, entry in enumerate(self._list(doc, ("tables",), data["tables"]))
            if source and (table := self._table(doc, ("tables", i), entry, source))
        ]
        if data["limits"] in self.sets:
            self._error(doc, ("limits",), f"there is already a set “{data['limits']}”")
        elif source and tables:
            self.sets[data["limits"]] = LimitSet(
                data["limits"],
                data["title"],
                data["jurisdiction"],
                data["edition"],
                data["about"],
                source,
                tuple(tables),
                _density_unit(text),
                is_clubs,
            )

    def _table(self, doc: Document, path: Path, entry: Any, of_set: Source) -> LimitTable | None:
        if not self._keys(doc, path, entry, _TABLE, {"source"}):
            return None
        source = of_set
        if "source" in entry:
            source = self._source(doc, (*path, "source"), entry["source"]) or of_set
        if entry["tier"] not in set(Tier):
            self._error(doc, (*path, "tier"), f"“{entry['tier']}” is not a tier: {', '.join(Tier)}")
            return None
        averaging = None
        if entry["averaging"] != "none":
            averaging = self._law(doc, (*path, "averaging"), entry["averaging"], _TIMES)
        bands = [
            band
            for i, row in enumerate(self._list(doc, (*path, "rows"), entry["rows"]))
            if (band := self._band(doc, (*path, "rows", i), row, averaging))
        ]
        averaged = entry["averaging"] != "none"
        return LimitTable(entry["table"], Tier(entry["tier"]), source, averaged, tuple(bands))

    def _band(self, doc: Document, path: Path, row: Any, averaging: Law | None) -> Band | None:
        if not self._keys(doc, path, row, _ROW, {"averaging", *_COLUMNS}):
            return None
        if "averaging" in row:
            averaging = self._law(doc, (*path, "averaging"), row["averaging"], _TIMES)
        low = self._law(doc, (*path, "from"), row["from"], _FREQUENCIES)
        high = self._law(doc, (*path, "to"), row["to"], _FREQUENCIES)
        laws = [
            (name, law)
            for name, units in _COLUMNS.items()
            if name in row and (law := self._law(doc, (*path, name), row[name], units))
        ]
        if not laws:
            self._error(doc, path, f"the row limits nothing; give one of {', '.join(_COLUMNS)}")
        if low is None or high is None or not laws:
            return None
        if low.power or high.power or not 0 < low.factor < high.factor:
            self._error(doc, path, "the row must go from a lower frequency to a higher one")
            return None
        return Band(low.factor, high.factor, tuple(laws), averaging)

    def _law(self, doc: Document, path: Path, text: Any, units: Mapping[str, float]) -> Law | None:
        found = _LAW.fullmatch(text) if isinstance(text, str) else None
        law = _as_law(found, units) if found else None
        if law is None:
            known = ", ".join(units)
            self._error(doc, path, f"“{text}” cannot be read. {_EXAMPLE}. Units here: {known}")
        return law

    def _source(self, doc: Document, path: Path, source_id: Any) -> Source | None:
        found = self.sources.get(source_id) if isinstance(source_id, str) else None
        if found is None:
            self._error(doc, path, f"the source “{source_id}” is not in sources.yaml")
        return found

    def _list(self, doc: Document, path: Path, data: Any) -> list[Any]:
        if isinstance(data, list) and data:
            return data
        self._error(doc, path, "a list with at least one item is needed here")
        return []

    def _keys(
        self, doc: Document, path: Path, data: Any, needed: set[str], allowed: Iterable[str]
    ) -> bool:
        if not isinstance(data, dict):
            self._error(doc, path, f"the keys {', '.join(sorted(needed))} are needed here")
            return False
        unknown = sorted(data.keys() - needed - set(allowed))
        missing = sorted(needed - data.keys())
        for key in unknown:
            self._error(doc, (*path, key), f"the key “{key}” is not known here")
        for key in missing:
            self._error(doc, path, f"the key “{key}” is missing")
        texts = [
            k for k, v in data.items() if k not in {"tables", "rows"} and not isinstance(v, str)
        ]
        for key in texts:
            self._error(doc, (*path, key), f"the key “{key}” needs a plain text")
        return not unknown and not missing and not texts

    def _error(self, doc: Document, path: Path, what: str) -> None:
        self.errors.append(f"{doc.where(path)}: {what}.")


def _density_unit(text: str) -> str:
    """Return the unit in which a file prints power density, for display."""
    return next((unit for unit in _COLUMNS["S"] if f" {unit}" in text), "W/m2")


def _as_law(found: re.Match[str], units: Mapping[str, float]) -> Law | None:
    """Return the law of a text that has the form, or None where it means nothing."""
    factor, sign, f, power = found["factor"], found["sign"], found["f"], found["power"]
    divisor, unit = found["divisor"], found["unit"]
    if unit not in units or (factor is None and f is None):
        return None
    if (sign is None) != (factor is None or f is None) or (power and not f):
        return None
    if divisor and (factor is not None or float(divisor) == 0):
        return None
    number = float(factor or 1) / float(divisor or 1) * units[unit]
    exponent = 0.0 if f is None else float(power or 1) * (-1 if sign == "/" else 1)
    if not 0 < number < float("inf"):
        return None
    return Law(number, exponent, 1e9 if f == "fG" else 1e6)
