"""The written form of a rule file as a JSON Schema, so that an editor can help its author.

It holds shapes only, and lets nothing through as right: what `check-rules` refuses beyond
shapes (unknown facts, limits without units, sources that are not there) it cannot see.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.calculations.registry import CALCULATIONS
from checklist.caution import BANNER
from checklist.quantities import DIMENSIONS
from checklist.rulefile.form import KINDS, RuleFileForm

Schema = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_COUNT = r"^([1-9]|1[0-9]|20)$"
"""A count as text; a YAML reader that turns it into a whole number is met as well."""

_EFFECT = "Of a reading the limits, of a choice the values, that"

DESCRIPTIONS: dict[str, dict[str, str]] = {
    "RuleFileForm": {
        "format": "The version of this format.",
        "name": "The file's own name, without its ending.",
        "title": "What is to be done, as home lists it.",
        "edition": "The date of this text; change it with every change.",
        "written-for": "For whose rules it is written.",
        "about": "When to walk it, in a sentence or two.",
        "valid": "How long the finished result counts, as 8 h.",
        "signers": "How many different people sign, in which roles.",
        "parts": "Beforehand, then on the spot, each at most once.",
        "examples": "Answers, each with the verdict they must give; check-rules runs them.",
    },
    "PartForm": {
        "part": "Beforehand holds for days; on the spot is walked at the work.",
        "title": "What the part is about.",
        "valid": "How long its answers hold, as 7 d.",
        "steps": "The questions, in the order in which one walks them.",
    },
    "StepForm": {
        "id": "Unique; the answer is the fact of this name.",
        "ask": "One plain question about one fact.",
        "help": "How to find out; where a common saying is wrong, say so gently.",
        "confirm": "A question whose yes is the safe answer.",
        "reading": "A measured quantity.",
        "choice": "Each value with the label that is shown for it.",
        "text": "Words that are kept.",
        "people": "Who is here, in which role.",
        "tag": "Locks and tags.",
        "calculation": "A calculation of standclear; its finding decides.",
        "when": "The step applies where this is true, or hangs on don't know.",
        "stop": f"{_EFFECT} stop the work.",
        "caution": f"{_EFFECT} call for caution.",
        "unknown": "What don't know does, or a finding that is not shown.",
        "clear": "How a stop is answered: none, or ways. Needed where the step can stop.",
        "why": "One sentence that a student understands.",
        "sources": "Ids in sources.yaml; the first is the source of the step's own limit.",
        "life": "After this time the answer is asked again, as 30 min.",
        "does-not-apply": "Allows the answer does not apply, with a reason.",
        "guards-life": "Forbids the answer does not apply.",
    },
    "ConditionForm": {
        "fact": "The id of an earlier confirm, choice or reading.",
        "is": "The fact has this value.",
        "in": "The fact has one of these values.",
        "above": "The reading is above this quantity.",
        "below": "The reading is below this quantity.",
        "all": "All of these conditions are true.",
        "any": "At least one of these conditions is true.",
        "not": "This condition is not true.",
    },
    "ConfirmForm": {"no": "What a no does, and don't know with it."},
    "ReadingForm": {
        "of": "The dimension.",
        "example": "A good answer with its unit.",
        "with": "The kind of instrument; where it stands, the instrument used is asked for.",
    },
    "TextForm": {
        "example": "A good answer.",
        "emergency-call": "What is to be told on an emergency call; shown when someone is hurt.",
    },
    "PeopleForm": {
        "roles": "Each role with how many people it needs.",
        "different": "How many different people there must be in all.",
        "trained": "The roles that need a training date.",
    },
    "TagForm": {
        "each": "What is locked and tagged, one of them.",
        "free": "What must be free of locks and tags.",
    },
    "CalculationForm": {
        "name": "Its name; standclear calculate lists them.",
        "inputs": "An input of the calculation: the earlier step that provides it.",
    },
    "BoundsForm": {
        "below": "A reading below this quantity or address in the tables; equal passes.",
        "above": "A reading above this quantity or address in the tables; equal passes.",
    },
    "WayForm": {
        "do": "What to do.",
        "evidence": "The texts that are asked for as proof: who, where, a number, a time.",
        "answer-stands": "The evidence answers the stop while the answer stays as it is.",
    },
    "ExampleForm": {
        "name": "What it shows; unique.",
        "same-as": "Begins with the answers of this earlier example.",
        "answers": "Step id to answer; for any kind don't know, or does not apply: its reason.",
        "verdict": "What these answers must give.",
        "stops": "Exactly the steps that stop.",
        "cautions": "Where given, exactly the steps that call for caution.",
    },
}
"""What each key means, by the form it stands in."""


def rule_file_schema() -> Schema:
    """Return the schema of rule files, in the dialect of draft 2020-12.

    It takes a file both as it is read here, where every value is text, and as an editor
    reads it, where `1` is a number and `yes` may be true.
    """
    made = RuleFileForm.model_json_schema(by_alias=True)
    forms: Schema = {**made.pop("$defs"), "RuleFileForm": made}
    for name, form in forms.items():
        form.pop("title", None)
        for key, wanted in form["properties"].items():
            form["properties"][key] = {
                **_without_null(wanted),
                "description": DESCRIPTIONS.get(name, {}).get(key, ""),
            }
    forms["StepForm"]["oneOf"] = [{"required": [kind]} for kind in KINDS]
    forms["CalculationForm"]["properties"]["name"]["enum"] = [
        *CALCULATIONS,
        *STATION_CALCULATIONS,
    ]
    forms["ReadingForm"]["properties"]["of"]["enum"] = list(DIMENSIONS)
    whole = forms.pop("RuleFileForm")
    for node in [*_nodes(whole), *_nodes(forms)]:
        _as_editors_read(node)
    return {
        "$schema": DIALECT,
        "title": "Rule file of standclear",
        "$comment": BANNER,
        **whole,
        "$defs": forms,
    }


def _without_null(wanted: Schema) -> Schema:
    """Return what a key may hold where it stands; a key left out is no null."""
    kept = {k: v for k, v in wanted.items() if k not in {"title", "default", "anyOf"}}
    allowed = [one for one in wanted.get("anyOf", ()) if one.get("type") != "null"]
    if len(allowed) == 1:
        return {**kept, **allowed[0]}
    return {**kept, "anyOf": allowed} if allowed else kept


def _nodes(node: Any) -> Iterator[Schema]:
    """Yield every mapping in a schema, the inner ones first."""
    for inner in node.values() if isinstance(node, dict) else node:
        if isinstance(inner, dict | list):
            yield from _nodes(inner)
    if isinstance(node, dict):
        yield node


def _as_editors_read(node: Schema) -> None:
    """Let a node take a scalar both as text and as what YAML makes of it elsewhere."""
    if "patternProperties" in node:
        node["additionalProperties"] = False
    if node.get("const") == "yes":
        del node["const"], node["type"]
        node["enum"] = ["yes", True]
    elif node.get("const") == "1":
        del node["const"], node["type"]
        node["enum"] = [1, "1"]
    elif node.get("type") == "integer":
        number = {key: node.pop(key) for key in ("type", "minimum", "maximum")}
        node["anyOf"] = [number, {"type": "string", "pattern": _COUNT}]
    elif node.get("type") == "string" and not node.keys() & {"pattern", "enum", "const"}:
        node["type"] = ["string", "number", "boolean"]
