"""The fields of a step: what they say can be typed."""

from __future__ import annotations

import pytest

from checklist.calculations.registry import CALCULATIONS
from checklist.rulefile import Compute
from checklist.sessions.desk import Desk
from checklist.sessions.entryrows import Row, rows_for
from checklist.sessions.known import Known

_FIELD = 38
"""Columns of a field at 80, beside the widest label."""


@pytest.fixture(scope="module")
def rows(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Row]:
    """Return every field of every calculation that a shipped rule file asks for."""
    desk = Desk.at(tmp_path_factory.mktemp("logs"))
    found: dict[str, Row] = {}
    for listed in desk.library.listed()[0]:
        for step in desk.library.load(listed.name).rule_file.steps:
            if isinstance(step.kind, Compute):
                name = step.kind.calculation.name
                found |= {f"{name} {row.name}": row for row in rows_for(step, Known())}
    return found


def test_a_choice_of_few_is_listed_in_its_field_and_one_of_many_has_an_example(
    rows: dict[str, Row],
) -> None:
    """Nobody has to guess the words: they stand in the field, and complete what is typed."""
    choices = {
        f"{c.name} {i.name}": tuple(i.choices)
        for c in CALCULATIONS.values()
        for i in c.inputs
        if i.choices and f"{c.name} {i.name}" in rows
    }

    assert rows["fall-clearance connector"].example == "lanyard or retractable"
    assert rows["fall-clearance anchor-at"].example == "above, level or below"
    assert {name: tuple(rows[name].known) for name in choices} == choices
    assert all(len(row.example) <= _FIELD + len(", or empty") for row in rows.values())
