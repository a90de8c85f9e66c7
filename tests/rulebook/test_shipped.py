"""The tables that are shipped."""

from __future__ import annotations

import pytest

from checklist.quantities import parse_quantity
from checklist.rulebook import Book, Standing, load_book
from checklist.shipped import shipped_rules


@pytest.fixture(scope="module")
def book() -> Book:
    rules = shipped_rules()
    texts = {f"tables/{p.name}": p.read_text("utf-8") for p in (rules / "tables").glob("*.yaml")}
    return load_book(texts | {"sources.yaml": (rules / "sources.yaml").read_text("utf-8")})


def test_every_value_says_what_it_means(book: Book) -> None:
    """Each value and each row has a meaning and a citation."""
    cited = [value.cited for value in book.values.values()]
    cited += [row.cited for table in book.tables.values() for row in table.rows.values()]

    assert cited
    for one in cited:
        assert one.means
        assert one.citation


def test_what_was_read_has_an_edition(book: Book) -> None:
    """A source that was read names the edition that was read."""
    for source in book.sources.values():
        if source.standing is Standing.READ:
            assert source.edition, source.id


def test_the_rows_of_ranges_rise(book: Book) -> None:
    """The table of clearances rises in voltage and in distance."""
    table = book.table("lines/clearance")
    clearances = [row["clearance"] for row in table.rows.values()]

    assert clearances == sorted(clearances)
    for end, row in table.rows.items():
        found = table.up_to(parse_quantity(end, "voltage"))

        assert found is row


_PRINTED = [
    ("CDC and CPSC generator pages", "generator/carbon-monoxide-distance", "20 ft"),
    ("NIST and Red Cross notice", "generator/carbon-monoxide-distance-wind", "25 ft"),
    ("NIST, Indoor Air 2014, near 17 % oxygen", "generator/emission-worst", "4000 g/h"),
    ("NIST, Indoor Air 2014, ambient oxygen", "generator/emission-open-air", "500 g/h"),
    ("NIOSH IDLH", "carbon-monoxide/idlh", "1200 ppm"),
    ("NIOSH ceiling", "carbon-monoxide/ceiling", "200 ppm"),
    ("29 CFR 1910.1000", "carbon-monoxide/pel", "50 ppm"),
    ("29 CFR 1926.152(b)(1)", "fuel/room", "25 gal"),
    ("29 CFR 1926.152(b)(3)", "fuel/cabinet", "60 gal"),
    ("29 CFR 1926.152(a)(1)", "fuel/can", "5 gal"),
    ("29 CFR 1926.1409", "lines/presumed-clearance", "50 ft"),
    ("29 CFR 1926.502(d)(16)(iii)", "fall/free-fall", "6 ft"),
    ("29 CFR 1926.502(d)(16)(iv)", "fall/deceleration", "3.5 ft"),
    ("29 CFR 1926.1053(b)(1)", "ladder/above-landing", "3 ft"),
    ("rigging tables", "rigging/least-angle", "30 deg"),
]


@pytest.mark.parametrize(
    ("address", "printed"),
    [pytest.param(address, printed, id=source) for source, address, printed in _PRINTED],
)
def test_single_values_are_the_printed_ones(address: str, printed: str, book: Book) -> None:
    """Each value is the number that its document prints, in the document's own unit."""
    assert book.value(address).quantity.text() == printed
