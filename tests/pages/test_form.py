"""The blank form: everything that a walk asks and shows stands on paper."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from functools import cache
from typing import Any

import pytest

from checklist.calculations.run import run
from checklist.pages.conditionwords import only_if
from checklist.pages.form import blank_form
from checklist.pages.page import Paper, Ticks, flat
from checklist.pages.pdf import as_pdf, page_data
from checklist.pages.plaindraw import as_sentences
from checklist.pages.textdraw import as_text
from checklist.quantities import Quantity
from checklist.rulebook import bare
from checklist.rulefile import Bounds, Choice, Compute, Effect, OfStation, Reading, Tag, TagsOff
from checklist.rulefile.conditions import All, AnyOf, Beyond, Is, Not
from checklist.sessions.library import RULE_FILE, Library, Loaded
from tests.pages.test_pdf import sheets_of

SHIPPED = (
    "tower-work", "emergency-power", "inside-equipment", "station-bonding", "exposure-review",
    "release", "field-event",
)  # fmt: skip


@cache
def loaded(name: str) -> Loaded:
    return Library().load(name)


@cache
def said(name: str) -> str:
    """Return the form in sentences."""
    one = loaded(name)
    return as_sentences(blank_form(one.rule_file, one.book, one.texts[RULE_FILE]))


@pytest.mark.parametrize("name", SHIPPED)
def test_every_step_stands_there_whole(name: str) -> None:
    """Question, help, reason, choices, ways to answer a stop and their evidence, for each step."""
    text, rule_file = said(name), loaded(name).rule_file
    wanted = [rule_file.title, rule_file.edition, rule_file.written_for]
    for number, step in enumerate(rule_file.steps, start=1):
        wanted += [f"{number}. {step.ask}", step.help.rstrip("."), step.why.rstrip(".")]
        wanted += [f"step {step.id};"]
        wanted += [words for way in step.ways for words in (way.do.rstrip("."), *way.evidence)]
        wanted += [source.citation() for source in step.sources]
        if isinstance(step.kind, Choice):
            wanted += [f"{label}" for label in step.kind.options.values()]
        if isinstance(step.kind, Tag):
            wanted.append(step.kind.each)
        if isinstance(step.kind, TagsOff):
            wanted.append(step.kind.free)

    assert [words for words in wanted if words not in text] == []


@pytest.mark.parametrize("name", SHIPPED)
def test_every_limit_stands_there_with_its_source(name: str) -> None:
    """A reading is held against a number on paper, and the number is cited."""
    text = said(name)
    missing = []
    for step in loaded(name).rule_file.steps:
        if not isinstance(step.kind, Reading):
            continue
        bounds: tuple[Bounds, ...] = (step.kind.stop, step.kind.caution)
        limits = [x for b in bounds for x in (b.below, b.above) if x]
        for limit in limits:
            number = bare(limit.quantity.text())
            missing += [w for w in (number, limit.cited.citation) if w not in text]

    assert missing == []


@pytest.mark.parametrize("name", SHIPPED)
def test_every_sum_can_be_worked_out(name: str) -> None:
    """Formula, every input, and every value that a run in the shipped examples was judged by."""
    one, text = loaded(name), said(name)
    missing = []
    for step in one.rule_file.steps:
        if not isinstance(step.kind, Compute):
            continue
        calculation = step.kind.calculation
        missing += [
            w for w in (calculation.title, calculation.formula) if w.rstrip(".") not in text
        ]
        missing += [i.name for i in calculation.inputs if i.name not in text]
        for example in one.rule_file.examples:
            given = example.answers.get(step.id)
            provided: dict[str, Any] = {
                i: example.answers.get(s) for i, s in step.kind.inputs.items()
            }
            if not isinstance(given, dict) or "does not apply" in given:
                continue
            if not all(isinstance(value, str) for value in provided.values()):
                continue
            for cited in run(calculation.name, {**provided, **given}, one.book).result.used:
                missing += [cited.means] if cited.means not in text else []

    assert missing == []


def test_a_value_of_many_digits_is_rounded_against_the_work() -> None:
    """One horsepower, 745.699 871 582... W, stands as five digits; less of it burns more fuel."""
    text = said("emergency-power")

    assert "745.69 W" in text
    assert not re.search(r"745\.69\d", text)


@pytest.mark.parametrize("name", SHIPPED)
def test_conditional_steps_name_the_steps_they_hang_on(name: str) -> None:
    """A step that is not always asked says on paper when it is, by number."""
    rule_file, text = loaded(name).rule_file, said(name)
    numbers = {step.id: n for n, step in enumerate(rule_file.steps, start=1)}
    conditional = [step for step in rule_file.steps if step.when]

    assert text.count("\nOnly if ") == len(conditional)
    for step in conditional:
        assert step.when is not None
        sentence = only_if(step.when, rule_file, numbers)
        assert sentence in text
        assert all(str(numbers[atom.fact]) in sentence for atom in step.when.atoms())


def test_conditions_are_said_so_that_they_cannot_be_misread() -> None:
    """What belongs together stands in brackets; a value of a choice is said by its label."""
    rule_file = loaded("tower-work").rule_file
    numbers = {step.id: n for n, step in enumerate(rule_file.steps, start=1)}
    climb, hand = Is("work", ("climb",)), Is("load", ("hoist", "new"))
    either = AnyOf((climb, Beyond("gust", above=Quantity.of("10", "mph"))))
    work, load, gust = (numbers[name] for name in ("work", "load", "gust"))

    assert only_if(climb, rule_file, numbers) == (
        f"Only if {work} is “Someone climbs a tower or a mast”."
    )
    assert only_if(All((either, Not(hand))), rule_file, numbers) == (
        f"Only if ({work} is “Someone climbs a tower or a mast” or {gust} is more than 10 mph"
        f" (16.1 km/h)) and it is not so that {load} is “A heavier load by rope and block, nothing "
        "new for the wind to push” or “An antenna, mast or rotator that is new to this tower, by "
        "rope and block”."
    )


@pytest.mark.parametrize("name", SHIPPED)
def test_what_no_hand_can_compute_says_so(name: str) -> None:
    """A step over the whole station file never passes for a sum done on paper."""
    count = sum(isinstance(step.kind, OfStation) for step in loaded(name).rule_file.steps)

    assert said(name).count("This is not done by hand.") == count


def test_form_is_the_same_every_time() -> None:
    """The form and its PDF are equal byte for byte, whatever order sets are kept in."""
    one = loaded("tower-work")
    page = blank_form(one.rule_file, one.book, one.texts[RULE_FILE])
    fresh = Library().load("tower-work")
    again = blank_form(fresh.rule_file, fresh.book, fresh.texts[RULE_FILE])

    assert as_text(page) == as_text(again)
    assert as_pdf(page, "a4") == as_pdf(again, "a4")


@pytest.mark.parametrize(("paper", "most"), [("a4", 8), ("letter", 9)])
def test_a_club_would_print_it(paper: Paper, most: int) -> None:
    """The longest of the everyday forms, with every sum, table and source, is a few sheets."""
    one = loaded("tower-work")
    data = as_pdf(blank_form(one.rule_file, one.book, one.texts[RULE_FILE]), paper)

    assert sheets_of(data) <= most


def test_answers_that_hold_for_minutes_have_room_to_be_given_again() -> None:
    """Thunder, wind and the people's state are asked each half hour, on paper too."""
    short = [s for s in loaded("tower-work").rule_file.steps if s.life == timedelta(minutes=30)]

    assert len(short) >= 3
    assert said("tower-work").count("To write: Again each 30 min") == len(short)


@pytest.mark.parametrize("name", SHIPPED)
def test_two_steps_with_one_calculation_have_room_for_two_sums(name: str) -> None:
    """A second cord is worked out beside the first, and is not left out for want of a line."""
    one = loaded(name)
    sums = [n for n, s in enumerate(one.rule_file.steps, 1) if isinstance(s.kind, Compute)]
    page = blank_form(one.rule_file, one.book, one.texts[RULE_FILE])
    checked = [b for b in flat(page.blocks) if isinstance(b, Ticks) and "done again by" in str(b)]

    assert [n for n in sums if not re.search(rf"To write: Sum [A-Z], step {n}\b", said(name))] == []
    assert len(checked) == len(sums)


@pytest.mark.parametrize("name", SHIPPED)
def test_what_cannot_stop_is_not_said_to_end_the_work(name: str) -> None:
    """A reading without a limit, whose don't know is a caution, has no stop to be answered."""
    for number, step in enumerate(loaded(name).rule_file.steps, start=1):
        kind = step.kind
        if isinstance(kind, Reading) and step.unknown is not Effect.STOP:
            whole = said(name).split(f"\n{number}. {step.ask}")[1].split(f"\n{number + 1}. ")[0]
            stops = kind.stop.below is not None or kind.stop.above is not None

            assert ("NOTHING ANSWERS A STOP HERE" in whole) == (stops and not step.ways)


def test_loose_sheets_of_two_walks_are_told_apart() -> None:
    """Each sheet behind the first asks whose walk it is, in PDF (text of it) and as plain text."""
    one = loaded("release")
    page = blank_form(one.rule_file, one.book, one.texts[RULE_FILE])
    first, *others = as_text(page).split("\f")

    assert len(others) >= 3
    assert [o for o in others if not re.search(r"^.*Begun.*_{9}.*In charge: _{9}", o, re.M)] == []
    assert "In charge: _" not in "\n".join(first.splitlines()[:3])
    assert as_pdf(page) != as_pdf(replace(page, to_fill=()))
    assert page_data(page)["running"] == page.title
    assert len(page_data(replace(page, title="mast " * 40))["running"]) < len("mast " * 10)
