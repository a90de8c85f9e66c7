"""Every number in use is listed once, with its citation and with everything that uses it."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from checklist.calculations import CALCULATIONS
from checklist.rulebook import Book, Standing, Stricter
from checklist.rulefile import Bounds, Compute, Reading, RuleFile, load_rule_file
from checklist.rulefile.numberlines import brief_lines, number_data, row_lines, whole_lines
from checklist.rulefile.numbers import Number, Use, club_values_of, numbers
from checklist.shipped import shipped_rules
from tests.rulebook.clubs import book_with, overlay
from tests.rulefile.making import SMALL, book, changed, small


def shipped_files(found: Book) -> list[RuleFile]:
    """Return every shipped rule file."""
    paths = sorted((shipped_rules() / "checks").glob("*.yaml"))
    return [
        load_rule_file(path.read_text("utf-8"), path.name, found, CALCULATIONS) for path in paths
    ]


@pytest.fixture(scope="module")
def listed() -> dict[str, Number]:
    return {one.address: one for one in numbers(book(), shipped_files(book()), CALCULATIONS)}


def limits_of(rule_file: RuleFile) -> Iterator[tuple[str, str, Bounds]]:
    for step in rule_file.steps:
        if isinstance(step.kind, Reading):
            yield step.id, "stops", step.kind.stop
            yield step.id, "is a caution", step.kind.caution


def test_every_value_and_list_of_the_tables_is_listed_once(listed: dict[str, Number]) -> None:
    """Nothing that the tables hold is left out of what an officer can look up."""
    addresses = [*book().values, *book().tables]

    assert len(numbers(book(), [], {})) == len(addresses)
    assert set(addresses) <= set(listed)


def test_every_limit_of_a_shipped_step_names_that_step(listed: dict[str, Number]) -> None:
    """Each limit of each reading is a use of its value: rule file, step, which side stops."""
    seen = 0
    for rule_file in shipped_files(book()):
        for step_id, does, bounds in limits_of(rule_file):
            for side, limit in (("below", bounds.below), ("above", bounds.above)):
                if limit is None:
                    continue
                step = rule_file.step(step_id)
                use = Use(rule_file.name, step_id, step.ask, f"{does} {side}")
                own = limit.cited.address.startswith("step/")
                address = f"{rule_file.name}, step {step_id}" if own else limit.cited.address
                seen += 1

                assert use in listed[address].uses
    assert seen > 10


def test_every_computing_step_uses_what_its_calculation_reads(listed: dict[str, Number]) -> None:
    """A step that runs a calculation stands at each value that this can read."""
    for rule_file in shipped_files(book()):
        for step in rule_file.steps:
            if not isinstance(step.kind, Compute):
                continue
            name = step.kind.calculation.name
            use = Use(rule_file.name, step.id, step.ask, f"computes {name}")
            for number in listed.values():
                assert (use in number.uses) is (name in number.calculations), number.address


def test_the_carbon_monoxide_distance_as_its_document_has_it(listed: dict[str, Number]) -> None:
    """CDC and CPSC pages of 2024: 20 ft; read; it stops the step about openings."""
    number = listed["generator/carbon-monoxide-distance"]

    assert (number.value, number.standing) == ("20 ft", Standing.READ)
    assert (number.source.id, number.source.edition) == ("cdc-generator", "pages of 2024")
    assert [(u.rule_file, u.step, u.does) for u in number.uses] == [
        ("emergency-power", "openings", "stops below")
    ]


def test_what_is_from_memory_says_unverified_everywhere(listed: dict[str, Number]) -> None:
    """Each such number says so in the list, in its text and in its data, and is found by it."""
    unsure = [one for one in listed.values() if one.standing is Standing.MEMORY]

    assert unsure
    for number in unsure:
        assert "UNVERIFIED" in brief_lines(number)[1]
        assert any("UNVERIFIED, from memory" in line for line in whole_lines(number))
        assert number_data(number)["unverified"] is True
        assert number.has(["unverified"])
    assert not any(one.has(["UNVERIFIED"]) for one in listed.values() if one not in unsure)


def test_limits_and_thresholds_of_a_rule_file_itself_are_listed() -> None:
    """A number written into a rule file is listed with its step, cited by the first source."""
    text = changed(
        ("stop: {above: site/gust-stop}",
         "when: {fact: height, above: 12 ft}\n        stop: {above: 18 mph}"),
    )  # fmt: skip
    rules = load_rule_file(text, "mast-base.yaml", book(), CALCULATIONS)
    own = [n for n in numbers(book(), [rules], {}) if n.address == "mast-base, step gust"]

    assert [(n.value, n.uses[0].does) for n in own] == [
        ("18 mph", "stops above"),
        ("12 ft", "applies where height is above"),
    ]
    assert {n.source.id for n in own} == {"practice"}


@pytest.mark.parametrize(
    ("words", "fits"),
    [
        (["FLEXIBLE", "cord"], True),
        (["nec-400-5"], True),
        (["cord-current"], True),
        (["emergency-power", "cord"], True),
        (["25 A"], True),
        (["flexible", "granite"], False),
        (["club"], False),
        ([], True),
    ],
)
def test_words_are_sought_in_all_that_is_known(
    listed: dict[str, Number], words: list[str], fits: bool
) -> None:
    """Address, source, rows, calculations and steps are searched; every word must be there."""
    assert listed["conductors/flexible-cord"].has(words) is fits


def test_club_values_stand_beside_the_shipped_ones() -> None:
    """A value and a row laid over are named in list, text and data, the laxer as a caution."""
    found = book_with(
        overlay("site/gust-stop", "25 mph"), overlay("lines/clearance/50 kV", "12", key="row")
    )
    by_address = {n.address: n for n in numbers(found, shipped_files(found), CALCULATIONS)}
    gust, lines = by_address["site/gust-stop"], by_address["lines/clearance"]

    assert brief_lines(gust)[1].startswith("CAUTION, club value instead of 20 mph (laxer): ")
    assert any("CAUTION: club value 25 mph" in line for line in whole_lines(gust))
    assert brief_lines(lines)[1].startswith("1 of the rows by the club: ")
    assert any("row 50 kV: club value" in line for line in whole_lines(lines))
    assert any("12 ft   club value" in line for line in row_lines(lines))
    assert [v["address"] for v in number_data(lines)["club-values"]] == ["lines/clearance/50 kV"]
    assert json.dumps(number_data(gust))


def test_only_club_values_that_can_decide_a_walk_are_named() -> None:
    """A walk names the club's values that its steps use, and no others."""
    found = book_with(overlay("site/gust-stop", "15 mph"), overlay("fuel/room", "10 gal"))
    rules = load_rule_file(SMALL, "mast-base.yaml", found, CALCULATIONS)

    assert club_values_of(rules, found, CALCULATIONS) == [
        "site/gust-stop 15 mph instead of 20 mph (stricter)"
    ]
    assert club_values_of(small(), book(), CALCULATIONS) == []


def test_the_side_a_shipped_step_uses_is_the_stricter_way_of_the_table() -> None:
    """What a step stops below is stricter when higher, above when lower, as the table says."""
    compared = 0
    for rule_file in shipped_files(book()):
        for _, _, bounds in limits_of(rule_file):
            for limit, way in ((bounds.below, Stricter.HIGHER), (bounds.above, Stricter.LOWER)):
                if limit and (value := book().values.get(limit.cited.address)):
                    compared += 1

                    assert value.stricter in {way, None}, limit.cited.address
    assert compared > 10
