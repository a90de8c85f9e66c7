"""From the written form to the meant rule file: every word that refers to something is resolved.

All errors of a file are gathered, each with its place; nothing is guessed or skipped.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.calculations.kinds import Calculation
from checklist.errors import StandclearError
from checklist.quantities import DIMENSIONS, Quantity, parse_quantity
from checklist.rulebook import Book, Cited, Source, Standing, Stricter
from checklist.rulefile import form
from checklist.rulefile.conditions import All, AnyOf, Beyond, Condition, Is, Not
from checklist.rulefile.model import (
    Bounds,
    Choice,
    Compute,
    Confirm,
    Effect,
    Example,
    Kind,
    Limit,
    OfStation,
    Part,
    People,
    Reading,
    Role,
    RuleFile,
    Step,
    Tag,
    TagsOff,
    Text,
    Verdict,
    Way,
)
from checklist.rulefile.reach import can_apply
from checklist.rulefile.repair import Blind
from checklist.strictyaml import Document, Path

_NOWHERE = Source("", "", "", Standing.MEMORY)


class Compiler:
    """Compiles one document; `errors` then holds a sentence for everything wrong in it."""

    def __init__(
        self,
        document: Document,
        book: Book,
        calculations: Mapping[str, Calculation],
        blind: Blind,
    ) -> None:
        self.document = document
        self.book = book
        self.calculations = calculations
        self.blind = blind
        self.errors: list[tuple[Path, str]] = []
        self.steps: dict[str, Step] = {}

    def compile(self, written: form.RuleFileForm) -> RuleFile:
        """Return the rule file; meaningful only while `errors` is empty."""
        parts = tuple(self._part(("parts", i), p) for i, p in enumerate(written.parts))
        names = [p.name for p in parts]
        if names not in (["beforehand"], ["on the spot"], ["beforehand", "on the spot"]):
            self._error(("parts",), "the parts are beforehand, then on the spot, each at most once")
        return RuleFile(
            name=written.name,
            title=written.title,
            edition=written.edition,
            written_for=written.written_for,
            about=" ".join(written.about.split()),
            valid=self._duration(("valid",), written.valid),
            signers={Role(role): count for role, count in written.signers.items()},
            parts=parts,
            examples=self._examples(written.examples),
        )

    def _part(self, path: Path, written: form.PartForm) -> Part:
        valid = self._duration((*path, "valid"), written.valid)
        steps = []
        for i, step_form in enumerate(written.steps):
            step_path = (*path, "steps", i)
            step = self._step(step_path, step_form)
            if step.id in self.steps:
                self._error((*step_path, "id"), f"the id “{step.id}” stands twice; ids are unique")
            self.steps[step.id] = step
            steps.append(step)
        return Part(written.part, written.title, valid, tuple(steps))

    def _step(self, path: Path, written: form.StepForm) -> Step:
        sources = tuple(
            self._source((*path, "sources", i), s) for i, s in enumerate(written.sources)
        )
        kind = self._kind(path, written, sources[0])
        when = self._when((*path, "when"), written.when) if written.when else None
        step = Step(
            id=written.id,
            ask=" ".join(written.ask.split()),
            help=" ".join(written.help.split()),
            kind=kind,
            why=" ".join(written.why.split()),
            sources=sources,
            when=when,
            life=self._duration((*path, "life"), written.life) if written.life else None,
            may_not_apply=written.does_not_apply is not None,
            guards_life=written.guards_life is not None,
            unknown=Effect(written.unknown),
            ways=self._ways(written.clear),
        )
        self._check_step(path, written, step)
        return step

    def _when(self, path: Path, written: form.ConditionForm) -> Condition | None:
        """Return the condition; None where it has errors, so that nothing hangs on these."""
        before = len(self.errors)
        condition = self._condition(path, written)
        if len(self.errors) > before or self.blind.hides(path):
            return None
        if not can_apply(condition, self.steps):
            self._error(path, "this step can never apply; no answers make it true")
        return condition

    def _check_step(self, path: Path, written: form.StepForm, step: Step) -> None:
        if step.may_not_apply and step.guards_life:
            self._error(
                (*path, "does-not-apply"), "a step that guards a life cannot be set aside so"
            )
        if isinstance(step.kind, Confirm) and "unknown" in written.model_fields_set:
            self._error((*path, "unknown"), "don't know counts as no to a confirm; say so in no:")
        stops = _can_stop(step)
        if stops and written.clear is None:
            self._error(path, "this step can stop, so it must say how: clear: none, or ways")
        if not stops and written.clear is not None:
            self._error((*path, "clear"), "this step cannot stop, so there is nothing to clear")

    def _ways(self, written: Any) -> tuple[Way, ...]:
        if written is None or written == "none":
            return ()
        return tuple(
            Way(" ".join(w.do.split()), w.evidence, bool(w.answer_stands)) for w in written
        )

    def _kind(self, path: Path, written: form.StepForm, first: Source) -> Kind:
        there = [name for name in form.KINDS if getattr(written, name) is not None]
        if len(there) != 1:
            self._error(path, f"a step has exactly one kind of {', '.join(form.KINDS)}")
            return Text("")
        if there[0] not in {"reading", "choice"}:
            for key in ("stop", "caution"):
                if getattr(written, key) is not None:
                    self._error((*path, key), f"a {there[0]} has no “{key}” of its own")
        if written.people is not None:
            return self._people((*path, "people"), written.people)
        if written.calculation is not None:
            return self._compute(path, written.calculation)
        if written.reading is not None:
            return self._reading(path, written, written.reading, first)
        if written.choice is not None:
            return self._choice(path, written, written.choice)
        if written.confirm is not None:
            return Confirm(Effect(written.confirm.no))
        return _text(written) if written.tag is None else self._tag(path, written, written.tag)

    def _tag(self, path: Path, written: form.StepForm, tag: form.TagForm) -> Kind:
        if (tag.each is None) == (tag.free is None):
            self._error(
                (*path, "tag"), "a tag step says each: what is locked, or free: what is not"
            )
        if tag.free is None:
            return Tag(tag.each or "")
        if "unknown" in written.model_fields_set:
            self._error(
                (*path, "unknown"), "a tag that may hang always stops; nothing softens that"
            )
        return TagsOff(tag.free)

    def _people(self, path: Path, written: form.PeopleForm) -> People:
        roles = {Role(r): n for r, n in written.roles.items()}
        most = sum(roles.values())
        if written.different > most:
            self._error((*path, "different"), f"the roles have places for {most} people at most")
        for i, role in enumerate(written.trained):
            if Role(role) not in roles:
                self._error((*path, "trained", i), f"“{role}” is not among the roles of this step")
        return People(roles, written.different, frozenset(map(Role, written.trained)))

    def _reading(
        self, path: Path, written: form.StepForm, reading: form.ReadingForm, first: Source
    ) -> Reading:
        dimension = reading.of
        if dimension not in DIMENSIONS:
            known = ", ".join(DIMENSIONS)
            self._error((*path, "reading", "of"), f"“{dimension}” is not one of {known}")
            return Reading("length", "", "", Bounds(), Bounds())
        self._quantity((*path, "reading", "example"), reading.example, dimension)
        bounds = []
        for key in ("stop", "caution"):
            entry = getattr(written, key)
            if entry is not None and not isinstance(entry, form.BoundsForm):
                self._error((*path, key), "a reading needs below: or above: here")
                entry = None
            bounds.append(self._bounds((*path, key), entry, dimension, written.id, first))
        return Reading(dimension, reading.example, reading.with_, bounds[0], bounds[1])

    def _bounds(
        self, path: Path, written: form.BoundsForm | None, dimension: str, step: str, first: Source
    ) -> Bounds:
        if written is None:
            return Bounds()
        if written.below is None and written.above is None:
            self._error(path, "a limit needs below: or above:")
        ends = [
            self._limit((*path, side), text, dimension, f"step/{step}/{side}", first)
            if text
            else None
            for side, text in (("below", written.below), ("above", written.above))
        ]
        if ends[0] and ends[1] and ends[0].quantity > ends[1].quantity:
            self._error(path, "every reading is below the one limit or above the other")
        return Bounds(ends[0], ends[1])

    def _limit(
        self, path: Path, text: str, dimension: str, address: str, first: Source
    ) -> Limit | None:
        value = self.book.values.get(text)
        if value is None and "/" in text and text[0].isalpha():
            self._error(path, f"there is no value “{text}” in rules/tables")
            return None
        if value is None:
            quantity = self._quantity(path, text, dimension)
            if quantity is None:
                return None
            cited = Cited(
                address, quantity.text(), "limit of this step", first.citation(), first.standing
            )
            return Limit(quantity, cited)
        if value.quantity.unit.dimension != dimension:
            self._error(path, f"“{text}” is a {value.quantity.unit.dimension}, not a {dimension}")
            return None
        # A reading must not be below the one, nor above the other: here the stricter way is known.
        side = Stricter.HIGHER if path[-1] == "below" else Stricter.LOWER
        return Limit(value.quantity, value.cited_as(side))

    def _choice(self, path: Path, written: form.StepForm, options: dict[str, str]) -> Choice:
        sets = []
        for key in ("stop", "caution"):
            entry = getattr(written, key)
            if isinstance(entry, form.BoundsForm):
                self._error((*path, key), "a choice needs a list of its values here")
                entry = None
            for i, value in enumerate(entry or ()):
                if value not in options:
                    self._error((*path, key, i), f"“{value}” is not one of {', '.join(options)}")
            sets.append(frozenset(entry or ()))
        if sets[0] >= set(options):
            self._error((*path, "stop"), "every value stops; at least one must let the work go on")
        return Choice(dict(options), sets[0], sets[1])

    def _compute(self, path: Path, written: form.CalculationForm) -> Kind:
        if written.name in STATION_CALCULATIONS:
            if written.inputs:
                self._error(
                    (*path, "calculation", "inputs"),
                    f"{written.name} takes all from the station file; leave inputs out",
                )
            return OfStation(STATION_CALCULATIONS[written.name])
        calculation = self.calculations.get(written.name)
        if calculation is None:
            known = ", ".join((*self.calculations, *STATION_CALCULATIONS))
            self._error(
                (*path, "calculation", "name"), f"“{written.name}” is not a calculation of {known}"
            )
            return Text("")
        inputs = {i.name: i for i in calculation.inputs}
        for name, step_id in written.inputs.items():
            here = (*path, "calculation", "inputs", name)
            if name not in inputs:
                self._error(here, f"{written.name} has no input “{name}”: {', '.join(inputs)}")
                continue
            provider = self.steps.get(step_id)
            if provider is None:
                self._no_fact(here, step_id)
            elif step_id not in self.blind.steps and not _provides(
                provider.kind, inputs[name].dimension, inputs[name].choices
            ):
                self._error(here, f"the step “{step_id}” does not provide a fitting “{name}”")
        return Compute(calculation, dict(written.inputs))

    def _condition(self, path: Path, written: form.ConditionForm) -> Condition:
        forms = {
            "fact": written.fact is not None,
            "all": written.all_ is not None,
            "any": written.any_ is not None,
            "not": written.not_ is not None,
        }
        compares = {written.is_, written.in_, written.above, written.below} != {None}
        if sum(forms.values()) != 1 or (compares and not forms["fact"]):
            self._error(path, "a condition is one of fact: with a comparison, all:, any:, not:")
            return All(())
        if written.all_ is not None:
            return All(self._conditions((*path, "all"), written.all_))
        if written.any_ is not None:
            return AnyOf(self._conditions((*path, "any"), written.any_))
        if written.not_ is not None:
            return Not(self._condition((*path, "not"), written.not_))
        return self._comparison(path, written)

    def _conditions(
        self, path: Path, written: tuple[form.ConditionForm, ...]
    ) -> tuple[Condition, ...]:
        return tuple(self._condition((*path, i), c) for i, c in enumerate(written))

    def _comparison(self, path: Path, written: form.ConditionForm) -> Condition:
        fact = str(written.fact)
        step = self.steps.get(fact)
        if step is None:
            self._no_fact((*path, "fact"), fact)
            return All(())
        if fact in self.blind.steps:
            return All(())
        if isinstance(step.kind, Reading):
            return self._beyond(path, written, fact, step.kind.dimension)
        values = (written.is_,) if written.is_ is not None else (written.in_ or ())
        known = _values_of(step.kind)
        if not known:
            self._error((*path, "fact"), f"the step “{fact}” is not a confirm, choice or reading")
        elif (
            len([w for w in (written.is_, written.in_) if w]) != 1 or written.above or written.below
        ):
            self._error(path, f"compare “{fact}” with is: or in: of {', '.join(known)}")
        for value in values:
            if known and value not in known:
                self._error(path, f"“{fact}” is never “{value}”; it is {', '.join(known)}")
        return Is(fact, tuple(values))

    def _beyond(
        self, path: Path, written: form.ConditionForm, fact: str, dimension: str
    ) -> Condition:
        if written.is_ is not None or written.in_ is not None:
            self._error(path, f"“{fact}” is a reading; compare it with above: or below:")
        ends = [
            self._quantity((*path, side), text, dimension) if text else None
            for side, text in (("above", written.above), ("below", written.below))
        ]
        if not written.above and not written.below and written.is_ is None and written.in_ is None:
            self._error(path, f"“{fact}” is a reading; compare it with above: or below:")
        if written.above and written.below:
            self._error(path, "compare with above: or below:, and join two with all: or any:")
        return Beyond(fact, ends[0], ends[1])

    def _examples(self, written: tuple[form.ExampleForm, ...]) -> tuple[Example, ...]:
        made: dict[str, Example] = {}
        for i, entry in enumerate(written):
            path: Path = ("examples", i)
            base = made.get(entry.same_as) if entry.same_as else None
            if entry.same_as and base is None:
                self._error((*path, "same-as"), f"no earlier example is named “{entry.same_as}”")
            for key, ids in (("stops", entry.stops), ("cautions", entry.cautions or ())):
                for step_id in ids:
                    self._known((*path, key), step_id)
            for step_id in entry.answers:
                self._known((*path, "answers", step_id), step_id)
            if (Verdict(entry.verdict) is Verdict.STOPPED) != bool(entry.stops):
                self._error(path, "stops: names the steps that stop, just where the verdict is so")
            if entry.name in made:
                self._error((*path, "name"), f"the example “{entry.name}” stands twice")
            made[entry.name] = Example(
                entry.name,
                {**(base.answers if base else {}), **entry.answers},
                Verdict(entry.verdict),
                frozenset(entry.stops),
                None if entry.cautions is None else frozenset(entry.cautions),
            )
        return tuple(made.values())

    def _no_fact(self, path: Path, fact: str) -> None:
        if not self.blind.ids:
            self._error(path, f"no earlier step provides the fact “{fact}”")

    def _known(self, path: Path, step_id: str) -> None:
        if step_id not in self.steps and not self.blind.ids:
            self._error(path, f"there is no step “{step_id}”")

    def _source(self, path: Path, source_id: str) -> Source:
        found = self.book.sources.get(source_id)
        if found is None:
            self._error(path, f"the source “{source_id}” is not in rules/sources.yaml")
        return found or _NOWHERE

    def _duration(self, path: Path, text: str) -> timedelta:
        quantity = self._quantity(path, text, "time")
        if quantity is None or quantity.si <= 0:
            if quantity is not None:
                self._error(path, f"“{text}” is not a time that something can hold")
            return timedelta(0)
        return timedelta(seconds=float(quantity.si))

    def _quantity(self, path: Path, text: str, dimension: str) -> Quantity | None:
        try:
            return parse_quantity(text, dimension)
        except StandclearError as error:
            self._error(path, error.sentence())
            return None

    def _error(self, path: Path, what: str) -> None:
        if not self.blind.hides(path):
            self.errors.append((path, what))


def _text(written: form.StepForm) -> Text:
    if written.text is None:
        return Text("")
    return Text(written.text.example, written.text.emergency_call is not None)


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


def _values_of(kind: Kind) -> tuple[str, ...]:
    if isinstance(kind, Confirm):
        return ("yes", "no")
    return tuple(kind.options) if isinstance(kind, Choice) else ()


def _provides(kind: Kind, dimension: str, choices: Mapping[str, str] | None) -> bool:
    if isinstance(kind, Reading):
        return kind.dimension == dimension
    if isinstance(kind, Choice):
        return choices is not None and set(kind.options) <= set(choices)
    return isinstance(kind, Text) and not dimension and choices is None
