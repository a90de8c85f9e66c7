"""A club's own values take the place of shipped ones by name, and never unsaid."""

from __future__ import annotations

import pytest

from checklist.rulebook import RulebookRefused, Standing, Stricter, Strictness, load_book
from tests.rulebook.clubs import NOTE, book_with, overlay, table, texts

DISTANCE = "generator/carbon-monoxide-distance"
CORD = "conductors/flexible-cord/12"


def test_a_club_value_stands_in_the_place_of_the_shipped_one() -> None:
    """The club's number, citation and decision are there, and the shipped ones beside them."""
    value = book_with(overlay(DISTANCE, "25 ft")).value(DISTANCE)
    replaced = value.cited.replaced

    assert value.quantity.text() == "25 ft"
    assert value.cited.citation.startswith("Ridge Hollow club, minutes")
    assert value.cited.means.startswith("least distance of the exhaust")
    assert replaced is not None
    assert replaced.value == "20 ft"
    assert "CDC" in replaced.citation
    assert value.cited.club_note == f"club value 25 ft instead of 20 ft (stricter), {NOTE}"


def test_what_no_club_replaces_stays_as_shipped() -> None:
    """Other values, and the other rows of a list, have no trace of the club."""
    book = book_with(overlay(DISTANCE, "25 ft"), overlay(CORD, "[18, 23]", key="row"))
    others = [v.cited for a, v in book.values.items() if a != DISTANCE]
    others += [r.cited for t in book.tables.values() for r in t.rows.values()]
    others = [cited for cited in others if cited.address != CORD]

    assert len(others) > 50
    assert [cited.address for cited in others if cited.replaced or cited.club_note] == []


@pytest.mark.parametrize(
    ("address", "value", "found"),
    [
        (DISTANCE, "25 ft", Strictness.STRICTER),
        (DISTANCE, "15 ft", Strictness.LAXER),
        (DISTANCE, "6.096 m", Strictness.SAME),
        (DISTANCE, "6.095 m", Strictness.LAXER),
        ("site/gust-stop", "15 mph", Strictness.STRICTER),
        ("site/gust-stop", "25 mph", Strictness.LAXER),
        ("conductors/resistance-temperature", "60 degC", Strictness.UNTOLD),
        ("conductors/resistance-temperature", "75 degC", Strictness.SAME),
    ],
)
def test_stricter_or_laxer_is_told_unrounded(address: str, value: str, found: Strictness) -> None:
    """20 ft and 6.096 m are the same; a millimetre less is laxer; where nothing says, untold."""
    cited = book_with(overlay(address, value)).value(address).cited

    assert cited.replaced is not None
    assert cited.replaced.strictness is found
    assert cited.is_eased is (found in {Strictness.LAXER, Strictness.UNTOLD})


@pytest.mark.parametrize(
    ("row", "found"),
    [
        ("[18, 23]", Strictness.STRICTER),
        ("[20, 25]", Strictness.SAME),
        ("[20, 24]", Strictness.STRICTER),
        ("[18, 26]", Strictness.LAXER),
    ],
)
def test_the_laxest_cell_of_a_row_decides(row: str, found: Strictness) -> None:
    """One ampacity above the shipped one makes the row laxer, whatever the other cell is."""
    cited = book_with(overlay(CORD, row, key="row")).table("conductors/flexible-cord")
    replaced = cited.row("12").cited.replaced

    assert replaced is not None
    assert replaced.strictness is found


def test_a_row_whose_key_has_a_slash_can_be_replaced() -> None:
    """The size 1/0 is named as it is printed."""
    found = book_with(overlay("conductors/stranded-copper/1/0", "0.13", key="row"))

    assert found.table("conductors/stranded-copper").row("1/0")["resistance"].text() == (
        "0.13 ohm/kft"
    )


def test_a_use_that_knows_the_side_says_laxer_even_where_the_table_is_silent() -> None:
    """A limit that readings must not be below is stricter when higher, and the reverse."""
    address = "generator/leg-voltage"
    value = book_with(overlay(address, "115 V")).value(address)
    below = value.cited_as(Stricter.HIGHER).replaced
    above = value.cited_as(Stricter.LOWER).replaced

    assert value.cited.is_eased
    assert below is not None
    assert above is not None
    assert (below.strictness, above.strictness) == (Strictness.LAXER, Strictness.STRICTER)


def test_a_club_value_from_memory_is_unverified() -> None:
    """A club is no surer than its source: the value keeps the source's standing."""
    cited = book_with(overlay(DISTANCE, "25 ft", source="ridge-recalled")).value(DISTANCE).cited

    assert cited.standing is Standing.MEMORY
    assert cited.is_unverified
    assert "unverified" in cited.citation


def test_a_club_adds_values_of_its_own() -> None:
    """A value under the club's own name is there for its rule files, and replaces nothing."""
    more = (
        "table: ridge-hollow\nabout: More.\nvalues:\n"
        "  ice: {value: 0.25 in, means: ice that stops a climb, source: ridge-minutes}\n"
    )
    book = load_book(texts(_GOOD) | {"club-rules/tables/ridge-hollow.yaml": more})

    assert book.value("ridge-hollow/ice").quantity.text() == "0.25 in"
    assert book.value("ridge-hollow/ice").cited.replaced is None


_GOOD = overlay(DISTANCE, "25 ft")


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        (overlay("generator/nowhere", "25 ft"), "no value “generator/nowhere” in the shipped"),
        (overlay("conductors/flexible-cord/11", "[1, 2]", key="row"), "write table/list/row"),
        (overlay(DISTANCE, "25"), "not a number and a unit known here"),
        (overlay(DISTANCE, "25 mph"), "is not a length; the shipped value is 20 ft"),
        (overlay(DISTANCE, "2000 ft"), "more than 10 times off the shipped 20 ft"),
        (overlay(DISTANCE, "1.9 ft"), "more than 10 times off"),
        (overlay(DISTANCE, "0 ft"), "more than 10 times off"),
        (overlay(DISTANCE, "-25 ft"), "more than 10 times off"),
        (overlay(DISTANCE, "25 ft", source="nobody"), "“nobody” is not in sources.yaml"),
        (overlay(CORD, "[18]", key="row"), "the row has 1 cells for 2 columns"),
        (overlay(CORD, "[18, x]", key="row"), "not a number and a unit known here"),
        (_GOOD + overlay(DISTANCE, "30 ft"), f"“{DISTANCE}” is replaced twice"),
        (_GOOD.replace("2026-11-20", "20 Nov"), "a day is needed here, as 2026-11-25"),
        (_GOOD.replace("2026-11-20", "2026-11-31"), "a day is needed here"),
        (_GOOD.replace("    decided-by: Wren Holloway\n", ""), "“decided-by” is missing"),
        (_GOOD + "    row: [1]\n", "exactly one of value: and row:"),
        (_GOOD.replace("    value: 25 ft\n", ""), "exactly one of value: and row:"),
        (_GOOD + "    colour: red\n", "“colour” is not known here"),
        (_GOOD + "    standing: sure\n", "“sure” is not a standing"),
        (overlay("ridge-hollow/ice", "1 in"), "this is a club's own value; change it there"),
    ],
)  # fmt: skip
def test_a_wrong_overlay_is_one_sentence_with_its_place(entries: str, said: str) -> None:
    """A club's slip refuses the whole book: no check goes on with the shipped value unsaid."""
    with pytest.raises(RulebookRefused) as refused:
        book_with(entries)
    (sentence,) = refused.value.errors

    assert said in sentence
    assert sentence.startswith("club-rules/tables/ridge-hollow.yaml, line ")


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("sources.yaml", "practice: {title: Ours, standing: read}", "a shipped source is named"),
        ("tables/generator.yaml", table(name="generator"), "another table is named"),
        ("tables/other.yaml", table(_GOOD), "must stand in ridge-hollow.yaml"),
        ("tables/ours.yaml", "table: ours\nabout: x\noverlays: {a: b}", "a list is needed here"),
        ("tables/ours.yaml", "table: ours\nabout: x\noverlays: [a]", "the keys "),
    ],
)
def test_a_club_file_never_passes_for_a_shipped_one(name: str, text: str, said: str) -> None:
    """Names of shipped sources and tables are refused, and so is what has no shape."""
    with pytest.raises(RulebookRefused) as refused:
        load_book(texts(_GOOD) | {f"club-rules/{name}": text})

    assert any(said in sentence for sentence in refused.value.errors)
    assert all(s.startswith("club-rules/") for s in refused.value.errors)


def test_overlays_are_not_taken_in_a_shipped_table() -> None:
    """Only a club lays values over others: a shipped table has no such key."""
    with pytest.raises(RulebookRefused, match="“overlays” is not known here"):
        load_book({"sources.yaml": "{}", "tables/x.yaml": table(name="x")})
