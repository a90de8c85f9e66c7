"""Says in words, for paper, on which earlier answers a step hangs."""

from __future__ import annotations

from collections.abc import Mapping

from checklist.quantities import both
from checklist.rulefile import Choice, RuleFile, Tag, TagsOff
from checklist.rulefile.conditions import All, AnyOf, Beyond, Condition, Is, Not


def only_if(condition: Condition, rule_file: RuleFile, numbers: Mapping[str, int]) -> str:
    """Return `Only if the answer to 4 is “Someone climbs” ...`; `numbers` number the steps."""
    return f"Only if {_said(condition, rule_file, numbers, inner=False)}."


def _said(
    condition: Condition, rule_file: RuleFile, numbers: Mapping[str, int], *, inner: bool
) -> str:
    match condition:
        case Is():
            return f"{numbers[condition.fact]} is {_values(condition, rule_file)}"
        case Beyond():
            return f"{numbers[condition.fact]} is {_beyond(condition)}"
        case Not(part=part):
            return f"it is not so that {_said(part, rule_file, numbers, inner=True)}"
        case All(parts=parts):
            joined = " and ".join(_said(p, rule_file, numbers, inner=True) for p in parts)
        case AnyOf(parts=parts):
            joined = " or ".join(_said(p, rule_file, numbers, inner=True) for p in parts)
    return f"({joined})" if inner and len(parts) > 1 else joined


def _values(condition: Is, rule_file: RuleFile) -> str:
    kind = rule_file.step(condition.fact).kind
    if isinstance(kind, Choice):
        said = [f"“{kind.options[value]}”" for value in condition.values]
    elif isinstance(kind, Tag | TagsOff):
        said = list(condition.values)
    else:
        said = [f"“{value}”" for value in condition.values]
    return " or ".join(said)


def _beyond(condition: Beyond) -> str:
    parts = []
    if condition.above is not None:
        parts.append(f"more than {both(condition.above)}")
    if condition.below is not None:
        parts.append(f"less than {both(condition.below)}")
    return " or ".join(parts)
