"""From a written condition to the meant one: facts, and what they are compared with."""

from __future__ import annotations

from checklist.rulefile import form
from checklist.rulefile.conditions import All, AnyOf, Beyond, Condition, Is, Not
from checklist.rulefile.model import Choice, Confirm, Kind, Reading
from checklist.rulefile.sofar import SoFar
from checklist.strictyaml import Path


def meant_condition(so_far: SoFar, path: Path, written: form.ConditionForm) -> Condition:
    """Return the condition; where `so_far` gained errors, nothing hangs on what is returned."""
    forms = {
        "fact": written.fact is not None,
        "all": written.all_ is not None,
        "any": written.any_ is not None,
        "not": written.not_ is not None,
    }
    compares = {written.is_, written.in_, written.above, written.below} != {None}
    if sum(forms.values()) != 1 or (compares and not forms["fact"]):
        so_far.error(path, "a condition is one of fact: with a comparison, all:, any:, not:")
        return All(())
    if written.all_ is not None:
        return All(_conditions(so_far, (*path, "all"), written.all_))
    if written.any_ is not None:
        return AnyOf(_conditions(so_far, (*path, "any"), written.any_))
    if written.not_ is not None:
        return Not(meant_condition(so_far, (*path, "not"), written.not_))
    return _comparison(so_far, path, written)


def _conditions(
    so_far: SoFar, path: Path, written: tuple[form.ConditionForm, ...]
) -> tuple[Condition, ...]:
    return tuple(meant_condition(so_far, (*path, i), c) for i, c in enumerate(written))


def _comparison(so_far: SoFar, path: Path, written: form.ConditionForm) -> Condition:
    fact = str(written.fact)
    step = so_far.steps.get(fact)
    if step is None:
        so_far.no_fact((*path, "fact"), fact)
        return All(())
    if fact in so_far.blind.steps:
        return All(())
    if isinstance(step.kind, Reading):
        return _beyond(so_far, path, written, fact, step.kind.dimension)
    values = (written.is_,) if written.is_ is not None else (written.in_ or ())
    known = _values_of(step.kind)
    if not known:
        so_far.error((*path, "fact"), f"the step “{fact}” is not a confirm, choice or reading")
    elif len([w for w in (written.is_, written.in_) if w]) != 1 or written.above or written.below:
        so_far.error(path, f"compare “{fact}” with is: or in: of {', '.join(known)}")
    for value in values:
        if known and value not in known:
            so_far.error(path, f"“{fact}” is never “{value}”; it is {', '.join(known)}")
    return Is(fact, tuple(values))


def _beyond(
    so_far: SoFar, path: Path, written: form.ConditionForm, fact: str, dimension: str
) -> Condition:
    if written.is_ is not None or written.in_ is not None:
        so_far.error(path, f"“{fact}” is a reading; compare it with above: or below:")
    ends = [
        so_far.quantity((*path, side), text, dimension) if text else None
        for side, text in (("above", written.above), ("below", written.below))
    ]
    if not written.above and not written.below and written.is_ is None and written.in_ is None:
        so_far.error(path, f"“{fact}” is a reading; compare it with above: or below:")
    if written.above and written.below:
        so_far.error(path, "compare with above: or below:, and join two with all: or any:")
    return Beyond(fact, ends[0], ends[1])


def _values_of(kind: Kind) -> tuple[str, ...]:
    if isinstance(kind, Confirm):
        return ("yes", "no")
    return tuple(kind.options) if isinstance(kind, Choice) else ()
