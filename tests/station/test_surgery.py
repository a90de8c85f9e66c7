"""Edits of a station file's text: one value alone changes, and every other byte stays."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from checklist.station.marks import EditRefused
from checklist.station.surgery import with_key, with_value, without
from checklist.strictyaml import Path, read_yaml
from tests.station.making import WHOLE

DATA = read_yaml(WHOLE, "whole.yaml").data
LAYOUTS = {
    "as written": WHOLE,
    "block": yaml.safe_dump(DATA, sort_keys=False, default_flow_style=False),
    "flow": yaml.safe_dump(DATA, sort_keys=False, default_flow_style=True, width=80),
    "carriage returns": WHOLE.replace("\n", "\r\n"),
}


def places(data: Any, path: Path = ()) -> Iterator[Path]:
    """Yield every path below the data."""
    if path:
        yield path
    if isinstance(data, str):
        return
    for step, one in data.items() if isinstance(data, dict) else enumerate(data):
        yield from places(one, (*path, step))


def held(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


def replaced(path: Path, value: Any) -> Any:
    data = copy.deepcopy(DATA)
    held(data, path[:-1])[path[-1]] = value
    return data


LEAVES = [path for path in places(DATA) if isinstance(held(DATA, path), str)]


@pytest.mark.parametrize("every", [3, pytest.param(1, marks=pytest.mark.long)])
def test_every_value_changes_alone_and_all_other_bytes_stay(every: int) -> None:
    """For each of the whole station's values: the text differs at its place and nowhere else.

    All of them under long, and each third in the quick suite.
    """
    for path in LEAVES[::every]:
        old = held(DATA, path)
        new = with_value(WHOLE, path, "other")
        start = next(i for i, (a, b) in enumerate(zip(WHOLE, new, strict=False)) if a != b)
        kept = len(new) - start
        while not WHOLE.endswith(new[len(new) - kept :]):
            kept -= 1
        cut = WHOLE[start : len(WHOLE) - kept]

        assert read_yaml(new, "new").data == replaced(path, "other"), path
        assert len(cut) <= len(old) + 2 * old.count("\n") * 4 + 4, (path, cut)


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("every", [23, pytest.param(1, marks=pytest.mark.long)])
def test_any_change_anywhere_gives_exactly_the_data_meant(layout: str, every: int) -> None:
    """In block and flow style: values of each kind put in, keys renamed and taken out.

    At each place of the whole station under long, and at one of twenty-three in the quick suite.
    """
    text = LAYOUTS[layout]
    data = read_yaml(text, "whole").data
    values: list[Any] = ["one", "two\nlines", "a: b # c", {"a": "b"}, ["q: x", "y"]]
    for number, path in list(enumerate(places(data)))[::every]:
        value = values[number % len(values)]

        assert held(read_yaml(with_value(text, path, value), "new").data, path) == value
        assert path[-1] not in _names(read_yaml(without(text, path), "new").data, path)
        if isinstance(path[-1], str):
            named = read_yaml(with_key(text, path, "other-name"), "new").data
            assert held(named, (*path[:-1], "other-name")) == held(data, path)


def _names(data: Any, path: Path) -> Any:
    above = held(data, path[:-1])
    if isinstance(above, list):
        shorter = len(above) < len(held(DATA, path[:-1]))
        return () if shorter else range(len(above))
    return above


def test_comments_stay_where_they_are() -> None:
    """A comment after, above and below a value is there after the value and its kin changed."""
    text = "a: 1  # one\n# above\nb:\n  c: [x, y]  # two\n  # inside\n  d: {e: f}\n# end\n"
    text = with_value(text, ("b", "c"), ["x", "z", "w"])
    text = with_value(text, ("b", "d", "g"), "h")
    text = with_value(text, ("b", "i"), "j")
    text = without(text, ("a",))

    assert text == (
        "# above\nb:\n  c: [x, z, w]  # two\n  # inside\n  d: {e: f, g: h}\n  i: j\n# end\n"
    )


def test_what_is_not_there_is_refused() -> None:
    """A path that leads nowhere, and a name that is taken, are refused in one sentence."""
    with pytest.raises(EditRefused, match="there is no such place"):
        with_value(WHOLE, ("antennas", "nothing", "is"), "x")
    with pytest.raises(EditRefused, match="there is no such place"):
        without(WHOLE, ("antennas", "nothing"))
    with pytest.raises(EditRefused, match="stands there already"):
        with_key(WHOLE, ("antennas", "beam"), "dish")
