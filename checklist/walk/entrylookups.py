"""Reads answers for which the program looks something up: points free of tags, a station file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any, cast, get_args

from checklist.calculations.kinds import Finding, Outcome, Result
from checklist.names import name_key
from checklist.plaintext import accept
from checklist.quantities import parse_quantity
from checklist.rulefile import (
    OfStation,
)
from checklist.walk.answers import (
    Described,
    Others,
    SeenLog,
    Sought,
)
from checklist.walk.entrylines import (
    LONGEST_NAME,
    AnswerRefused,
    lines_in,
    one_text,
    read_tag,
)

_LOOKED = datetime(2000, 1, 1, tzinfo=UTC)
"""Stands for the time of looking in an example; a walk puts its own in."""


def read_sought(typed: Any) -> Sought:
    """Return the answer in a mapping: `points`, `others`, and if it was counted by whom and what.

    `hangs` (lines as of a tag) and `logs` (how long ago each was read) stand in examples for
    what the program looks up; in a walk it looks it up itself.
    """
    keys = ("points", "others", "counted-by", "count", "hangs", "logs")
    if not isinstance(typed, Mapping) or not set(typed) <= set(keys):
        raise AnswerRefused("the points are missing", right=f"Give {', '.join(keys)}.")
    others = one_text(typed.get("others", "not read"))
    if others not in get_args(Others):
        raise AnswerRefused(
            f"“{others}” says nothing about other laptops",
            right=f"Say {', '.join(get_args(Others))}.",
        )
    return Sought(
        tuple(
            accept(p, field="point", longest=LONGEST_NAME)
            for p in lines_in(typed.get("points", []))
        ),
        cast(Others, others),
        *_counted(typed),
        hangs=tuple(read_tag(line) for line in lines_in(typed.get("hangs", []))),
        logs=tuple(map(_log_read, enumerate(lines_in(typed.get("logs", []))))),
        at=_LOOKED,
    )


def read_described(kind: OfStation, typed: Any) -> Described:
    """Return the answer in `{file: path of the station file}`; a walk works out the finding.

    `{outcome: within}` (or over, or not shown) stands in examples for what the program finds.
    """
    name = kind.calculation.name
    given = {"file": typed} if isinstance(typed, str) else typed
    if not isinstance(given, Mapping) or len(given) != 1 or not set(given) <= {"file", "outcome"}:
        raise AnswerRefused("the station file is missing", right="Give its path.")
    if "file" in given:
        path = accept(one_text(given["file"]).strip().strip("'\""), field="station file")
        if not path:
            raise AnswerRefused("the station file is missing", right="Give its path.")
        return Described(name, path)
    word = one_text(given["outcome"])
    if word not in set(Outcome):
        raise AnswerRefused(f"“{word}” is not an outcome", right=f"Say {', '.join(Outcome)}.")
    said = f"an example that is {word}"
    return Described(name, said, Finding(name, 1, {}, Result(Outcome(word), f"{said}.")))


def _counted(typed: Mapping[str, Any]) -> tuple[tuple[str, ...], str]:
    by = tuple(
        accept(name, field="counted by", longest=LONGEST_NAME)
        for name in lines_in(typed.get("counted-by", []))
    )
    count = one_text(typed.get("count", "")).strip()
    if not count and not by:
        return (), ""
    if not re.fullmatch("[0-9]{1,3}", count):
        raise AnswerRefused(f"“{count}” is not a count", right="Count the locks: 0, 1, 2 ...")
    if len({name_key(name) for name in by}) < 2:
        raise AnswerRefused("two different people count the locks at the point", right="Name both.")
    return by, str(int(count))


def _log_read(numbered: tuple[int, str]) -> SeenLog:
    number, ago = numbered
    age = timedelta(seconds=float(parse_quantity(ago, "time").si))
    return SeenLog(f"{number:032x}", _LOOKED - age)
