"""Says what is wrong with the shape of a rule file, in our words and with the file's own paths."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from typing import Any

from checklist.strictyaml import Path

_QUOTED = re.compile("'([^']*)'")

Wrong = tuple[Path, str]
"""Where, and what is wrong there."""


def shape_errors(errors: Sequence[Any], data: Any) -> tuple[list[Wrong], list[Path]]:
    """Return one sentence for each mistake, and the path of every value that cannot be used.

    `errors` is what pydantic lists. A key that is misspelt is one mistake, although it is
    unknown and another is missing.
    """
    errors = [e for e in errors if not _is_echo(e)]
    misspelt, put_right = _misspelt(errors, data)
    said: list[Wrong] = []
    unusable: list[Path] = []
    for error in errors:
        path = _path_in(data, error["loc"])
        if error["type"] == "missing":
            missing = (*_path_in(data, error["loc"][:-1]), error["loc"][-1])
            unusable.append(missing)
            if missing not in put_right:
                said.append((path, f"the key “{error['loc'][-1]}” is missing"))
            continue
        unusable.append(path)
        said.append((path, misspelt.get(path) or _what(path, dict(error))))
    return said, unusable


def _is_echo(error: Any) -> bool:
    """Return whether a list is called short only because what stands in it is wrong as well."""
    given = error.get("input")
    if error["type"] != "too_short" or not isinstance(given, list | dict):
        return False
    return len(given) >= int(error["ctx"]["min_length"])


def _misspelt(errors: Sequence[Any], data: Any) -> tuple[dict[Path, str], set[Path]]:
    """Return what is said of unknown keys that stand for a missing one, and the missing ones."""
    missing = {
        (*_path_in(data, e["loc"][:-1]), str(e["loc"][-1]))
        for e in errors
        if e["type"] == "missing"
    }
    said: dict[Path, str] = {}
    put_right: set[Path] = set()
    for error in errors:
        if error["type"] != "extra_forbidden":
            continue
        path = _path_in(data, error["loc"])
        if path[-2:] == ("confirm", "yes"):
            said[path] = (
                "a confirm is worded so that yes is the safe answer; say only what a no does"
            )
            put_right.add((*path[:-1], "no"))
            continue
        there = [str(m[-1]) for m in missing - put_right if m[:-1] == path[:-1]]
        meant = difflib.get_close_matches(str(path[-1]), there, n=1)
        if meant:
            said[path] = f"the key “{path[-1]}” is not known here; did you mean “{meant[0]}”?"
            put_right.add((*path[:-1], meant[0]))
    return said, put_right


def _what(path: Path, error: dict[str, Any]) -> str:
    context = error.get("ctx", {})
    given = error.get("input")
    if error["type"] in _SHAPES:
        return _SHAPES[error["type"]]
    if error["type"] == "literal_error" and not isinstance(given, str):
        return _SHAPES["string_type"]
    short = _short(given)
    if path[-1:] == ("clear",):
        return f"“{short}” is neither none nor a list of ways"
    match error["type"]:
        case "extra_forbidden":
            return f"the key “{path[-1]}” is not known here"
        case "literal_error":
            expected = _QUOTED.sub("“\\1”", str(context.get("expected", "allowed")))
            return f"“{short}” is not {expected}"
        case "string_pattern_mismatch":
            return f"“{short}” is not an id; write small letters, digits and -"
        case "too_short":
            return f"at least {context.get('min_length', 1)} must stand here"
        case "greater_than_equal" | "less_than_equal":
            return f"“{short}” is not a count from 1 to 20"
        case _:
            return f"“{short}” does not fit here"


_SHAPES = {
    "model_type": "keys with their values are needed here, as key: value",
    "model_attributes_type": "keys with their values are needed here, as key: value",
    "dict_type": "keys with their values are needed here, as key: value",
    "tuple_type": "a list is needed here, as [one, two]",
    "list_type": "a list is needed here, as [one, two]",
    "string_type": "one text is needed here",
    "string_too_short": "nothing stands here; write a text",
    "int_type": "a whole number is needed here",
    "int_parsing": "a whole number is needed here",
    "int_parsing_size": "a whole number is needed here",
    "int_from_float": "a whole number is needed here",
}


def _path_in(data: Any, loc: Sequence[str | int]) -> Path:
    """Return the part of a pydantic location that exists in the data (union tags do not)."""
    path: list[str | int] = []
    inner: Any = data
    for part in loc:
        there = part in inner if isinstance(inner, dict) else _is_index(inner, part)
        if there:
            inner = inner[part]
            path.append(part)
    return tuple(path)


def _is_index(inner: Any, part: str | int) -> bool:
    return isinstance(inner, list) and isinstance(part, int) and part < len(inner)


def _short(value: Any) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 40 else f"{text[:37]}..."
