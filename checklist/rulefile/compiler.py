"""From the written form to the meant rule file: every word that refers to something is resolved.

All errors of a file are gathered, each with its place; nothing is guessed or skipped.
"""

from __future__ import annotations

from typing import Any

from checklist.rulefile import form
from checklist.rulefile.conditions import Condition
from checklist.rulefile.meantconditions import meant_condition
from checklist.rulefile.meantkinds import meant_kind
from checklist.rulefile.model import (
    Bounds,
    Choice,
    Compute,
    Confirm,
    Effect,
    Example,
    OfStation,
    Part,
    People,
    Reading,
    Role,
    RuleFile,
    Step,
    Tag,
    TagsOff,
    Verdict,
    Way,
)
from checklist.rulefile.reach import can_apply
from checklist.rulefile.sofar import SoFar
from checklist.strictyaml import Path


def compiled(so_far: SoFar, written: form.RuleFileForm) -> RuleFile:
    """Return the rule file; meaningful only while `errors` of `so_far` is empty."""
    parts = tuple(_part(so_far, ("parts", i), p) for i, p in enumerate(written.parts))
    names = [p.name for p in parts]
    if names not in (["beforehand"], ["on the spot"], ["beforehand", "on the spot"]):
        so_far.error(("parts",), "the parts are beforehand, then on the spot, each at most once")
    return RuleFile(
        name=written.name,
        title=written.title,
        edition=written.edition,
        written_for=written.written_for,
        about=" ".join(written.about.split()),
        valid=so_far.duration(("valid",), written.valid),
        signers={Role(role): count for role, count in written.signers.items()},
        parts=parts,
        examples=_examples(so_far, written.examples),
    )


def _part(so_far: SoFar, path: Path, written: form.PartForm) -> Part:
    valid = so_far.duration((*path, "valid"), written.valid)
    steps = []
    for i, step_form in enumerate(written.steps):
        step_path = (*path, "steps", i)
        step = _step(so_far, step_path, step_form)
        if step.id in so_far.steps:
            so_far.error((*step_path, "id"), f"the id “{step.id}” stands twice; ids are unique")
        so_far.steps[step.id] = step
        steps.append(step)
    return Part(written.part, written.title, valid, tuple(steps))


def _step(so_far: SoFar, path: Path, written: form.StepForm) -> Step:
    sources = tuple(so_far.source((*path, "sources", i), s) for i, s in enumerate(written.sources))
    kind = meant_kind(so_far, path, written, sources[0])
    when = _when(so_far, (*path, "when"), written.when) if written.when else None
    step = Step(
        id=written.id,
        ask=" ".join(written.ask.split()),
        help=" ".join(written.help.split()),
        kind=kind,
        why=" ".join(written.why.split()),
        sources=sources,
        when=when,
        life=so_far.duration((*path, "life"), written.life) if written.life else None,
        may_not_apply=written.does_not_apply is not None,
        guards_life=written.guards_life is not None,
        unknown=Effect(written.unknown),
        ways=_ways(so_far, written.clear),
    )
    _check_step(so_far, path, written, step)
    return step


def _when(so_far: SoFar, path: Path, written: form.ConditionForm) -> Condition | None:
    """Return the condition; None where it has errors, so that nothing hangs on these."""
    before = len(so_far.errors)
    condition = meant_condition(so_far, path, written)
    if len(so_far.errors) > before or so_far.blind.hides(path):
        return None
    if not can_apply(condition, so_far.steps):
        so_far.error(path, "this step can never apply; no answers make it true")
    return condition


def _check_step(so_far: SoFar, path: Path, written: form.StepForm, step: Step) -> None:
    if step.may_not_apply and step.guards_life:
        so_far.error((*path, "does-not-apply"), "a step that guards a life cannot be set aside so")
    if isinstance(step.kind, Confirm) and "unknown" in written.model_fields_set:
        so_far.error((*path, "unknown"), "don't know counts as no to a confirm; say so in no:")
    stops = _can_stop(step)
    if stops and written.clear is None:
        so_far.error(path, "this step can stop, so it must say how: clear: none, or ways")
    if not stops and written.clear is not None:
        so_far.error((*path, "clear"), "this step cannot stop, so there is nothing to clear")


def _ways(so_far: SoFar, written: Any) -> tuple[Way, ...]:
    if written is None or written == "none":
        return ()
    return tuple(Way(" ".join(w.do.split()), w.evidence, bool(w.answer_stands)) for w in written)


def _can_stop(step: Step) -> bool:
    kind = step.kind
    if isinstance(kind, Confirm):
        return kind.no is Effect.STOP
    if isinstance(kind, People | Tag | TagsOff | Compute | OfStation):
        return True
    if step.unknown is Effect.STOP:
        return True
    if isinstance(kind, Reading):
        return kind.stop != Bounds()
    return isinstance(kind, Choice) and bool(kind.stop)


def _examples(so_far: SoFar, written: tuple[form.ExampleForm, ...]) -> tuple[Example, ...]:
    made: dict[str, Example] = {}
    for i, entry in enumerate(written):
        path: Path = ("examples", i)
        base = made.get(entry.same_as) if entry.same_as else None
        if entry.same_as and base is None:
            so_far.error((*path, "same-as"), f"no earlier example is named “{entry.same_as}”")
        for key, ids in (("stops", entry.stops), ("cautions", entry.cautions or ())):
            for step_id in ids:
                so_far.expect_step((*path, key), step_id)
        for step_id in entry.answers:
            so_far.expect_step((*path, "answers", step_id), step_id)
        if (Verdict(entry.verdict) is Verdict.STOPPED) != bool(entry.stops):
            so_far.error(path, "stops: names the steps that stop, just where the verdict is so")
        if entry.name in made:
            so_far.error((*path, "name"), f"the example “{entry.name}” stands twice")
        made[entry.name] = Example(
            entry.name,
            {**(base.answers if base else {}), **entry.answers},
            Verdict(entry.verdict),
            frozenset(entry.stops),
            None if entry.cautions is None else frozenset(entry.cautions),
        )
    return tuple(made.values())
