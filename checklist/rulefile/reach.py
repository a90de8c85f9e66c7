"""Whether a step can ever apply, tried over every combination of answers that matters."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import islice, product

from checklist.quantities import Quantity
from checklist.rulefile.conditions import Beyond, Condition, Fact, Truth, Unsaid
from checklist.rulefile.model import Choice, Confirm, Step

_MOST = 50_000
"""Combinations tried; a condition over more facts than this is taken as reachable."""


def can_apply(condition: Condition, earlier: Mapping[str, Step]) -> bool:
    """Return whether some answers of `earlier` steps make `condition` true.

    Don't know is left out: it makes a step apply by default and would hide the mistake. A
    fact whose own step does not apply under the tried answers counts as not asked.
    """
    facts = _facts_behind(condition, earlier)
    domains = [_domain(name, condition, earlier, facts) for name in facts]
    combinations = product(*domains)
    for values in islice(combinations, _MOST):
        answers = dict(zip(facts, values, strict=True))
        if condition.truth(_as_asked(answers, earlier)) is Truth.TRUE:
            return True
    return next(combinations, None) is not None


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
    return list(_around(name, conditions))


def _around(name: str, conditions: list[Condition]) -> Iterator[Quantity]:
    """Yield quantities at, below and above every limit that is compared with a reading."""
    for condition in conditions:
        for atom in condition.atoms():
            if isinstance(atom, Beyond) and atom.fact == name:
                for limit in filter(None, (atom.above, atom.below)):
                    step = max(abs(limit.value) / 1000, Decimal("0.001"))
                    for value in (limit.value, limit.value - step, limit.value + step):
                        yield Quantity(value, limit.unit)


def _as_asked(answers: Mapping[str, Fact], earlier: Mapping[str, Step]) -> dict[str, Fact]:
    seen: dict[str, Fact] = {}
    for name, value in answers.items():
        when = earlier[name].when
        asked = when is None or when.truth(seen) is not Truth.FALSE
        seen[name] = value if asked else Unsaid.NOT_ASKED
    return seen
