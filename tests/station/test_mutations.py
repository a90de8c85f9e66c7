"""Damaged station files: whatever is changed, sentences come and nothing breaks."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.station import Station, StationRefused, load_station
from checklist.strictyaml import Path, read_yaml
from tests.station.making import WHOLE

_PLAIN = read_yaml(WHOLE, "station.yaml").data
_SENTENCE = re.compile(r"damaged\.yaml, line \d+, column \d+: .+[.?]", re.DOTALL)
_TRACE = re.compile(r"Traceback|NoneType|\bNone\b|object at 0x|Error\b")


def _below(data: Any, path: Path) -> Iterator[Path]:
    for key, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from _below(value, (*path, key))


def _damaged(path: Path, how: str) -> str:
    data = copy.deepcopy(_PLAIN)
    holder: Any = data
    for part in path[:-1]:
        holder = holder[part]
    last: Any = path[-1]
    if how == "gone":
        del holder[last]
    elif how == "renamed" and isinstance(holder, dict):
        holder[f"{last}x"] = holder.pop(last)
    else:
        old = holder[last]
        holder[last] = {"text": "?", "list": [old], "keys": {"a": old}, "number": "12",
                        "empty": ""}.get(how, "unknown")  # fmt: skip
    return yaml.safe_dump(data, allow_unicode=True, sort_keys=False)


@settings(max_examples=300, deadline=None)
@given(
    path=st.sampled_from(list(_below(_PLAIN, ()))),
    how=st.sampled_from(["gone", "renamed", "text", "list", "keys", "number", "empty", "unknown"]),
)
def test_a_damaged_file_gives_sentences_or_a_station(path: Path, how: str) -> None:
    """Anything deleted, renamed or replaced anywhere is refused in sentences, or loads."""
    try:
        assert isinstance(load_station(_damaged(path, how), "damaged.yaml"), Station)
    except StationRefused as refused:
        for error in refused.errors:
            assert _SENTENCE.fullmatch(error), error
            assert not _TRACE.search(error), error
