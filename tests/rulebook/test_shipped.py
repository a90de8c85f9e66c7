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
    ("NEC 460 part II (from memory)", "stored-energy/high-time", "5 min"),
    ("NEC 460.6(A)", "stored-energy/low-limit", "1000 V"),
    ("LBNL, 50 V AC", "shock/ac-voltage", "50 V"),
    ("LBNL, 5 mA AC", "shock/ac-current", "5 mA"),
    ("LBNL, 100 V DC", "shock/dc-voltage", "100 V"),
    ("LBNL, 40 mA DC", "shock/dc-current", "40 mA"),
    ("UL 943, no trip", "shock/no-trip", "4 mA"),
    ("UL 943, 25 ms", "shock/curve-end", "264 mA"),
    ("UL 2034, silent", "alarms/silent-level", "30 ppm"),
    ("NEC 250.52(A)(5), 5/8 in", "earth/rod-diameter", "0.625 in"),
    ("NEC 250.53(A)(2) exception", "earth/single-rod", "25 ohm"),
    ("NEC 250.53 note", "earth/better-spacing", "2 1"),
    ("NEC 810.21(J)", "bonding/jumper", "6 AWG"),
    ("NEC 250.66(A)", "bonding/rod-alone", "6 AWG"),
    ("NEC 810.58(B)", "bonding/protective-ground", "10 AWG"),
    ("NEC 810.58(C)", "bonding/operating-ground", "14 AWG"),
    ("NEC 810.21(A)", "bonding/aluminium-height", "18 in"),
    ("NEC 810.18", "bonding/lightning-lead", "6 ft"),
    ("TIA-222, least", "guys/least", "7 %"),
    ("TIA-222, most", "guys/most", "15 %"),
    ("TIA-222, field tolerance", "guys/tolerance", "10 %"),
    ("NWS 2001, 50 degF", "weather/chill-warmest", "50 degF"),
    ("NWS 2001, 3 mph", "weather/chill-least-wind", "3 mph"),
    ("NWS, 30 s", "weather/thunder-near", "30 s"),
    ("OSHA high wind", "weather/high-wind", "40 mph"),
    ("OSHA high wind, material", "weather/high-wind-material", "30 mph"),
    ("29 CFR 1926.1431(k)(8)", "weather/personnel-hoist", "20 mph"),
    ("29 CFR 1926.502(d)(15)", "fall/anchorage", "5000 lbf"),
    ("29 CFR 1926.502(d)(16)(ii)", "fall/arrest-force", "1800 lbf"),
]


@pytest.mark.parametrize(
    ("address", "printed"),
    [pytest.param(address, printed, id=source) for source, address, printed in _PRINTED],
)
def test_single_values_are_the_printed_ones(address: str, printed: str, book: Book) -> None:
    """Each value is the number that its document prints, in the document's own unit."""
    assert book.value(address).quantity.text() == printed
