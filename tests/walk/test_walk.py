"""The walk: what may be answered, what a stop asks for, and how it ends."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from checklist.quantities import Quantity
from checklist.rulefile import Effect, Role, Verdict
from checklist.walk.answers import (
    DONT_KNOW,
    Answer,
    Chosen,
    DoesNotApply,
    Hung,
    HungTag,
    Inputs,
    Measured,
    Person,
    Present,
    Said,
    Written,
)
from checklist.walk.entrylines import AnswerRefused
from checklist.walk.events import Clearing, NearMiss, Noted, WorkResumed, WorkStopped
from checklist.walk.progress import inputs_from_steps
from checklist.walk.standing import Status
from checklist.walk.walk import StopStands, Walk, WalkRefused
from tests.rulefile.making import changed, loaded
from tests.walk.making import GOOD, answer, at, clearing_for, new, say, state, status, walked


def verdict(walk: Walk, minutes: float = 0) -> Verdict:
    return walk.ended(at(minutes)).verdict


def test_a_walk_ends_when_every_step_that_applies_has_an_answer_that_holds() -> None:
    """Before that it is refused, naming how many steps are open and the first of them."""
    walk = new()
    with pytest.raises(WalkRefused) as refused:
        walk.ended(at())

    assert "9 steps are open" in refused.value.sentence()
    assert "Who is here?" in refused.value.sentence()
    assert verdict(walked()) is Verdict.NO_STOP


def test_the_verdict_is_never_the_word_safe() -> None:
    """The three verdicts, and no other word."""
    words = {str(v) for v in Verdict}

    assert words == {"no stop found", "no stop found, with cautions", "stopped"}
    assert verdict(walked(gust="16 mph")) is Verdict.CAUTIONS
    assert verdict(walked(gust="21 mph")) is Verdict.STOPPED


def test_a_walk_may_end_as_stopped_at_any_time() -> None:
    """While a stop stands nothing else needs an answer, and nothing softens the verdict."""
    walk = say(new(), "marked", "no")

    assert verdict(walk) is Verdict.STOPPED
    assert verdict(walk.with_event(WorkStopped("thunder", at()))) is Verdict.STOPPED


def test_a_stop_of_work_must_be_gone_on_from_before_the_walk_ends() -> None:
    """With the work stopped there is no verdict; after going on, volatile answers are asked."""
    walk = walked().with_event(WorkStopped("thunder", at(1)))
    with pytest.raises(WalkRefused, match="the work is stopped"):
        walk.ended(at(1))
    walk = walk.with_event(WorkResumed(at(2)))

    assert status(walk, "gust", 2) is Status.EXPIRED
    assert [s.step.id for s in walk.progress(at(2)).steps if s.is_pending] == ["gust"]
    assert verdict(say(walk, "gust", "8 mph", 3), 3) is Verdict.NO_STOP


def test_an_answer_given_while_the_work_is_stopped_does_not_outlive_it() -> None:
    """Measured before going on is measured too early: it is asked again."""
    walk = walked().with_event(WorkStopped("wind", at(1)))
    walk = say(walk, "gust", "9 mph", 2).with_event(WorkResumed(at(3)))

    assert status(walk, "gust", 3) is Status.EXPIRED


def test_after_the_end_nothing_is_taken() -> None:
    """A closed walk takes no answer, no evidence and no second end."""
    walk = walked()
    walk = walk.with_event(walk.ended(at()))

    assert walk.closed is not None
    for attempt in (
        lambda: walk.ended(at()),
        lambda: walk.answered("marked", Said("yes"), at()),
        lambda: walk.stop_answered("lines", Clearing("", {}), at()),
    ):
        with pytest.raises(WalkRefused, match="over"):
            attempt()


def test_a_step_that_is_not_asked_takes_no_answer() -> None:
    """Neither one that does not apply, nor one that waits, nor one that is not there."""
    waits = new()
    not_asked = say(waits, "way", "hand")

    assert status(waits, "winch-held") is Status.WAITS
    assert status(not_asked, "winch-held") is Status.NOT_ASKED
    for walk, step_id in ((waits, "winch-held"), (not_asked, "winch-held"), (waits, "nothing")):
        with pytest.raises(WalkRefused):
            walk.answered(step_id, Said("yes"), at())


def test_a_condition_over_an_unknown_fact_makes_the_step_apply() -> None:
    """Don't know is the strict side of every condition."""
    assert status(say(new(), "way", "don't know"), "winch-held") is Status.OPEN
    assert status(say(new(), "way", "winch"), "winch-held") is Status.OPEN


def test_changing_an_answer_that_stopped_asks_for_the_evidence() -> None:
    """Without it, with a part of it, with blanks or another way, the stop stands."""
    walk = say(new(), "marked", "no")
    way = walk.rule_file.step("marked").ways[0]
    whole = {"Ticket number": "4711", "Date of marking": "24 Nov"}
    wrong = [
        None,
        Clearing(way.do, {}),
        Clearing(way.do, {"Ticket number": "4711"}),
        Clearing(way.do, whole | {"Date of marking": "   "}),
        Clearing(way.do, whole | {"Date of marking": "..."}),
        Clearing(way.do, whole | {"Date of marking": "\u200d\u2800"}),
        Clearing("Wait.", whole),
    ]
    for clearing in wrong:
        with pytest.raises(StopStands) as refused:
            walk.answered("marked", Said("yes"), at(), clearing)
        assert refused.value.state.step.id == "marked"
    cleared = walk.with_event(walk.answered("marked", Said("yes"), at(1), Clearing(way.do, whole)))

    assert status(cleared, "marked") is Status.ANSWERED
    assert len(state(cleared, "marked").history) == 2
    assert state(cleared, "marked").clearings == (Clearing(way.do, whole),)


def test_an_answer_that_stops_again_needs_no_evidence_and_clears_nothing() -> None:
    """Evidence given along with an answer that stops is not kept as a clearing."""
    walk = say(new(), "gust", "30 mph")
    given, evidence = answer(walk, "gust", "25 mph"), clearing_for(walk, "gust", "it is calmer")
    again = walk.answered("gust", given, at(), evidence)

    assert again.clearing is None
    assert again.judgement.effect is Effect.STOP
    assert verdict(walk.with_event(again)) is Verdict.STOPPED


def test_a_stop_with_no_way_out_stays_for_good() -> None:
    """`clear: none`: no answer, evidence or waiting turns it into anything but stopped."""
    walk = say(new(), "way", "car")
    made_up = Clearing("Find a winch.", {"Who": "Wren"})
    for minutes in (0, 60 * 24 * 8):
        for typed in ("hand", "winch"):
            with pytest.raises(StopStands, match="ends as stopped"):
                walk.answered("way", answer(walk, "way", typed), at(minutes), made_up)
        with pytest.raises(WalkRefused):
            walk.stop_answered("way", made_up, at(minutes))

        assert verdict(walk, minutes) is Verdict.STOPPED


def test_not_knowing_is_answered_by_finding_out_even_where_nothing_answers_the_finding() -> None:
    """Don't know on a step with `clear: none` stops until it is known, and evidence says how."""
    walk = say(new(), "way", "don't know")
    known = answer(walk, "way", "hand")
    found_out = Clearing("Find out, and answer again.", {"How it was found out": "looked at it"})

    assert verdict(walk) is Verdict.STOPPED
    with pytest.raises(StopStands):
        walk.answered("way", known, at(1))
    cleared = walk.with_event(walk.answered("way", known, at(1), found_out))
    assert status(cleared, "way") is Status.ANSWERED
    bad = walk.with_event(walk.answered("way", answer(walk, "way", "car"), at(1)))
    with pytest.raises(StopStands, match="ends as stopped"):
        bad.answered("way", known, at(2), found_out)


def lines_stopped() -> Walk:
    near: dict[str, str] = {"ground-distance": "20 ft"}
    return walked(lines=dict(walked_inputs()) | near)


def walked_inputs() -> dict[str, str]:
    return {
        "above-top": "10 ft",
        "sideways-reach": "0 ft",
        "line-voltage": "7.2 kV",
        "ground-distance": "100 ft",
    }


def test_evidence_can_answer_a_stop_while_the_answer_stays() -> None:
    """The verdict is then with cautions, and the stop stands on in the history."""
    walk = lines_stopped()
    assert verdict(walk) is Verdict.STOPPED
    walk = walk.with_event(
        walk.stop_answered("lines", clearing_for(walk, "lines", "order 12", stands=True), at(1))
    )

    assert status(walk, "lines", 1) is Status.STOP_ANSWERED
    assert verdict(walk, 1) is Verdict.CAUTIONS


def test_evidence_without_a_new_answer_is_taken_only_by_the_way_that_says_so() -> None:
    """`Move the work` asks for a new answer; a step without such a way takes none."""
    walk = lines_stopped()
    standing = clearing_for(walk, "lines", "order 12", stands=True)
    with pytest.raises(StopStands):
        walk.stop_answered("lines", clearing_for(walk, "lines", "moved"), at(1))
    with pytest.raises(StopStands):
        walk.answered("lines", answer(walk, "lines", walked_inputs()), at(1), standing)
    with pytest.raises(WalkRefused, match="no stop stands"):
        walk.stop_answered("gust", clearing_for(walk, "gust", "calm"), at(1))


def test_a_new_stop_after_the_evidence_stands_again() -> None:
    """Evidence answers the stop before it, not the one that comes after."""
    walk = lines_stopped()
    evidence = clearing_for(walk, "lines", "order 12", stands=True)
    walk = walk.with_event(walk.stop_answered("lines", evidence, at(1)))
    walk = say(walk, "lines", walked_inputs() | {"ground-distance": "30 ft"}, 2)

    assert status(walk, "lines", 2) is Status.STOP
    assert verdict(walk, 2) is Verdict.STOPPED


def test_evidence_does_not_outlive_the_answer_it_stands_for() -> None:
    """When the answer expires the stop is back, until the step is answered again."""
    walk = lines_stopped()
    evidence = clearing_for(walk, "lines", "order 12", stands=True)
    walk = walk.with_event(walk.stop_answered("lines", evidence, at(1)))
    late = 8 * 60 + 1

    assert status(walk, "lines", late) is Status.EXPIRED
    assert verdict(walk, late) is Verdict.STOPPED


def test_a_stop_that_expires_goes_on_stopping() -> None:
    """Waiting clears nothing: the stop counts, and asks for its evidence, when expired too."""
    walk = walked(gust="30 mph")

    assert status(walk, "gust", 31) is Status.EXPIRED
    assert verdict(walk, 31) is Verdict.STOPPED
    with pytest.raises(StopStands):
        say(walk, "gust", "8 mph", 31)
    assert verdict(say(walk, "gust", "8 mph", 31, why="watched 20 min"), 31) is Verdict.NO_STOP


def test_a_stop_of_a_step_that_no_longer_applies_does_not_count_until_it_does_again() -> None:
    """Back and forth on the fact before it neither clears nor loses the stop."""
    walk = walked(way="winch", winch_held="no")
    assert verdict(walk) is Verdict.STOPPED
    by_hand = say(walk, "way", "hand", 1)

    assert status(by_hand, "winch-held", 1) is Status.NOT_ASKED
    assert verdict(by_hand, 1) is Verdict.NO_STOP
    again = say(by_hand, "way", "winch", 2)
    assert status(again, "winch-held", 2) is Status.STOP
    assert verdict(again, 2) is Verdict.STOPPED
    with pytest.raises(StopStands):
        say(again, "winch-held", "yes", 3)


def test_a_calculation_is_asked_again_when_an_earlier_answer_changes() -> None:
    """A taller mast makes the old finding worthless, whatever it was."""
    walk = walked()
    taller = say(walk, "height", "90 ft", 1)

    assert status(taller, "lines", 1) is Status.CHANGED
    with pytest.raises(WalkRefused, match="1 step is open"):
        taller.ended(at(1))
    assert verdict(say(taller, "lines", walked_inputs(), 2), 2) is Verdict.STOPPED


def test_a_calculation_that_stopped_goes_on_stopping_while_it_waits_to_be_asked_again() -> None:
    """A change of an input does not take the stop away."""
    walk = say(lines_stopped(), "height", "10 ft", 1)
    evidence = clearing_for(walk, "lines", "order 12", stands=True)

    assert status(walk, "lines", 1) is Status.CHANGED
    assert verdict(walk, 1) is Verdict.STOPPED
    with pytest.raises(StopStands):
        say(walk, "lines", walked_inputs(), 2)
    with pytest.raises(WalkRefused, match="no stop stands"):
        walk.stop_answered("lines", evidence, at(2))


def test_an_unknown_input_from_an_earlier_step_is_not_shown() -> None:
    """Don't know about the height stops the distance from the line as well."""
    walk = say(walked(), "height", "don't know", 1)
    walk = say(walk, "lines", walked_inputs(), 2)

    finding = state(walk, "lines", 2).answered
    assert finding is not None
    assert finding.provided == {"mast-height": "unknown"}
    assert finding.judgement.effect is Effect.STOP


def test_a_calculation_takes_nothing_from_a_step_that_is_not_asked_now() -> None:
    """An old reading behind a condition that has become false is not an input any more."""
    rules = loaded(
        changed(
            (
                "        reading: {of: length, example: 30 ft}",
                "        when: {fact: way, is: winch}\n"
                "        reading: {of: length, example: 30 ft}",
            )
        )
    )
    walk = say(new(rules), "way", "winch")
    walk = say(walk, "height", "3 ft")
    walk = say(walk, "lines", walked_inputs())
    assert status(walk, "lines") is Status.ANSWERED
    walk = say(walk, "way", "hand", 1)

    assert walk.provided(rules.step("lines")) == {"mast-height": "unknown"}
    assert status(walk, "lines", 1) is Status.CHANGED
    walk = say(walk, "lines", walked_inputs(), 2)
    assert status(walk, "lines", 2) is Status.STOP


@pytest.mark.parametrize(
    ("step_id", "wrong", "says"),
    [
        ("marked", Written("yes"), "no answer to this kind"),
        ("marked", DoesNotApply("nothing is dug here"), "applies always"),
        ("height", Said("yes"), "no answer to this kind"),
        ("height", Measured(Quantity.of("30", "mph")), "a length is asked"),
        ("height", Measured(Quantity.of("-30", "ft")), "below zero"),
        ("gust", Measured(Quantity.of("3", "mph")), "instrument is missing: anemometer"),
        ("gust", Measured(Quantity.of("3", "mph"), " . "), "instrument is missing"),
        ("way", Chosen("rope"), "not among the values"),
        ("way", Said("yes"), "no answer to this kind"),
        ("call", Written(" \u2800 "), "nothing is said"),
        ("tags", Hung((HungTag("plug", "", "Wren"),)), "a point, a lock and a person"),
        ("tags", DoesNotApply(" . . . "), "a reason is needed"),
        ("crew", Said("yes"), "no answer to this kind"),
        ("crew", Present((Person(" ", Role.WORKER),)), "a name is missing"),
        ("crew", Present((Person("Wren", Role.WORKER, "soon"),)), "is not a date"),
        ("lines", Inputs({"mast-height": "1 ft"}), "not asked here"),
        ("lines", Said("yes"), "no answer to this kind"),
    ],
)
def test_an_answer_that_the_step_cannot_take_is_refused(
    step_id: str, wrong: Any, says: str
) -> None:
    """Whoever made the answer: nothing passes because no rule was made for it."""
    walk = say(new(), "height", "30 ft")
    with pytest.raises(WalkRefused) as refused:
        walk.answered(step_id, wrong, at())

    assert says in refused.value.sentence()


def test_nobody_was_trained_tomorrow() -> None:
    """A training date ahead of the clock is refused, with both dates; today's is taken."""

    def crew(day: str) -> Present:
        worker = Person("Tamsin Oakes", Role.WORKER, day)
        return Present((Person("Wren Holloway", Role.IN_CHARGE), worker))

    with pytest.raises(WalkRefused) as refused:
        new().answered("crew", crew("2026-11-26"), at())

    assert "2026-11-26 of Tamsin Oakes lies ahead; by the clock it is 2026-11-25" in str(
        refused.value
    )
    assert new().answered("crew", crew("2026-11-25"), at()).judgement.effect is Effect.CLEAR


def test_does_not_apply_is_taken_only_where_the_step_allows_it_and_needs_a_reason() -> None:
    """And it does not answer a stop that stands without the evidence for it."""
    aside = say(new(), "tags", {"does not apply": "nothing is fed yet"})
    assert status(aside, "tags") is Status.SET_ASIDE
    for step_id, reason in (("tags", " "), ("tags", "ok"), ("tags", "..."), ("gust", "no wind")):
        with pytest.raises(AnswerRefused):
            say(new(), step_id, {"does not apply": reason})
    stopped = say(new(), "tags", [])

    assert status(stopped, "tags") is Status.STOP
    with pytest.raises(StopStands):
        say(stopped, "tags", {"does not apply": "nothing is fed yet"})


def test_notes_and_near_misses_change_no_verdict() -> None:
    """They are kept, in order, and nothing else."""
    walk = walked().with_event(Noted("gust", "leaves move", at()))
    walk = walk.with_event(NearMiss("slip", at()))

    assert verdict(walk) is Verdict.NO_STOP
    assert state(walk, "gust").notes == (Noted("gust", "leaves move", at()),)
    assert walk.events[-1] == NearMiss("slip", at())


@pytest.mark.parametrize(
    ("step_id", "life"), [("gust", 30), ("tags", 8 * 60), ("marked", 7 * 24 * 60)]
)
def test_an_answer_holds_for_its_life_and_not_a_moment_longer(step_id: str, life: int) -> None:
    """Its own life, or else that of its part."""
    walk = walked()

    assert status(walk, step_id, life) is Status.ANSWERED
    assert status(walk, step_id, life + 0.001) is Status.EXPIRED


def test_an_expired_caution_must_be_answered_again_before_the_end() -> None:
    """It is neither kept as a caution nor forgotten."""
    walk = walked(gust="16 mph")
    with pytest.raises(WalkRefused, match="1 step is open"):
        walk.ended(at(31))

    assert verdict(say(walk, "gust", "17 mph", 31), 31) is Verdict.CAUTIONS


def test_a_clock_set_back_makes_no_answer_younger() -> None:
    """What came after an answer shows how old it is, even if the clock now says otherwise."""
    walk = walked().with_event(Noted("", "lunch", at(29)))
    assert status(walk, "gust", 5) is Status.ANSWERED
    walk = walk.with_event(Noted("", "after lunch", at(45)))

    assert status(walk, "gust", 5) is Status.EXPIRED
    assert status(say(walk, "gust", "7 mph", 5), "gust", 6) is Status.ANSWERED


def test_the_first_answer_of_a_walk_holds_for_its_life_too() -> None:
    """That the work was never gone on from makes nothing expire, the very first event neither."""
    assert status(say(new(), "gust", "8 mph"), "gust") is Status.ANSWERED


def test_a_calculation_waits_for_the_step_that_gives_its_input() -> None:
    """Asked before, it could only be not shown; once the height is known it is open."""
    assert status(new(), "lines") is Status.WAITS
    assert status(say(new(), "height", "30 ft"), "lines") is Status.OPEN


def test_a_condition_on_a_step_that_is_not_asked_is_false() -> None:
    """Nothing waits for an answer that will not be asked for."""
    rules = loaded(
        changed(
            (
                "        ask: What is the address here?\n",
                "        ask: What is the address here?\n"
                "        when: {fact: winch-held, is: yes}\n",
            )
        )
    )
    walk = new(rules)

    assert status(say(walk, "way", "hand"), "call") is Status.NOT_ASKED
    walk = say(walk, "way", "winch")
    assert status(walk, "call") is Status.WAITS
    assert status(say(walk, "winch-held", "no"), "call") is Status.NOT_ASKED
    assert status(say(walk, "winch-held", "yes"), "call") is Status.OPEN


def test_a_condition_on_a_reading_compares_it() -> None:
    """At the number itself the step is not asked: above it begins beyond."""
    ask = "        ask: What is the address here?\n"
    rules = loaded(changed((ask, f"{ask}        when: {{fact: height, above: 40 ft}}\n")))
    walk = new(rules)

    assert status(say(walk, "height", "40 ft"), "call") is Status.NOT_ASKED
    assert status(say(walk, "height", "40.1 ft"), "call") is Status.OPEN


def test_a_condition_on_a_step_that_was_set_aside_is_false() -> None:
    """What does not apply has no number to compare with."""
    rules = loaded(
        changed(
            (
                "        reading: {of: length, example: 30 ft}\n",
                "        reading: {of: length, example: 30 ft}\n        does-not-apply: yes\n",
            ),
            (
                "        ask: What is the address here?\n",
                "        ask: What is the address here?\n"
                "        when: {fact: height, above: 40 ft}\n",
            ),
        )
    )
    walk = say(new(rules), "height", {"does not apply": "the mast lies on the ground"})

    assert status(walk, "call") is Status.NOT_ASKED


@pytest.mark.parametrize(
    ("given", "typed"),
    [
        (Chosen("hand"), "hand"),
        (Written("30 ft"), "30 ft"),
        (Measured(Quantity.of("30", "ft")), "30 ft"),
        (Measured(replace(Quantity.of("30", "ft"), typed="30 feet")), "30 feet"),
        (DONT_KNOW, "unknown"),
        (None, "unknown"),
    ],
)
def test_what_a_calculation_takes_from_an_earlier_step(given: Answer | None, typed: str) -> None:
    """As it was typed there, so that nothing is rounded on the way; all else is unknown."""
    answers = {} if given is None else {"height": given}

    assert inputs_from_steps(new().rule_file.step("lines"), answers) == {"mast-height": typed}


def test_an_answer_from_the_future_has_expired() -> None:
    """More than two minutes ahead of the clock, it was given under a wrong time."""
    walk = walked(minutes=60)

    assert status(walk, "marked", 58) is Status.ANSWERED
    assert status(walk, "marked", 57.9) is Status.EXPIRED


def test_a_walk_under_a_wrong_clock_can_be_finished_once_it_is_right() -> None:
    """Everything is asked again, and the new answers hold."""
    walk = walked(minutes=60 * 24 * 3650)
    for step_id in [s.step.id for s in walk.progress(at()).steps if s.is_pending]:
        walk = say(walk, step_id, GOOD[step_id], 1)

    assert verdict(walk, 1) is Verdict.NO_STOP


def test_the_step_to_answer_next_follows_the_order_of_the_file() -> None:
    """An expired step early in the file comes before an open one at its end."""
    walk = walked(way="winch", winch_held="yes")
    walk = replace(walk, events=walk.events[:-2])

    following = walk.progress(at(31)).next_open
    assert following is not None
    assert following.step.id == "gust"


def test_don_t_know_does_what_the_step_says() -> None:
    """It stops by default, and is a caution only where the file says so."""
    for step_id in ("crew", "way", "marked", "height", "tags", "gust", "lines"):
        walk = say(new(), "height", "30 ft")
        stopped = walk.with_event(walk.answered(step_id, DONT_KNOW, at()))
        assert verdict(stopped) is Verdict.STOPPED, step_id

    assert status(say(new(), "call", "don't know"), "call") is Status.CAUTION


@pytest.mark.parametrize("typed", ["don't know", "unknown distance"])
def test_not_knowing_never_answers_a_stop(typed: str) -> None:
    """Where a finding that is not shown only cautions, it does not soften one that was over."""
    softer = ("yes\n        why: A mast", "yes\n        unknown: caution\n        why: A mast")
    rules = loaded(changed(softer))
    unknown = walked_inputs() | {"ground-distance": "unknown"}
    given = unknown if typed == "unknown distance" else typed
    height = say(new(rules), "height", "30 ft")
    assert status(say(height, "lines", given), "lines") is Status.CAUTION
    over = say(height, "lines", walked_inputs() | {"ground-distance": "9 ft"})

    says = r"not knowing does not answer a stop\. The stop stands until it is known\."
    with pytest.raises(WalkRefused, match=says):
        say(over, "lines", given, why="Wren, 9:30")
    assert verdict(over) is Verdict.STOPPED
