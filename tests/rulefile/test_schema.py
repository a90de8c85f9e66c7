"""The JSON Schema takes every shipped file, and refuses what has another shape."""

from __future__ import annotations

import re
from collections.abc import Callable
from copy import deepcopy
from typing import Any

import jsonschema
import pytest
import yaml

from checklist.calculations import CALCULATIONS
from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.rulefile.form import KINDS
from checklist.rulefile.schema import DIALECT, rule_file_schema
from checklist.shipped import shipped_rules
from checklist.strictyaml import read_yaml
from tests.rulefile.making import SMALL

SHIPPED = sorted((shipped_rules() / "checks").glob("*.yaml"))
SCHEMA = rule_file_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


class CoreLoader(yaml.SafeLoader):
    """Reads plain scalars as YAML 1.2's core schema does, which is what editors follow."""


CoreLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?[0-9]*\.[0-9]+", "-+.0123456789"),
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
):
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{tag}", re.compile(rf"^(?:{pattern})$"), list(first)
    )


def strictly(text: str) -> Any:
    return read_yaml(text, "a.yaml").data


def as_editors_do(text: str) -> Any:
    return yaml.load(text, CoreLoader)  # noqa: S506 - a SafeLoader with fewer kinds of scalar


READERS = [strictly, as_editors_do]


def test_it_is_a_schema_of_its_dialect() -> None:
    """The jsonschema library, by the meta-schema of draft 2020-12, finds nothing wrong with it."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)

    assert SCHEMA["$schema"] == DIALECT == jsonschema.Draft202012Validator.META_SCHEMA["$id"]


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_every_shipped_file_fits(path: Any, reader: Callable[[str], Any]) -> None:
    """As read here, all text, and as an editor reads it, with numbers."""
    data = reader(path.read_text("utf-8"))

    assert [error.message for error in VALIDATOR.iter_errors(data)] == []


def test_every_key_says_what_it_means() -> None:
    """An editor shows a sentence at each key that a rule file can have."""
    forms = {"": SCHEMA, **SCHEMA["$defs"]}
    silent = [
        (name, key)
        for name, form in forms.items()
        for key, wanted in form["properties"].items()
        if not wanted.get("description", "").endswith(".")
    ]

    assert silent == []
    assert sum(len(form["properties"]) for form in forms.values()) > 60


def test_an_editor_can_offer_what_there_is() -> None:
    """Kinds, calculations and dimensions are listed by name."""
    step = SCHEMA["$defs"]["StepForm"]

    assert [one["required"] for one in step["oneOf"]] == [[kind] for kind in KINDS]
    assert SCHEMA["$defs"]["CalculationForm"]["properties"]["name"]["enum"] == [
        *CALCULATIONS,
        *STATION_CALCULATIONS,
    ]
    assert "length" in SCHEMA["$defs"]["ReadingForm"]["properties"]["of"]["enum"]


def _step(data: Any, number: int = 0) -> Any:
    return data["parts"][0]["steps"][number]


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: data.pop("title"),
        lambda data: data.update(colour="red"),
        lambda data: data.update(format="2"),
        lambda data: data.update(name="Mast base"),
        lambda data: data.update(signers={"onlooker": 1}),
        lambda data: data.update(signers={"helper": 0}),
        lambda data: data.update(signers={"helper": "21"}),
        lambda data: data.update(parts=[]),
        lambda data: data["parts"][0].update(part="later"),
        lambda data: _step(data).pop("why"),
        lambda data: _step(data).update(sources=[]),
        lambda data: _step(data).pop("people"),
        lambda data: _step(data).update(confirm={"no": "stop"}),
        lambda data: _step(data, 2).update(confirm={"yes": "stop"}),
        lambda data: _step(data, 2).update(confirm={"no": "go"}),
        lambda data: _step(data, 1).update(choice={"hand": "By hand"}),
        lambda data: _step(data, 1).update(choice={"By hand": "x", "car": "y"}),
        lambda data: _step(data, 1).update(clear="nothing"),
        lambda data: _step(data, 3)["reading"].update(of="size"),
        lambda data: _step(data).update({"guards-life": "no"}),
        lambda data: data["examples"][0].update(verdict="safe"),
    ],
)
@pytest.mark.parametrize("reader", READERS)
def test_another_shape_is_refused(
    damage: Callable[[Any], object], reader: Callable[[str], Any]
) -> None:
    """Each mistake of shape alone makes a file that fits not fit any more."""
    data = reader(SMALL)
    before = deepcopy(data)
    damage(data)

    assert VALIDATOR.is_valid(before)
    assert not VALIDATOR.is_valid(data)
