"""What is kept has one spelling, down to the deepest level that is allowed."""

from __future__ import annotations

import json

import pytest

from checklist.record.files.strictjson import DEEPEST, Json, JsonRefused, dump, parse


def test_every_kind_of_value_has_its_one_spelling() -> None:
    """As Python's own writer spells it without blanks (RFC 8259), and it comes back the same."""
    data: dict[str, Json] = {
        "a": True,
        "b": False,
        "c": None,
        "d": -5,
        "e": "é\n",
        "f": [1, "x", []],
        "g": {},
    }

    assert dump(data).decode() == json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    assert parse(dump(data)) == data


@pytest.mark.parametrize("around", [lambda inner: [inner], lambda inner: {"a": inner}])
def test_the_deepest_level_is_kept_and_the_next_is_not(around: object) -> None:
    """Sixteen levels, the object itself among them, whether of lists or of objects."""
    assert callable(around)
    data: object = 1
    for _ in range(DEEPEST - 1):
        data = around(data)
    deepest = {"a": data}

    assert parse(dump(deepest)) == deepest
    with pytest.raises(JsonRefused, match="16 levels"):
        dump({"a": around(data)})
    with pytest.raises(JsonRefused, match="16 levels"):
        parse(json.dumps({"a": around(data)}, separators=(",", ":")).encode())
