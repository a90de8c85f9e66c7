"""The manual's page on the numbers is as the program would write it now."""

from __future__ import annotations

import re

import pytest

from checklist.calculations import CALCULATIONS
from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.calculations.reads import addresses_in
from checklist.calculations.stationnumbers import TOLD, Told
from tests.calculations.writing_numbers import PAGE, checked_against, page, shipped_book

EVERY = (*CALCULATIONS, *STATION_CALCULATIONS)


def test_the_page_is_fresh() -> None:
    """What the manual says of the calculations is what they say of themselves today."""
    fresh = PAGE.read_text("utf-8") == page()

    assert fresh, "after a change: python -m tests.calculations.writing_numbers, read the diff"


def test_every_calculation_has_its_section() -> None:
    """Rule, inputs, limits of validity, sources and check stand in each section."""
    text = page()
    sections = re.split(r"\n### ", text)[1:]

    assert len(sections) == len(EVERY)
    for section, name in zip(sections, _in_order(text), strict=True):
        for part in (
            "**Rule.**",
            "**Inputs.**",
            "**Where it holds.**",
            "**Sources.**",
            "**Checked",
        ):
            assert part in section, name


def _in_order(text: str) -> list[str]:
    return re.findall(r'<a id="([^"]+)"', text)


def test_every_calculation_is_held_against_something_printed() -> None:
    """No calculation is shipped that only its own author has checked."""
    checked = checked_against(shipped_book())

    assert {name for name in EVERY if not checked[name]} == set(), (
        "add a printed value with its document to tests/calculations/published"
    )


def test_links_lead_to_sections() -> None:
    """Each name in the list at the top is the anchor of one section."""
    text = page()
    linked = re.findall(r"\]\(#([a-z-]+)\)", text)

    assert sorted(linked) == sorted(_in_order(text)) == sorted(EVERY)


def test_every_calculation_is_worked_out_on_its_example() -> None:
    """Each that is given its inputs by hand shows its arithmetic, and ends with an outcome."""
    sections = re.split(r"\n### ", page())[1:]
    worked = [one for one in sections if "**Example.**" in one]

    assert len(worked) == len(CALCULATIONS)
    for section in worked:
        after = section.split("**Example.**")[1]

        outcome = re.search(r"^\*(within|over|not shown)\*: ", after, re.MULTILINE)

        assert outcome, section.splitlines()[0]
        assert outcome[1] == "not shown" or re.search(r"^\d+\. ", after, re.MULTILINE)


@pytest.mark.parametrize("told", TOLD, ids=lambda told: told.calculation.name)
def test_a_method_names_values_that_there_are(told: Told) -> None:
    """What is told of a calculation from a station file names addresses that its engine reads."""
    named = set(re.findall(r"`([^`]+)`", " ".join((*told.methods, *told.holds))))

    assert named <= addresses_in(told.calculation.where, shipped_book())
