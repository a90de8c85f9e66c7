"""Tables and bibliography are read strictly, with every error at once."""

from __future__ import annotations

import pytest

from checklist.errors import StandclearError
from checklist.quantities import parse_quantity
from checklist.rulebook import RulebookRefused, Standing, load_book

_SOURCES = """
rule: {title: Some rule 1.2, edition: "2020", standing: read}
head: {title: Some handbook, standing: from memory}
practice: {title: Common practice of the trade, standing: common practice}
"""
_TABLE = """
table: yard
about: Distances in a yard.
values:
  gap: {value: 20 ft, means: least gap, source: rule}
  guess: {value: 3 ft, means: a guess, source: head}
  habit: {value: 80 %, means: a habit, source: practice}
  less: {value: 4 ft, means: less certain than its source, source: rule, standing: from memory}
lists:
  steps:
    means: steps by voltage
    source: rule
    key: voltage up to
    columns: {near: ft, far: m}
    rows:
      1 kV: [10, 4]
      5 kV: [15, 6]
  single: {means: one column, source: rule, key: size, columns: {r: ohm/kft}, rows: {"14": 3.14}}
"""


def load(table: str = _TABLE, sources: str = _SOURCES, name: str = "tables/yard.yaml"):  # type: ignore[no-untyped-def]  # the error cases never see the result
    return load_book({"sources.yaml": sources, name: table})


def errors(
    table: str = _TABLE, sources: str = _SOURCES, name: str = "tables/yard.yaml"
) -> list[str]:
    with pytest.raises(RulebookRefused) as refused:
        load(table, sources, name)
    return refused.value.errors


def test_values_and_rows_come_with_citations() -> None:
    """A value knows its address, meaning, citation and standing."""
    book = load()
    gap = book.value("yard/gap")

    assert gap.quantity == parse_quantity("6.096 m", "length")
    assert gap.cited.address == "yard/gap"
    assert gap.cited.value == "20 ft"
    assert gap.cited.citation == "Some rule 1.2, 2020"
    assert gap.cited.standing is Standing.READ
    assert book.table("yard/single").row("14")["r"].text() == "3.14 ohm/kft"


@pytest.mark.parametrize(
    ("name", "standing", "unverified", "words"),
    [
        ("gap", Standing.READ, False, "Some rule 1.2, 2020"),
        ("guess", Standing.MEMORY, True, "Some handbook (from memory: unverified)"),
        ("habit", Standing.PRACTICE, False,
         "Common practice of the trade (common practice, no source)"),
        ("less", Standing.MEMORY, True,
         "Some rule 1.2, 2020 (this value from memory: unverified)"),
    ],
)  # fmt: skip
def test_how_far_a_value_is_trusted(
    name: str, standing: Standing, unverified: bool, words: str
) -> None:
    """A value is at most as certain as its source, and its citation says how certain."""
    cited = load().value(f"yard/{name}").cited

    assert (cited.standing, cited.is_unverified, cited.citation) == (standing, unverified, words)


@pytest.mark.parametrize(
    ("voltage", "row"),
    [("1 V", "1 kV"), ("1 kV", "1 kV"), ("1000.001 V", "5 kV"), ("5 kV", "5 kV"), ("5.1 kV", None)],
)
def test_ranges_are_inclusive_and_end(voltage: str, row: str | None) -> None:
    """An upper end belongs to its row; above the last there is nothing."""
    found = load().table("yard/steps").up_to(parse_quantity(voltage, "voltage"))

    assert (found.key if found else None) == row


def test_a_missing_row_lists_those_there_are() -> None:
    """Asking for a size that is not there names the sizes that are."""
    with pytest.raises(StandclearError, match=r"size: 14"):
        load().table("yard/single").row("12")


@pytest.mark.parametrize("ask", ["value", "table", "source"])
def test_an_address_that_is_not_there(ask: str) -> None:
    """An unknown address is one sentence with the address in it."""
    with pytest.raises(StandclearError, match="yard/none"):
        getattr(load(), ask)("yard/none")


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        ("20 ft", "20 furlong", "line 5, column", "not a number and a unit"),
        ("20 ft", "20", "line 5, column", "not a number and a unit"),
        ("20 ft", "NaN ft", "line 5, column", "not a number and a unit"),
        ("20 ft", "Infinity ft", "line 5, column", "not a number and a unit"),
        ("20 ft", "[20, ft]", "line 5, column", "plain text"),
        ("least gap, source: rule", "least gap, source: rool", "line 5", "“rool” is not in"),
        ("least gap, source: rule", "least gap, source: [rule]", "line 5", "plain text"),
        ("least gap, source: rule", "least gap", "line 5", "“source” is missing"),
        ("means: least gap", "meens: least gap", "line 5", "“meens” is not known"),
        ("a guess, source: head", "a guess, source: head, standing: read", "line 6", "surer"),
        ("a habit, source: practice", "a habit, source: practice, standing: read", "line 7",
         "surer"),
        ("standing: from memory", "standing: sure", "line 8", "“sure” is not a standing"),
        ("far: m", "far: mm2", "line 14", "not a unit"),
        ("[10, 4]", "[10]", "line 16", "1 cells for 2 columns"),
        ("[10, 4]", "[10, x]", "line 16", "not a number"),
        ("table: yard", "table: barn", "line 2", "must stand in barn.yaml"),
        ("  gap:", "  guess:", "line 6", "stands twice"),
        ("about: Distances in a yard.", "about: &a Distances", "line 3", "anchors"),
    ],
)  # fmt: skip
def test_each_fault_is_found_in_its_place(old: str, new: str, place: str, says: str) -> None:
    """A fault in a table is one sentence with file, line and what is wrong."""
    assert old in _TABLE
    found = errors(_TABLE.replace(old, new, 1))

    assert any(e.startswith(f"tables/yard.yaml, {place}") and says in e for e in found), found


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("standing: read", "standing: true", "“true” is not a standing"),
        ("title: Some rule 1.2", "title: [a]", "plain text"),
        ("title: Some handbook, ", "", "“title” is missing"),
        ("standing: read", "standing: read, color: red", "“color” is not known"),
    ],
)
def test_faults_of_the_bibliography(old: str, new: str, says: str) -> None:
    """The bibliography is read as strictly."""
    assert any(says in e for e in errors(sources=_SOURCES.replace(old, new, 1)))


def test_all_errors_come_at_once() -> None:
    """Three faults are three sentences in one refusal."""
    broken = _TABLE.replace("20 ft", "20").replace("3 ft", "x ft").replace("80 %", "80 percents")

    assert len(errors(broken)) == 3


def test_no_mapping_is_refused() -> None:
    """A file that is a list, or an empty one, is refused and not skipped."""
    assert errors("- a\n- b\n")
    assert errors("")
