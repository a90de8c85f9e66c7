"""Frozen dataclasses as plain data and back, by their declared types, strictly.

Numbers with a fraction are decimal texts that give the same number again, so that what is hashed
and signed has one spelling. Where a field may hold one of several classes, `is` names the class.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from checklist.errors import StandclearError

_IS = "is"
NOT_KEPT = {"kept": False}
"""Metadata of a field that is left out, and has its default when it is read back."""

_T = TypeVar("_T")


class DataRefused(StandclearError):
    """Plain data is not what it should be; the sentence names the field."""


def data_of(value: object) -> dict[str, Any]:
    """Return a dataclass as dicts, lists, texts, whole numbers, truth values and None."""
    return cast(dict[str, Any], _written(value, type(value)))


def read_as(kind: type[_T], data: object, where: str) -> _T:
    """Return the object that `data_of` wrote; raises DataRefused for anything else, by field."""
    return cast(_T, _read(data, kind, where))


def _written(value: Any, kind: Any) -> Any:
    if value is None or isinstance(value, bool | str):
        return value.value if isinstance(value, StrEnum) else value
    if isinstance(value, tuple):
        kinds = _kinds(_tuple_kind(kind), len(value))
        return [_written(item, one) for item, one in zip(value, kinds, strict=True)]
    if dataclasses.is_dataclass(value):
        data = {_IS: type(value).__name__} if len(_classes(kind)) > 1 else {}
        hints = _fields(cast(type, type(value)))
        return data | {name: _written(getattr(value, name), hints[name]) for name in hints}
    if complex in _choices(kind):
        return [repr(value.real), repr(value.imag)]
    return repr(float(value)) if float in _choices(kind) else int(value)


def _read(data: Any, kind: Any, where: str) -> Any:
    if data is None and NoneType in _choices(kind):
        return None
    kinds = [one for one in _choices(kind) if one is not NoneType]
    classes = _classes(kind)
    if classes:
        return _object(data, classes, where)
    one = kinds[0]
    if get_origin(one) is tuple:
        return _tuple(data, one, where)
    if one is complex:
        real, imaginary = _tuple(data, tuple[float, float], where)
        return complex(real, imaginary)
    return _plain(data, one, where)


def _object(data: Any, classes: list[type], where: str) -> Any:
    if not isinstance(data, dict):
        raise DataRefused("it is not an object", where=where)
    chosen, held = classes[0], data
    if len(classes) > 1:
        by_name = {one.__name__: one for one in classes}
        if data.get(_IS) not in list(by_name):
            raise DataRefused(
                f"“{_IS}” names no class known here", where=where,
                right=f"They are {', '.join(by_name)}.",
            )  # fmt: skip
        chosen = by_name[data[_IS]]
        held = {name: item for name, item in data.items() if name != _IS}
    hints = _fields(chosen)
    _require_keys(held, set(hints), where)
    values = {name: _read(held[name], hint, f"{where}, {name}") for name, hint in hints.items()}
    return chosen(**values)


def _require_keys(data: Mapping[str, Any], keys: set[str], where: str) -> None:
    for key in sorted(keys - data.keys()):
        raise DataRefused(f"“{key}” is missing", where=where)
    for key in sorted(data.keys() - keys):
        raise DataRefused(f"“{key}” is not known here", where=where)


def _tuple(data: Any, kind: Any, where: str) -> tuple[Any, ...]:
    if not isinstance(data, list):
        raise DataRefused("it is not a list", where=where)
    kinds = _kinds(kind, len(data))
    if len(kinds) != len(data):
        raise DataRefused(f"it has {len(data)} items instead of {len(kinds)}", where=where)
    numbered = enumerate(zip(data, kinds, strict=True), start=1)
    return tuple(_read(item, one, f"{where} {number}") for number, (item, one) in numbered)


def _plain(data: Any, kind: type, where: str) -> Any:
    if kind is float:
        return _number(data, where)
    if issubclass(kind, StrEnum):
        if data not in list(kind):
            raise DataRefused(
                f"“{data}” cannot be here", where=where, right=f"It is {' or '.join(kind)}."
            )
        return kind(data)
    if type(data) is not kind:
        names = {str: "text", int: "whole number", bool: "truth value"}
        raise DataRefused(f"it is not a {names[kind]}", where=where)
    return data


def _number(data: Any, where: str) -> float:
    try:
        number = float(data) if isinstance(data, str) else None
    except ValueError:
        number = None
    if number is None or repr(number) != data:
        raise DataRefused("it is not a number as this program writes it", where=where)
    return number


@cache
def _fields(kind: type) -> dict[str, Any]:
    """Return the fields that are kept, each with its type."""
    hints = get_type_hints(kind)
    fields = dataclasses.fields(kind)
    return {f.name: hints[f.name] for f in fields if f.metadata.get("kept", True)}


def _choices(kind: Any) -> tuple[Any, ...]:
    return get_args(kind) if get_origin(kind) in {Union, UnionType} else (kind,)


def _classes(kind: Any) -> list[type]:
    return [one for one in _choices(kind) if dataclasses.is_dataclass(one)]  # type: ignore[misc]  # dataclass types only


def _tuple_kind(kind: Any) -> Any:
    return next(one for one in _choices(kind) if get_origin(one) is tuple)


def _kinds(kind: Any, count: int) -> tuple[Any, ...]:
    """Return the type of each item of a tuple that should hold `count`."""
    kinds = get_args(kind)
    return (kinds[0],) * count if kinds[-1] is Ellipsis else kinds
