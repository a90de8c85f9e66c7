"""Reads a quantity as people type it, and refuses what could be read in two ways."""

from __future__ import annotations

import re
from decimal import Decimal

from checklist.errors import StandclearError
from checklist.quantities.quantity import Quantity, plain
from checklist.quantities.units import DIMENSIONS, UNITS, unit_named

_LONGEST = 40
_NUMBER = r"[+-]?(?:\d{1,15}(?:\.\d{1,12})?|\.\d{1,12})"
_ONE = re.compile(rf"(?P<number>{_NUMBER})(?P<e>[eE][+-]?\d{{1,2}})?\s*(?P<unit>.*)", re.DOTALL)
_FEET = r"(?P<feet>\d{1,6})\s*(?:ft|foot|feet|')\.?\s*"
_INCHES = r"(?P<inches>\d{1,2}(?:\.\d{1,6})?)"
_FEET_AND_INCHES = re.compile(rf"{_FEET}{_INCHES}\s*(?:in|inch|inches|\")\.?")
_FEET_AND_NUMBER = re.compile(rf"{_FEET}{_INCHES}")
_PARTS_OF_A_TAPE = re.compile(r"(?<![\d/.,])(?:(\d{1,6}) )?(\d{1,2})/(2|4|8|16|32|64)(?![\d/.,])")
"""Halves to sixty-fourths, as a tape in inches is read; each is a decimal without a rest."""

_AS_ON_A_KEYBOARD = str.maketrans(
    {"′": "'", "’": "'", "″": '"', "”": '"'}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)


class QuantityRefused(StandclearError):
    """A text is not a quantity of the dimension asked for."""


def parse_quantity(text: str, dimension: str, *, where: str = "") -> Quantity:
    """Return the quantity that `text` states, keeping the text as typed.

    `dimension` is one of DIMENSIONS. A number without a unit is refused, except for a
    ratio, where it stands for itself. Accepts `35 ft 6 in`, `5'11"`, `6 1/2 in`, `1.5 kW`,
    `-4 degF`. Raises QuantityRefused with what would be right: units of the dimension, a
    decimal point instead of a comma, a finite number.
    """
    typed = " ".join(text.split())
    try:
        return _parsed(typed, dimension)
    except QuantityRefused as refused:
        raise QuantityRefused(refused.what, where=where, right=refused.right) from None


def _parsed(typed: str, dimension: str) -> Quantity:
    example = _examples(dimension)
    if not typed:
        raise QuantityRefused("nothing was typed", right=example)
    if len(typed) > _LONGEST:
        raise QuantityRefused(f"the text is longer than {_LONGEST} characters", right=example)
    read = typed
    if dimension == "length":
        read = _in_decimals(typed)
        if mixed := _FEET_AND_INCHES.fullmatch(read):
            return _feet_and_inches(mixed, typed)
        if mixed := _FEET_AND_NUMBER.fullmatch(read):
            raise QuantityRefused(
                f"“{typed}” does not say what the {mixed['inches']} is",
                right=f"Write {mixed['feet']} ft {mixed['inches']} in.",
            )
    found = _ONE.fullmatch(read)
    if found is None:
        raise QuantityRefused(f"“{typed}” does not begin with a number", right=example)
    if found["unit"].startswith(","):
        raise QuantityRefused(
            f"“{typed}” has a comma",
            right="Write decimals after a point, and thousands without a comma: 1.5, 1200.",
        )
    return _with_unit(found, typed, dimension, example)


def _with_unit(found: re.Match[str], typed: str, dimension: str, example: str) -> Quantity:
    value = Decimal(found["number"] + (found["e"] or ""))
    spelled = found["unit"]
    if not spelled:
        if dimension == "ratio":
            return Quantity(value, UNITS["1"], typed)
        raise QuantityRefused(f"“{typed}” has no unit", right=example)
    unit = unit_named(spelled, dimension) or unit_named(spelled.removesuffix("."), dimension)
    if unit is None:
        _refuse_number(typed, spelled)
        raise QuantityRefused(f"“{spelled}” is not a unit known here", right=example)
    if unit.dimension != dimension:
        raise QuantityRefused(
            f"“{typed}” is {_one(unit.dimension)}, and {_one(dimension)} is asked for",
            right=example,
        )
    return Quantity(value, unit, typed)


def _refuse_number(typed: str, spelled: str) -> None:
    """Say what is wrong with the number itself, where what follows it is no unit but more of it."""
    if "/" in spelled.partition(" ")[0] and spelled[0] in "/0123456789":
        raise QuantityRefused(f"“{typed}” is a fraction", right="Write it with a point: 0.5.")
    if spelled[0].isdigit() and typed.endswith(f" {spelled}"):
        raise QuantityRefused(f"“{typed}” has two numbers", right="Write it as one: 1250 m.")
    if spelled[0].isdigit():
        raise QuantityRefused(
            f"the number in “{typed}” has too many digits",
            right="Give at most 15 before the point and 12 after it.",
        )


def _in_decimals(typed: str) -> str:
    """Return a length with the fractions of a tape as decimals: `6 1/2 in` as `6.5 in`."""

    def decimal(found: re.Match[str]) -> str:
        whole, upper, lower = found[1] or "0", int(found[2]), int(found[3])
        part = plain(Decimal(upper) / lower)
        return f"{whole}{part[1:]}" if upper < lower else found[0]

    text = typed.translate(_AS_ON_A_KEYBOARD).replace("''", '"')
    return _PARTS_OF_A_TAPE.sub(decimal, " ".join(text.split()))


def _one(dimension: str) -> str:
    """Return `a length`, `an angle`."""
    return f"{'an' if dimension[0] in 'aeiou' else 'a'} {dimension}"


def _feet_and_inches(found: re.Match[str], typed: str) -> Quantity:
    inches = Decimal(found["inches"])
    if inches >= 12:
        raise QuantityRefused(
            f"“{typed}” has {plain(inches)} inches in a foot", right="Give 0 to 11.9 inches."
        )
    return Quantity(Decimal(found["feet"]) * 12 + inches, UNITS["in"], typed)


def _examples(dimension: str) -> str:
    symbols = [u.symbol for u in DIMENSIONS[dimension] if u.symbol != "1"]
    if dimension == "ratio":
        return "Give a number, or a number in %."
    return f"Give a number and a unit: {', '.join(symbols[:6])}."
