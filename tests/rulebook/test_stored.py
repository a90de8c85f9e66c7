"""A citation in the record is the one that was used, a club's with what it replaced."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from checklist.errors import StandclearError
from checklist.rulebook.stored import cited_data, cited_from
from tests.rulebook.clubs import book_with, overlay

CLUBS = book_with(overlay("site/gust-stop", "25 mph")).value("site/gust-stop").cited
SHIPPED = book_with().value("site/gust-stop").cited


@pytest.mark.parametrize("cited", [SHIPPED, CLUBS], ids=["shipped", "club"])
def test_a_citation_comes_back_as_it_was(cited: Any) -> None:
    """Through JSON and back nothing changes, for a shipped value and for a club's."""
    assert cited_from(json.loads(json.dumps(cited_data(cited)))) == cited


def test_a_shipped_value_is_stored_as_it_always_was() -> None:
    """Records made before clubs had values read alike: the further key is a club's alone."""
    assert set(cited_data(SHIPPED)) == {"address", "value", "means", "citation", "standing"}
    assert set(cited_data(CLUBS)) - set(cited_data(SHIPPED)) == {"instead-of"}


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: data.pop("value"),
        lambda data: data.update(more="x"),
        lambda data: data.update(standing="sure"),
        lambda data: data.update(value=20),
        lambda data: data["instead-of"].pop("decided"),
        lambda data: data["instead-of"].update(strictness="fine"),
        lambda data: data["instead-of"].update(value=None),
        lambda data: data.update({"instead-of": "20 mph"}),
        lambda data: data.update({"instead-of": None}),
    ],
)
def test_damaged_citations_are_refused(damage: Callable[[dict[str, Any]], object]) -> None:
    """What cited_data could not have written is refused in one sentence."""
    data = cited_data(CLUBS)
    damage(data)
    with pytest.raises(StandclearError) as refused:
        cited_from(data)

    assert "\n" not in refused.value.sentence()


def test_no_mapping_is_no_citation() -> None:
    """A text in its place is refused."""
    with pytest.raises(StandclearError):
        cited_from("20 ft")
