"""What a walk says of answers, whole: the words that people act on change only on purpose."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from checklist.calculations import CALCULATIONS
from checklist.calculations.fromstation import EXPOSURE
from checklist.calculations.kinds import Finding, Outcome, Result
from checklist.quantities import Quantity
from checklist.rulebook import Standing
from checklist.rulefile import Bounds, Choice, OfStation, Role, Verdict, load_rule_file
from checklist.strictyaml import read_yaml
from checklist.walk.answers import (
    DONT_KNOW,
    Answer,
    Chosen,
    Described,
    DoesNotApply,
    Hung,
    HungTag,
    Inputs,
    Measured,
    Person,
    Present,
    Said,
    Sought,
    Written,
)
from checklist.walk.events import NearMiss, WorkResumed, WorkStopped
from checklist.walk.examples import run_example
from checklist.walk.fitting import misfit
from checklist.walk.judge import judge
from checklist.walk.summary import summary_lines
from checklist.walk.walk import Walk
from checklist.walk.wording import answer_text
from tests.calculations.saying import dump
from tests.rulebook.clubs import book_with, overlay
from tests.rulefile.making import SMALL, book, small
from tests.walk.making import START, at, clearing_for, new, say, walked
from tests.walk.refusing import refusals
from tests.walk.test_judge import CREW, limit, reading

if TYPE_CHECKING:
    from checklist.rulebook import Book
    from checklist.rulefile import Example, RuleFile, Step

_SAID = Path(__file__).parent / "said.yaml"
_ABOUT = (
    "What is said of walks, answers and examples. The project's own words, written by "
    "python -m tests.walk.test_said and read in the diff; they validate nothing."
)
NEAR_LINE: dict[str, str | tuple[str, ...]] = {
    "above-top": "10 ft", "sideways-reach": "0 ft", "line-voltage": "7.2 kV",
    "ground-distance": "9 ft",
}  # fmt: skip


def _eventful() -> Walk:
    walk = say(
        walked(gust="30 mph", way="winch", winch_held="yes"),
        "gust",
        "8 mph",
        2,
        why="watched 20 min",
    )
    walk = walk.with_event(NearMiss("a rope slipped", at(3)))
    walk = walk.with_event(WorkStopped("thunder", at(4)))
    return walk.with_event(WorkResumed(at(5)))


def _set_aside() -> Walk:
    walk = say(walked(call="don't know"), "tags", {"does not apply": "no rotator"}, 1)
    walk = say(walk, "lines", NEAR_LINE, 2)
    return walk.with_event(
        walk.stop_answered("lines", clearing_for(walk, "lines", "order 12", stands=True), at(3))
    )


@cache
def _club_rules() -> tuple[RuleFile, Book]:
    held = book_with(overlay("site/gust-stop", "25 mph"))
    return load_rule_file(SMALL, "mast-base.yaml", held, CALCULATIONS), held


def _club(gust: str) -> Walk:
    return say(Walk(*_club_rules()), "gust", gust)


def walks() -> dict[str, tuple[Walk, float]]:
    """Return walks with something of everything, and how many minutes after the start."""
    return {
        "nothing happened": (new(), 0),
        "everything in order": (walked(), 0),
        "stopped for good": (say(new(), "way", "car"), 0),
        "two stops and a caution": (walked(gust="40 mph", marked="no", call="don't know"), 0),
        "a stop that was answered, and what was reported": (_eventful(), 6),
        "set aside, and a stop answered by evidence": (_set_aside(), 3),
        "an answer that ran out": (walked(), 31),
    }


WRONG: list[tuple[str, Answer]] = [
    ("crew", DONT_KNOW),
    ("crew", DoesNotApply("nobody")),
    ("tags", DoesNotApply("no rotator")),
    ("tags", DoesNotApply("...")),
    ("marked", Written("yes")),
    ("call", Written("-")),
    ("call", Written("Ridge Hollow")),
    ("height", Measured(Quantity.of(8, "mph"))),
    ("height", Measured(Quantity.of(-8, "ft"))),
    ("height", Measured(Quantity.of(0, "ft"))),
    ("gust", Measured(Quantity.of(8, "mph"), "-")),
    ("gust", Measured(Quantity.of(8, "mph"), "vane 2")),
    ("way", Chosen("car")),
    ("way", Chosen("crane")),
    ("crew", Present((Person("-", Role.WORKER),))),
    ("crew", Present((Person("Wren", Role.WORKER, "soon"),))),
    ("crew", Present((Person("Wren", Role.WORKER, "2026-11-26"),))),
    ("crew", Present((Person("Wren", Role.WORKER, "2026-11-25"),))),
    ("tags", Hung(())),
    ("tags", Hung((HungTag("plug", "-", "Wren"),))),
    ("tags", Hung((HungTag("plug", "4", "Wren"),))),
    ("tags", Sought(("gate",), "none")),
    ("lines", Inputs({"mast-height": "30 ft"})),
    ("lines", Inputs({"line-voltage": "7 kV"})),
    ("lines", Inputs({**NEAR_LINE, "utility-clearance": "60 ft"})),
    ("lines", Described("exposure", "field.yaml")),
    ("marked", Said("no")),
]


def _effect(step: Step, answer: Answer, provided: dict[str, str] | None = None) -> list[str]:
    found = judge(step, answer, provided or {}, book())
    values = [f"by {cited.address}" for cited in found.used]
    return [found.effect.value, *found.because, *values]


def _others() -> dict[str, list[str]]:
    """Return what is said of kinds of step that the small rule file has not."""
    marked = small().step("marked")
    choice = replace(marked, kind=Choice({"a": "In rain", "b": "Dry"}, frozenset(), frozenset("a")))
    station = replace(marked, kind=OfStation(EXPOSURE))
    low = reading(Bounds(below=limit("7", "ft")))
    found = {
        outcome.value: Finding(EXPOSURE.name, 1, {}, Result(outcome, f"{outcome.value}."))
        for outcome in Outcome
    }
    found["within, with a caution"] = Finding(
        EXPOSURE.name, 1, {}, Result(Outcome.WITHIN, "within.", cautions=("Mind the fence.",))
    )
    return {
        "a yes": _effect(marked, Said("yes")),
        "a choice that cautions": _effect(choice, Chosen("a")),
        "a choice that does not": _effect(choice, Chosen("b")),
        "a limit rounded up": _effect(low, Measured(Quantity.of(6, "ft"))),
    } | {
        f"a station that is {name}": _effect(station, Described(EXPOSURE.name, "a.yaml", one))
        for name, one in found.items()
    }


def _fit(step_id: str, answer: Answer) -> list[str]:
    step = small().step(step_id)
    wrong = misfit(step, answer, START.date())
    fits = "it fits" if wrong == "" else str(wrong)
    return [fits] if isinstance(answer, Inputs) else [fits, *_effect(step, answer)]


def _readings() -> dict[str, list[str]]:
    low, high = limit("20", "ft"), limit("30", "ft")
    kinds = {
        "below": reading(Bounds(below=low), Bounds(below=limit("25", "ft"))),
        "above": reading(Bounds(above=high), Bounds(above=limit("25", "ft"))),
        "between": reading(Bounds(below=low, above=high)),
        "from memory": reading(Bounds(below=limit("20", "ft", Standing.MEMORY))),
    }
    return {
        f"a reading {name}: {feet} ft": _effect(step, Measured(Quantity.of(feet, "ft")))
        for name, step in kinds.items()
        for feet in ("19", "20", "22", "25", "26", "30", "31")
    }


def _answers() -> dict[str, list[str]]:
    crews = {
        f"crew {number}": _effect(small().step("crew"), Present(tuple(Person(*p) for p in people)))
        for number, (people, _) in enumerate(CREW)
    }
    lines = {
        f"a line {distance} off": _effect(
            small().step("lines"),
            Inputs(NEAR_LINE | {"ground-distance": distance}),
            {"mast-height": height},
        )
        for distance, height in (
            ("100 ft", "30 ft"), ("9 ft", "30 ft"), ("51 ft", "30 ft"), ("60 ft", "unknown"),
        )
    }  # fmt: skip
    misfits = {
        f"{step_id}: {answer_text(answer)}": _fit(step_id, answer) for step_id, answer in WRONG
    }
    unknown = {f"{step.id} not known": _effect(step, DONT_KNOW) for step in small().steps}
    club = {
        f"a club's limit, {gust}": list(_club(gust).progress(at()).of("gust").because)
        for gust in ("8 mph", "22 mph", "26 mph")
    }
    return crews | lines | misfits | unknown | club | _readings() | _others()


def _example(**other: Any) -> Example:
    first = small().examples[0]
    answers = {k.replace("_", "-"): v for k, v in other.pop("answers", {}).items()}
    kept = {k: v for k, v in {**first.answers, **answers}.items() if v is not None}
    return replace(first, answers=kept, **other)


def _examples() -> dict[str, list[str]]:
    tried = {
        "as it stands": _example(),
        "an answer is missing": _example(answers={"gust": None}),
        "an answer is none": _example(answers={"gust": "8"}),
        "another verdict": _example(verdict=Verdict.CAUTIONS),
        "another verdict and stop": _example(answers={"gust": "30 mph", "marked": "no"}),
        "stops that do not stop": _example(stops=frozenset({"way", "gust"})),
        "other cautions": _example(
            answers={"gust": "16 mph"}, verdict=Verdict.CAUTIONS, cautions=frozenset()
        ),
        "the cautions that it names": _example(
            answers={"gust": "16 mph"}, verdict=Verdict.CAUTIONS, cautions=frozenset({"gust"})
        ),
        "a stop for two reasons": _example(
            answers={"crew": ["Wren Holloway, in charge"]}, verdict=Verdict.CAUTIONS
        ),
        "cautions that there are not": _example(cautions=frozenset({"gust", "call"})),
    }
    found = {}
    for name, example in tried.items():
        result = run_example(small(), example, book())
        found[f"example: {name}"] = [result.name, str(result.verdict), *result.wrong]
    return found


def everything() -> dict[str, list[str]]:
    """Return all that is said, by what it is said of."""
    summaries = {f"walk: {n}": summary_lines(w, at(m)) for n, (w, m) in walks().items()}
    return summaries | _answers() | _examples() | refusals()


def test_it_says_this_and_nothing_else() -> None:
    """Every summary, reason, refusal and comparison of an example is what was last read."""
    cases = read_yaml(_SAID.read_text("utf-8"), _SAID.name).data["cases"]
    kept = {case["of"]: case["said"] for case in cases}

    assert everything() == kept


if __name__ == "__main__":
    listed = [{"of": name, "said": said} for name, said in everything().items()]
    dump({"about": _ABOUT, "cases": listed}, _SAID)
