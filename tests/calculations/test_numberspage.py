"""The manual's page on the numbers is as the program would write it now."""

from __future__ import annotations

import re

from checklist.calculations import CALCULATIONS
from tests.calculations.writing_numbers import PAGE, checked_against, page, shipped_book


def test_the_page_is_fresh() -> None:
    """What the manual says of the calculations is what they say of themselves today."""
    fresh = PAGE.read_text("utf-8") == page()

    assert fresh, "after a change: python -m tests.calculations.writing_numbers, read the diff"


def test_every_calculation_has_its_section() -> None:
    """Rule, inputs, limits of validity, sources and check stand in each section."""
    text = page()
    sections = re.split(r"\n### ", text)[1:]

    assert len(sections) == len(CALCULATIONS)
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

    assert {name for name in CALCULATIONS if not checked[name]} == set(), (
        "add a printed value with its document to tests/calculations/published"
    )


def test_links_lead_to_sections() -> None:
    """Each name in the list at the top is the anchor of one section."""
    text = page()
    linked = re.findall(r"\]\(#([a-z-]+)\)", text)

    assert sorted(linked) == sorted(_in_order(text)) == sorted(CALCULATIONS)
