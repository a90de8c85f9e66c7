"""Writes a station as YAML that people read and that loads to the same station."""

from __future__ import annotations

import re
from typing import Any

import yaml

from checklist.station.loader import STATION
from checklist.station.station import Station

_PLAIN_NULL = re.compile("~|null|Null|NULL|")
_WIDTH = 100
_SHORT = 88


class _Flow(list[Any]):
    """A list that is written in one line."""


class _FlowMap(dict[str, Any]):
    """A mapping that is written in one line."""


class _Dumper(yaml.SafeDumper):
    """Writes texts as they are: the loader reads every scalar as text."""

    def ignore_aliases(self, data: Any) -> bool:
        """Write everything out; anchors are not read."""
        del data
        return True


def _text(dumper: yaml.SafeDumper, data: str) -> yaml.Node:
    if _PLAIN_NULL.fullmatch(data):
        return dumper.represent_scalar("tag:yaml.org,2002:str", data, style='"')
    style = "|" if "\n" in data else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", data, style=style)


_Dumper.yaml_implicit_resolvers = {}
_Dumper.add_representer(str, _text)
_Dumper.add_representer(
    _Flow,
    lambda dumper, data: dumper.represent_sequence(
        "tag:yaml.org,2002:seq", list(data), flow_style=True
    ),
)
_Dumper.add_representer(
    _FlowMap,
    lambda dumper, data: dumper.represent_mapping(
        "tag:yaml.org,2002:map", dict(data), flow_style=True
    ),
)


def write_station(station: Station) -> str:
    """Return the station file; `load_station` reads it to an equal station."""
    data = _laid_out(STATION.write(station), depth=0)
    return str(yaml.dump(data, Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=_WIDTH))


def _laid_out(data: Any, depth: int) -> Any:
    """Return the data with short lists, and short mappings deep inside, set in one line."""
    if isinstance(data, list):
        inner = [_laid_out(one, depth + 1) for one in data]
        return _Flow(inner) if all(isinstance(one, str) for one in data) else inner
    if isinstance(data, dict):
        inner_map = {key: _laid_out(one, depth + 1) for key, one in data.items()}
        flat = all(isinstance(one, str) and "\n" not in one for one in data.values())
        length = sum(len(key) + len(str(one)) + 4 for key, one in data.items())
        return _FlowMap(inner_map) if depth > 2 and flat and length < _SHORT else inner_map
    return data
