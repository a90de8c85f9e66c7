"""Nothing in the program reads a value that the list of numbers does not know as used."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest
import yaml

import checklist
from checklist.calculations.reads import addresses_in
from checklist.rulebook import Book
from checklist.sessions.library import Library
from checklist.sessions.numbersinuse import EXPOSURE, OTHER_READERS, numbers_in_use
from checklist.shipped import shipped_rules

PACKAGE = Path(checklist.__file__).parent
MODULES = sorted(
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)
    for path in PACKAGE.rglob("*.py")
    if path.name != "__init__.py"
)


@pytest.fixture(scope="module")
def book() -> Book:
    return Library().book()


def test_every_module_that_names_an_address_is_known_as_a_reader(book: Book) -> None:
    """Each address that stands in any code of the program has a use, so no reader is left out."""
    used = {one.address for one in numbers_in_use(Library()).numbers if one.is_used}
    named = {module: addresses_in([module], book) for module in MODULES}

    assert sum(bool(addresses) for addresses in named.values()) > 10
    assert {m: a - used for m, a in named.items() if a - used} == {}


@pytest.mark.parametrize("reader", OTHER_READERS)
def test_a_named_reader_reads_something(reader: str, book: Book) -> None:
    """What is called a reader beside the calculations has code, and addresses in it."""
    assert addresses_in(OTHER_READERS[reader], book)


def test_code_is_read_and_not_run(book: Book) -> None:
    """Looking for addresses in a module does not load it."""
    assert find_spec("checklist.sessions.tagging.tagpage") is not None
    assert addresses_in(["checklist.sessions.tagging.tagpage"], book) == {"tags/letter-height"}
    assert addresses_in(["checklist.no_such_module"], book) == frozenset()


def test_every_table_of_every_set_of_limits_is_listed() -> None:
    """Each tier of each shipped set stands among the numbers, with as many bands as its file."""
    listed = {one.address: one for one in numbers_in_use(Library()).numbers}
    seen = 0
    for path in (shipped_rules() / "limits").glob("*.yaml"):
        data = yaml.safe_load(path.read_text("utf-8"))
        for table in data["tables"]:
            number = listed[f"limits/{path.stem}, {table['table']}, {table['tier']}"]
            seen += 1

            assert len(number.rows) == len(table["rows"])
            assert number.source.id == table.get("source", data["source"])
            assert number.calculations == (EXPOSURE,)
    assert seen > 5


def test_the_limit_of_two_metres_as_the_regulation_prints_it() -> None:
    """47 CFR 1.1310(e)(1), table 1, 30 to 300 MHz: 27.5 V/m, 0.073 A/m, 0.2 mW/cm2."""
    found = numbers_in_use(Library()).find("limits/fcc-1310")
    (number,) = [one for one in found if one.address.endswith(", uncontrolled")]
    (band,) = [row for row in number.rows if row.address.endswith("/30 MHz to 300 MHz")]

    assert band.value == "E 27.5 V/m, H 0.073 A/m, S 0.2 mW/cm2"
    assert number.value == "5 bands, averaged over 30 min"
    assert number.source.edition.startswith("eCFR issue of 2026")


def test_a_clubs_own_set_of_limits_is_listed_with_its_citation(tmp_path: Path) -> None:
    """A set in the club's folder stands beside the shipped ones, under the club's name."""
    folder = tmp_path / "limits"
    folder.mkdir()
    text = (shipped_rules() / "limits" / "fcc-1310.yaml").read_text("utf-8")
    own = text.replace("limits: fcc-1310", "limits: ridge-hollow")
    (folder / "ridge-hollow.yaml").write_text(own, encoding="utf-8")
    found = numbers_in_use(Library(tmp_path)).find("club-rules/limits/ridge-hollow")

    assert len(found) == 2
    assert all(one.source.id == "fcc-1310" for one in found)
