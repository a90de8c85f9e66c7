"""The written form of a rule file, as pydantic models: what keys there are and of what shape.

This is syntax only; what the words refer to is checked in `compiler`. Every scalar of a
rule file is text (see `strictyaml`), so counts are read from text here.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, StringConstraints, Tag

Words = Annotated[str, StringConstraints(min_length=1, strip_whitespace=True)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$")]
Option = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+([-/][a-z0-9]+)*$")]
Count = Annotated[int, Field(ge=1, le=20)]
Roles = dict[Literal["in charge", "worker", "helper", "safety officer"], Count]
EffectWord = Literal["stop", "caution"]


def _kebab(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


class _Form(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, alias_generator=_kebab)


class ConditionForm(_Form):
    """One condition: a comparison of one fact, or all/any/not of conditions."""

    fact: Id | None = None
    is_: Words | None = None
    in_: tuple[Words, ...] | None = None
    above: Words | None = None
    below: Words | None = None
    all_: Annotated[tuple[ConditionForm, ...], Field(min_length=1)] | None = None
    any_: Annotated[tuple[ConditionForm, ...], Field(min_length=1)] | None = None
    not_: ConditionForm | None = None


class ConfirmForm(_Form):
    """`{no: stop}`: what a no does; a yes is always the safe answer."""

    no: EffectWord


class ReadingForm(_Form):
    """A quantity: its dimension, an example, and the kind of instrument if one is named."""

    of: Words
    example: Words
    with_: str = ""


class TextForm(_Form):
    """A text, with an example of a good one; it may be what to tell the emergency operator."""

    example: Words
    emergency_call: Literal["yes"] | None = None


class PeopleForm(_Form):
    """How many people in which roles, how many different ones, and which need training dates."""

    roles: Roles
    different: Count
    trained: tuple[Literal["in charge", "worker", "helper", "safety officer"], ...] = ()


class TagForm(_Form):
    """What must carry a lock and a tag, or what must be free of them; one of the two."""

    each: Words | None = None
    free: Words | None = None


class CalculationForm(_Form):
    """Which calculation, and which of its inputs come from earlier steps."""

    name: Id
    inputs: dict[Id, Id] = {}


class BoundsForm(_Form):
    """Limits of a reading: a quantity with unit, or an address in rules/tables."""

    below: Words | None = None
    above: Words | None = None


class WayForm(_Form):
    """One way to answer a stop."""

    do: Words
    evidence: Annotated[tuple[Words, ...], Field(min_length=1)]
    answer_stands: Literal["yes"] | None = None


def _shape(value: Any) -> str:
    return "mapping" if isinstance(value, dict | BoundsForm) else "list"


def _clear_shape(value: Any) -> str:
    return "none" if isinstance(value, str) else "ways"


Effects = Annotated[
    Annotated[BoundsForm, Tag("mapping")] | Annotated[tuple[Words, ...], Tag("list")],
    Discriminator(_shape),
]
Clear = Annotated[
    Annotated[Literal["none"], Tag("none")]
    | Annotated[tuple[WayForm, ...], Field(min_length=1), Tag("ways")],
    Discriminator(_clear_shape),
]


class StepForm(_Form):
    """One step; exactly one of the seven kinds."""

    id: Id
    ask: Words
    help: str = ""
    confirm: ConfirmForm | None = None
    reading: ReadingForm | None = None
    choice: Annotated[dict[Option, Words], Field(min_length=2)] | None = None
    text: TextForm | None = None
    people: PeopleForm | None = None
    tag: TagForm | None = None
    calculation: CalculationForm | None = None
    when: ConditionForm | None = None
    stop: Effects | None = None
    caution: Effects | None = None
    unknown: EffectWord = "stop"
    clear: Clear | None = None
    why: Words
    sources: Annotated[tuple[Id, ...], Field(min_length=1)]
    life: Words | None = None
    does_not_apply: Literal["yes"] | None = None
    guards_life: Literal["yes"] | None = None


KINDS = ("confirm", "reading", "choice", "text", "people", "tag", "calculation")
"""The keys of which a step has exactly one."""


class PartForm(_Form):
    """Beforehand or on the spot, with how long its answers hold."""

    part: Literal["beforehand", "on the spot"]
    title: Words
    valid: Words
    steps: Annotated[tuple[StepForm, ...], Field(min_length=1)]


class ExampleForm(_Form):
    """Answers and the verdict that they must give."""

    name: Words
    same_as: Words | None = None
    answers: dict[Id, Any] = {}
    verdict: Literal["no stop found", "no stop found, with cautions", "stopped"]
    stops: tuple[Id, ...] = ()
    cautions: tuple[Id, ...] | None = None


class RuleFileForm(_Form):
    """A whole rule file."""

    format: Literal["1"]
    name: Id
    title: Words
    edition: Words
    written_for: Words
    about: Words
    valid: Words
    signers: Annotated[Roles, Field(min_length=1)]
    parts: Annotated[tuple[PartForm, ...], Field(min_length=1)]
    examples: Annotated[tuple[ExampleForm, ...], Field(min_length=1)]
