"""From what a written step asks to the meant kind: readings, choices, people, calculations."""

from __future__ import annotations

from collections.abc import Mapping

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.quantities import DIMENSIONS
from checklist.rulebook import Cited, Source, Stricter
from checklist.rulefile import form
from checklist.rulefile.model import (
    Bounds,
    Choice,
    Compute,
    Confirm,
    Effect,
    Kind,
    Limit,
    OfStation,
    People,
    Reading,
    Role,
    Tag,
    TagsOff,
    Text,
)
from checklist.rulefile.sofar import SoFar
from checklist.strictyaml import Path


def meant_kind(so_far: SoFar, path: Path, written: form.StepForm, first: Source) -> Kind:
    """Return what the step asks; a limit of its own has the citation of its `first` source."""
    there = [name for name in form.KINDS if getattr(written, name) is not None]
    if len(there) != 1:
        so_far.error(path, f"a step has exactly one kind of {', '.join(form.KINDS)}")
        return Text("")
    if there[0] not in {"reading", "choice"}:
        for key in ("stop", "caution"):
            if getattr(written, key) is not None:
                so_far.error((*path, key), f"a {there[0]} has no “{key}” of its own")
    if written.people is not None:
        return _people(so_far, (*path, "people"), written.people)
    if written.calculation is not None:
        return _compute(so_far, path, written.calculation)
    if written.reading is not None:
        return _reading(so_far, path, written, written.reading, first)
    if written.choice is not None:
        return _choice(so_far, path, written, written.choice)
    if written.confirm is not None:
        return Confirm(Effect(written.confirm.no))
    return _text(written) if written.tag is None else _tag(so_far, path, written, written.tag)


def _tag(so_far: SoFar, path: Path, written: form.StepForm, tag: form.TagForm) -> Kind:
    if (tag.each is None) == (tag.free is None):
        so_far.error((*path, "tag"), "a tag step says each: what is locked, or free: what is not")
    if tag.free is None:
        return Tag(tag.each or "")
    if "unknown" in written.model_fields_set:
        so_far.error((*path, "unknown"), "a tag that may hang always stops; nothing softens that")
    return TagsOff(tag.free)


def _people(so_far: SoFar, path: Path, written: form.PeopleForm) -> People:
    roles = {Role(r): n for r, n in written.roles.items()}
    most = sum(roles.values())
    if written.different > most:
        so_far.error((*path, "different"), f"the roles have places for {most} people at most")
    for i, role in enumerate(written.trained):
        if Role(role) not in roles:
            so_far.error((*path, "trained", i), f"“{role}” is not among the roles of this step")
    return People(roles, written.different, frozenset(map(Role, written.trained)))


def _reading(
    so_far: SoFar, path: Path, written: form.StepForm, reading: form.ReadingForm, first: Source
) -> Reading:
    dimension = reading.of
    if dimension not in DIMENSIONS:
        known = ", ".join(DIMENSIONS)
        so_far.error((*path, "reading", "of"), f"“{dimension}” is not one of {known}")
        return Reading("length", "", "", Bounds(), Bounds())
    so_far.quantity((*path, "reading", "example"), reading.example, dimension)
    bounds = []
    for key in ("stop", "caution"):
        entry = getattr(written, key)
        if entry is not None and not isinstance(entry, form.BoundsForm):
            so_far.error((*path, key), "a reading needs below: or above: here")
            entry = None
        bounds.append(_bounds(so_far, (*path, key), entry, dimension, written.id, first))
    return Reading(dimension, reading.example, reading.with_, bounds[0], bounds[1])


def _bounds(
    so_far: SoFar,
    path: Path,
    written: form.BoundsForm | None,
    dimension: str,
    step: str,
    first: Source,
) -> Bounds:
    if written is None:
        return Bounds()
    if written.below is None and written.above is None:
        so_far.error(path, "a limit needs below: or above:")
    ends = [
        _limit(so_far, (*path, side), text, dimension, f"step/{step}/{side}", first)
        if text
        else None
        for side, text in (("below", written.below), ("above", written.above))
    ]
    if ends[0] and ends[1] and ends[0].quantity > ends[1].quantity:
        so_far.error(path, "every reading is below the one limit or above the other")
    return Bounds(ends[0], ends[1])


def _limit(
    so_far: SoFar, path: Path, text: str, dimension: str, address: str, first: Source
) -> Limit | None:
    value = so_far.book.values.get(text)
    if value is None and "/" in text and text[0].isalpha():
        so_far.error(path, f"there is no value “{text}” in rules/tables")
        return None
    if value is None:
        quantity = so_far.quantity(path, text, dimension)
        if quantity is None:
            return None
        cited = Cited(
            address, quantity.text(), "limit of this step", first.citation(), first.standing
        )
        return Limit(quantity, cited)
    if value.quantity.unit.dimension != dimension:
        so_far.error(path, f"“{text}” is a {value.quantity.unit.dimension}, not a {dimension}")
        return None
    # A reading must not be below the one, nor above the other: here the stricter way is known.
    side = Stricter.HIGHER if path[-1] == "below" else Stricter.LOWER
    return Limit(value.quantity, value.cited_as(side))


def _choice(so_far: SoFar, path: Path, written: form.StepForm, options: dict[str, str]) -> Choice:
    sets = []
    for key in ("stop", "caution"):
        entry = getattr(written, key)
        if isinstance(entry, form.BoundsForm):
            so_far.error((*path, key), "a choice needs a list of its values here")
            entry = None
        for i, value in enumerate(entry or ()):
            if value not in options:
                so_far.error((*path, key, i), f"“{value}” is not one of {', '.join(options)}")
        sets.append(frozenset(entry or ()))
    if sets[0] >= set(options):
        so_far.error((*path, "stop"), "every value stops; at least one must let the work go on")
    return Choice(dict(options), sets[0], sets[1])


def _compute(so_far: SoFar, path: Path, written: form.CalculationForm) -> Kind:
    if written.name in STATION_CALCULATIONS:
        if written.inputs:
            so_far.error(
                (*path, "calculation", "inputs"),
                f"{written.name} takes all from the station file; leave inputs out",
            )
        return OfStation(STATION_CALCULATIONS[written.name])
    calculation = so_far.calculations.get(written.name)
    if calculation is None:
        known = ", ".join((*so_far.calculations, *STATION_CALCULATIONS))
        so_far.error(
            (*path, "calculation", "name"), f"“{written.name}” is not a calculation of {known}"
        )
        return Text("")
    inputs = {i.name: i for i in calculation.inputs}
    for name, step_id in written.inputs.items():
        here = (*path, "calculation", "inputs", name)
        if name not in inputs:
            so_far.error(here, f"{written.name} has no input “{name}”: {', '.join(inputs)}")
            continue
        provider = so_far.steps.get(step_id)
        if provider is None:
            so_far.no_fact(here, step_id)
        elif step_id not in so_far.blind.steps and not _provides(
            provider.kind, inputs[name].dimension, inputs[name].choices
        ):
            so_far.error(here, f"the step “{step_id}” does not provide a fitting “{name}”")
    return Compute(calculation, dict(written.inputs))


def _text(written: form.StepForm) -> Text:
    if written.text is None:
        return Text("")
    return Text(written.text.example, written.text.emergency_call is not None)


def _provides(kind: Kind, dimension: str, choices: Mapping[str, str] | None) -> bool:
    if isinstance(kind, Reading):
        return kind.dimension == dimension
    if isinstance(kind, Choice):
        return choices is not None and set(kind.options) <= set(choices)
    return isinstance(kind, Text) and not dimension and choices is None
