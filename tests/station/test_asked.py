"""What a form offers as an example can be typed as it stands."""

from __future__ import annotations

from typing import Any

import pytest

from checklist.station.antennas import Yagi
from checklist.station.asked import asked_for
from checklist.station.lineform import checked
from checklist.station.people import Place
from checklist.station.radio import Log
from checklist.station.reading import Known
from checklist.station.records import Entry


@pytest.mark.parametrize(
    ("kind", "name"), [(Place, "within-reach"), (Yagi, "elements"), (Log, "overs")]
)
def test_the_example_of_a_row_is_taken(kind: type[Any], name: str) -> None:
    """One thing stands in each column, none is empty, and the whole row is understood."""
    asked = next(one for one in asked_for(Entry(kind), {}, every=True) if one.name == name)

    assert all(column.strip() for column in asked.example.split(";"))
    assert len(asked.example.split(";")) == len(asked.columns.split(";"))
    assert checked(asked.shape, asked.example, Known(), None)
