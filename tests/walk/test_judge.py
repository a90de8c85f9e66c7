"""What an answer does, with its number beside the limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from checklist.quantities import Quantity
from checklist.rulebook import Cited, Standing
from checklist.rulefile import Bounds, Effect, Limit, Reading, Role, Step, Verdict
from checklist.rulefile.model import Choice, Confirm, Text
from checklist.walk.answers import (
    DONT_KNOW,
    Chosen,
    DoesNotApply,
    Measured,
    Person,
    Present,
    Said,
    Written,
)
from checklist.walk.judge import Judgement, judge
from checklist.walk.standing import Progress
from checklist.walk.summary import summary_lines
from checklist.walk.wording import answer_text, life_text, limits_text, needs_text, standing_text
from tests.rulefile.making import book, changed, loaded, small
from tests.walk.making import at, clearing_for, new, say, walked


def judged(step: Step, answer: Any) -> Judgement:
    return judge(step, answer, {}, book())


def reading(stop: Bounds, caution: Bounds = Bounds()) -> Step:  # noqa: B008  a frozen value
    kind = Reading("length", "25 ft", "", stop, caution)
    return Step("openings", "How far?", "", kind, "", (), None, None, False, True, Effect.STOP, ())


def limit(text: str, unit: str, standing: Standing = Standing.READ) -> Limit:
    cited = Cited("generator/distance", f"{text} {unit}", "least distance", "a document", standing)
    return Limit(Quantity.of(text, unit), cited)


@pytest.mark.parametrize(
    ("number", "unit", "effect"),
    [
        ("20", "ft", Effect.CLEAR),
        ("240", "in", Effect.CLEAR),
        ("6.1", "m", Effect.CLEAR),
        ("6.096", "m", Effect.CLEAR),
        ("6.0959999", "m", Effect.STOP),
        ("6.09", "m", Effect.STOP),
        ("19.999999", "ft", Effect.STOP),
        ("0", "ft", Effect.STOP),
    ],
)
def test_20_ft_is_held_exactly_in_every_unit(number: str, unit: str, effect: Effect) -> None:
    """One foot is 0.3048 m and 12 in exactly (NIST SP 811, appendix B.8): 20 ft is 6.096 m."""
    step = reading(Bounds(below=limit("20", "ft")))

    assert judged(step, Measured(Quantity.of(number, unit))).effect is effect


def test_a_stop_says_the_number_beside_its_limit_never_milder_than_it_is() -> None:
    """The reading is rounded down and the need up, so that the two never read as equal."""
    step = reading(Bounds(below=limit("20", "ft")))
    stop = judged(step, Measured(Quantity.of("6.0959", "m")))

    assert stop.because == ("6.095 m (19.99 ft), at least 20 ft (6.1 m) is needed",)
    assert [cited.address for cited in stop.used] == ["generator/distance"]


def test_a_caution_does_not_speak_of_what_is_allowed() -> None:
    """Beyond a limit of care one goes on: to call it forbidden would be a stop that is none."""
    step = reading(Bounds(), caution=Bounds(above=limit("15", "ft"), below=limit("10", "ft")))
    high = judged(step, Measured(Quantity.of("18", "ft")))
    low = judged(step, Measured(Quantity.of("9", "ft")))

    assert high.effect is low.effect is Effect.CAUTION
    assert high.because == ("18 ft (5.487 m), above 15 ft (4.57 m) is a caution",)
    assert low.because == ("9 ft (2.743 m), below 10 ft (3.05 m) is a caution",)


def test_a_limit_from_memory_may_stop_but_passing_it_is_a_caution() -> None:
    """What is unverified never gives more than a caution."""
    step = reading(Bounds(below=limit("20", "ft", Standing.MEMORY)))

    assert judged(step, Measured(Quantity.of("19", "ft"))).effect is Effect.STOP
    passed = judged(step, Measured(Quantity.of("40", "ft")))
    assert passed.effect is Effect.CAUTION
    assert "unverified" in passed.because[0]


def test_a_caution_beside_a_stop_is_not_said() -> None:
    """One reason is enough: the one that stops."""
    step = reading(Bounds(below=limit("20", "ft")), Bounds(below=limit("25", "ft")))

    assert judged(step, Measured(Quantity.of("22", "ft"))).effect is Effect.CAUTION
    assert len(judged(step, Measured(Quantity.of("10", "ft"))).because) == 1


CREW: list[tuple[list[tuple[str, Role, str]], str]] = [
    ([("Wren", Role.IN_CHARGE, ""), ("Tamsin", Role.WORKER, "2025-04-01")], ""),
    ([("Wren", Role.IN_CHARGE, ""), ("wren", Role.WORKER, "2025-04-01")], "different people: 1"),
    ([("Wren", Role.IN_CHARGE, ""), (" WREN ", Role.WORKER, "2025-04-01")], "different people: 1"),
    (
        [("Zoë", Role.IN_CHARGE, ""), ("Zoe\u0308", Role.WORKER, "2025-04-01")],
        "different people: 1",
    ),
    ([("Wren", Role.IN_CHARGE, ""), ("Wr\u200den", Role.WORKER, "2025-04-01")], "different people"),
    ([("Wren", Role.IN_CHARGE, ""), ("Tamsin", Role.WORKER, "")], "Tamsin, worker: no training"),
    ([("Wren", Role.IN_CHARGE, ""), ("Tamsin", Role.HELPER, "2025-04-01")], "worker: 0 here, 1"),
    ([], "in charge: 0 here"),
]


@pytest.mark.parametrize(("people", "says"), CREW)
def test_people_are_counted_as_people_and_not_as_spellings(
    people: list[tuple[str, Role, str]], says: str
) -> None:
    """The same name in another case, spacing or composition is one person."""
    present = Present(tuple(Person(*one) for one in people))
    found = judged(small().step("crew"), present)

    assert found.effect is (Effect.STOP if says else Effect.CLEAR)
    assert any(says in sentence for sentence in found.because) or not says


@pytest.mark.parametrize("step", small().steps, ids=lambda step: step.id)
def test_an_answer_of_another_kind_stops(step: Step) -> None:
    """Nothing is cleared because no rule was made for it."""
    strange = [Chosen("nowhere"), DoesNotApply("no reason")]
    strange += [] if isinstance(step.kind, Text) else [Written("all is well")]
    strange += [] if isinstance(step.kind, Confirm) else [Said("yes")]
    for answer in strange:
        if isinstance(answer, DoesNotApply) and step.may_not_apply:
            continue
        assert judged(step, answer).effect is Effect.STOP, answer


def test_dont_know_counts_as_no_to_a_confirm() -> None:
    """Where no is a caution, so is not knowing; elsewhere the step's own word for it holds."""
    stops = (
        "        confirm: {no: stop}\n        clear:\n          - do: Anchor it.\n"
        "            evidence: [How it is anchored]\n"
    )
    mild = changed((stops, "        confirm: {no: caution}\n"))
    for rules, effect in ((loaded(mild), Effect.CAUTION), (small(), Effect.STOP)):
        assert judged(rules.step("winch-held"), DONT_KNOW).effect is effect


def test_a_choice_says_its_label_where_it_stops() -> None:
    """The person reads the words of the file, not its keys."""
    assert judged(small().step("way"), Chosen("car")).because == ("With a car",)
    assert isinstance(small().step("way").kind, Choice)


def test_the_words_for_a_walk_are_never_a_permission() -> None:
    """Neither the title line nor the summary says safe, allowed or go."""
    walks = [new(), walked(), walked(gust="16 mph"), walked(gust="40 mph", call="don't know")]
    said = [standing_text(walk.progress(at())) for walk in walks]
    said += [line for walk in walks for line in summary_lines(walk, at())]

    for line in said:
        words = line.casefold().replace("not shown to be safe", "").split()
        assert not {"safe", "safely", "permitted", "approved", "ok"} & set(words), line
    assert said[:4] == [
        "0 of up to 9   no stop so far",
        "8 of 8   no stop found",
        "8 of 8   caution 1",
        "8 of 8   STOP 1   caution 1",
    ]


def test_the_summary_tells_stops_first_and_changed_answers_twice() -> None:
    """A stop that was answered is shown with both answers and its evidence."""
    walk = say(walked(gust="30 mph"), "gust", "8 mph", 2, why="watched 20 min")
    lines = summary_lines(walk, at(2))
    text = "\n".join(lines)

    assert lines[0] == f"Verdict: {Verdict.NO_STOP}."
    assert "STOPS THAT WERE ANSWERED" in text
    assert "09:00  STOP  30 mph (48.28 km/h), with anemometer" in text
    assert "09:02  then  8 mph (12.87 km/h), with anemometer" in text
    assert "answered by: Wait for calmer air. How long it was watched: watched 20 min" in text
    assert "STOPS THAT STAND" not in text


def test_a_stop_answered_by_evidence_is_a_caution_of_the_walk() -> None:
    """It is counted where cautions are, and nowhere as nothing."""
    walk = say(walked(), "lines", {
        "above-top": "10 ft", "sideways-reach": "0 ft", "line-voltage": "7.2 kV",
        "ground-distance": "9 ft",
    }, 1)  # fmt: skip
    evidence = clearing_for(walk, "lines", "order 12", stands=True)
    progress: Progress = walk.with_event(walk.stop_answered("lines", evidence, at(2))).progress(
        at(2)
    )

    assert progress.verdict is Verdict.CAUTIONS
    assert standing_text(progress) == "8 of 8   caution 1"


def test_a_least_distance_is_said_with_its_citation() -> None:
    """Below it the work stops, said rounded up, so that nobody stays short of it."""
    step = reading(Bounds(below=limit("21", "ft")), caution=Bounds(above=limit("50", "ft")))
    low, high = (f"{side}: {cited.citation}" for side, cited in (
        ("below 21 ft (6.41 m) stops", limit("21", "ft").cited),
        ("above 50 ft (15.2 m) is a caution", limit("50", "ft").cited),
    ))  # fmt: skip

    assert limits_text(step) == (low, high)


def test_values_from_memory_are_listed_before_signing() -> None:
    """Whoever signs sees what nobody could look up, with its number, under a heading."""
    cited = limit("20", "ft", Standing.MEMORY).cited
    judgement = Judgement(Effect.CAUTION, ("held against an unverified value: 20 ft",), (cited,))
    walk = walked()
    given = walk.progress(at()).of("height").history[-1]
    lines = summary_lines(walk.with_event(replace(given, judgement=judgement)), at())
    heading = lines.index("VALUES FROM MEMORY, UNVERIFIED")

    assert lines[heading + 1] == f"  least distance: 20 ft ({cited.citation})"
    assert "VALUES FROM MEMORY, UNVERIFIED" not in summary_lines(walk, at())


def test_limits_and_needs_are_said_before_the_answer_is_given() -> None:
    """Each limit with its citation; a count of people by role."""
    assert limits_text(small().step("gust"))[0].startswith("above 20 mph (32.1 km/h) stops: ")
    assert needs_text(small().step("crew")) == "1 in charge, 1 worker"
    assert needs_text(small().step("marked")) == "a no stops the work"
    assert answer_text(DoesNotApply("no rotator")) == "does not apply: no rotator"


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(30, "30 min"), (60, "1 h"), (90, "90 min"), (1440, "1 day"), (10080, "7 days")],
)
def test_a_life_is_said_in_its_largest_whole_unit(minutes: int, text: str) -> None:
    """30 min, 12 h, 7 days."""
    assert life_text(at(minutes) - at(0)) == text
