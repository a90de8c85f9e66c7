"""Whether a step can ever apply, tried over every combination of answers that matters."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from checklist.quantities import Quantity
from checklist.rulefile.conditions import Beyond, Condition, Fact, Truth, Unsaid
from checklist.rulefile.model import Choice, Confirm, Reading, Step

_MOST = 50_000
"""Answers tried; a condition that needs more is taken as reachable."""


def can_apply(condition: Condition, earlier: Mapping[str, Step]) -> bool:
    """Return whether some answers of `earlier` steps make `condition` true.

    Don't know is left out: it makes a step apply by default and would hide the mistake. A
    fact whose own step does not apply under the tried answers counts as not asked.
    """
    facts = _facts_behind(condition, earlier)
    domains = {name: _domain(name, condition, earlier, facts) for name in facts}
    tried = 0
    waiting: list[dict[str, Fact]] = [{}]
    while waiting:
        seen = waiting.pop()
        tried += 1
        truth = condition.truth(seen)
        if truth is Truth.TRUE or tried > _MOST:
            return True
        if truth is Truth.FALSE or len(seen) == len(facts):
            continue
        name = facts[len(seen)]
        when = earlier[name].when
        asked = when is None or when.truth(seen) is not Truth.FALSE
        values = domains[name] if asked else [Unsaid.NOT_ASKED]
        waiting.extend({**seen, name: value} for value in values)
    return False


def _facts_behind(condition: Condition, earlier: Mapping[str, Step]) -> list[str]:
    """Return the facts in `condition`, and those that decide whether these are asked, in order."""
    wanted = {a.fact for a in condition.atoms() if a.fact in earlier}
    for name in reversed(list(earlier)):
        when = earlier[name].when
        if name in wanted and when is not None:
            wanted |= {a.fact for a in when.atoms() if a.fact in earlier}
    return [name for name in earlier if name in wanted]


def _domain(
    name: str, condition: Condition, earlier: Mapping[str, Step], facts: list[str]
) -> list[Fact]:
    kind = earlier[name].kind
    if isinstance(kind, Confirm):
        return ["yes", "no"]
    if isinstance(kind, Choice):
        return list(kind.options)
    conditions = [condition, *(w for f in facts if (w := earlier[f].when) is not None)]
    signed = isinstance(kind, Reading) and kind.dimension == "temperature"
    return list(_around(name, conditions, signed=signed))


def _around(name: str, conditions: list[Condition], *, signed: bool) -> list[Quantity]:
    """Return the limits that a reading is compared with, and one quantity between each two.

    Only a temperature is `signed`; no other reading can be below zero.
    """
    limits = sorted(
        {
            limit
            for condition in conditions
            for atom in condition.atoms()
            if isinstance(atom, Beyond) and atom.fact == name
            for limit in (atom.above, atom.below)
            if limit is not None
        }
    )
    between = [
        Quantity.of((one.to(one.unit.symbol) + two.to(one.unit.symbol)) / 2, one.unit.symbol)
        for one, two in pairwise(limits)
    ]
    ends = [Quantity(end.value + by, end.unit) for end, by in ((limits[0], -1), (limits[-1], 1))]
    if not signed and ends[0].value < 0:
        ends[0] = Quantity(limits[0].value / 2, limits[0].unit)
    return [q for q in (*limits, *between, *ends) if signed or q.value >= 0]
