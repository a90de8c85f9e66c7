"""What a walk says of answers, whole: the words that people act on change only on purpose."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from checklist.calculations import CALCULATIONS
from checklist.calculations.kinds import Finding, Outcome, Result
from checklist.errors import StandclearError
from checklist.quantities import Quantity
from checklist.rulebook import Standing
from checklist.rulefile import (
    Bounds,
    Confirm,
    Effect,
    OfStation,
    Role,
    Verdict,
    load_rule_file,
)
from checklist.shipped import shipped_rules
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
from checklist.walk.entry import read_answer
from checklist.walk.events import Closed, NearMiss, WorkResumed, WorkStopped
from checklist.walk.examples import run_example
from checklist.walk.fitting import is_impossible, misfit
from checklist.walk.judge import judge
from checklist.walk.stored import as_data, from_data
from checklist.walk.summary import summary_lines
from checklist.walk.walk import Walk
from checklist.walk.wording import answer_text, limits_text, needs_text
from tests.calculations.saying import dump
from tests.rulebook.clubs import book_with, overlay
from tests.rulefile.making import SMALL, book, small
from tests.walk.making import START, at, clearing_for, new, say, walked
from tests.walk.test_judge import CREW, limit, reading
from tests.walk.test_seeking import FREE

if TYPE_CHECKING:
    from collections.abc import Callable

    from checklist.rulefile import Example, Step

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


def _club(gust: str) -> Walk:
    held = book_with(overlay("site/gust-stop", "25 mph"))
    rules = load_rule_file(SMALL, "mast-base.yaml", held, CALCULATIONS)
    return say(Walk(rules, held), "gust", gust)


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
    ("lines", Described("exposure", "field.yaml")),
    ("marked", Said("no")),
]


def _effect(step: Step, answer: Answer, provided: dict[str, str] | None = None) -> list[str]:
    found = judge(step, answer, provided or {}, book())
    values = [f"by {cited.address}" for cited in found.used]
    return [found.effect.value, *found.because, *values]


def _fit(step_id: str, answer: Answer) -> list[str]:
    step = small().step(step_id)
    fits = misfit(step, answer, START.date()) or "it fits"
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
    return crews | lines | misfits | unknown | club | _readings()


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
        "cautions that there are not": _example(cautions=frozenset({"gust", "call"})),
    }
    found = {}
    for name, example in tried.items():
        result = run_example(small(), example, book())
        found[f"example: {name}"] = [result.name, str(result.verdict), *result.wrong]
    return found


def _refusal(what: Callable[..., Any], *given: Any) -> list[str]:
    try:
        found = what(*given)
        return ["it is taken", "" if isinstance(found, Walk) else repr(found)]
    except StandclearError as refused:
        return [type(refused).__name__, refused.sentence()]


def _walk_refusals() -> dict[str, list[str]]:
    over = walked().with_event(Closed(Verdict.NO_STOP, at()))
    stood = walked().with_event(WorkStopped("thunder", at(1)))
    two_open = say(say(new(), "marked", "yes"), "way", "hand")
    one_open = Walk(small(), book(), walked().events[:-1])
    slow = walked(gust="30 mph")
    tried: dict[str, tuple[Any, ...]] = {
        "an answer after the end": (say, over, "marked", "yes"),
        "the end after the end": (over.ended, at()),
        "the end while the work is stopped": (stood.ended, at(1)),
        "the end with a step open": (one_open.ended, at()),
        "the end with steps open": (two_open.ended, at()),
        "the end of a stopped walk": (slow.ended, at(7)),
        "the end in order": (walked().ended, at(7)),
        "no such step": (walked().answered, "soil", Said("yes"), at()),
        "a step that is not asked": (walked().answered, "winch-held", Said("yes"), at()),
        "another kind of answer": (walked().answered, "marked", Written("x"), at()),
        "don't know to a stop": (say, say(new(), "marked", "no"), "marked", "don't know"),
        "no evidence": (say, say(new(), "marked", "no"), "marked", "yes"),
        "no way": (say, say(new(), "way", "car"), "way", "hand"),
        "evidence where nothing stops": (
            walked().stop_answered, "lines", clearing_for(new(), "lines", "x", stands=True), at(),
        ),
        "evidence of another way": (
            slow.stop_answered, "gust", clearing_for(new(), "gust", "x"), at(),
        ),
    }  # fmt: skip
    return {f"refused: {name}": _refusal(*one) for name, one in tried.items()}


def _stored_refusals() -> dict[str, list[str]]:
    what, whole = as_data(walked().events[0])
    kept = {"sha256": "ab" * 32, "size": "12", "name": "photo.jpg", "step": "gust"}
    tried: dict[str, tuple[str, Any]] = {
        "no event": ("sung", {}),
        "no step": (what, {k: v for k, v in whole.items() if k != "step"}),
        "another step": (what, whole | {"step": 5}),
        "no known answer": (what, whole | {"answer": {"sung": "x"}}),
        "a reading that is none": (
            what, whole | {"answer": {"reading": "8", "understood": "8", "instrument": ""}},
        ),
        "points that are none": (
            what, whole | {"answer": {"tags": {"points": [5], "others": "none"}}},
        ),
        "others that are none": (what, whole | {"answer": {"looked for": {"others": "some"}}}),
        "a size that is none": ("attached", kept | {"size": "x"}),
        "inputs that are none": (what, whole | {"provided": [5]}),
    }  # fmt: skip
    return {f"stored: {n}": _refusal(from_data, *one, at()) for n, one in tried.items()}


def _of_station() -> dict[str, list[str]]:
    shipped = load_rule_file(
        (shipped_rules() / "checks" / "exposure-review.yaml").read_text("utf-8"),
        "exposure-review.yaml", book(), CALCULATIONS,
    )  # fmt: skip
    step = next(step for step in shipped.steps if isinstance(step.kind, OfStation))
    free = load_rule_file(FREE, "mast-base.yaml", book(), CALCULATIONS).step("tags")
    cautious = replace(small().step("marked"), kind=Confirm(Effect.CAUTION))
    typed: list[Any] = [
        "field.yaml", " 'field.yaml' ", "", {"file": "a.yaml"}, {"file": ""}, {"file": 5}, 5,
        {"outcome": "within"}, {"outcome": "over"}, {"outcome": "fine"}, {"x": "y"},
        {"file": "a", "outcome": "over"}, {},
    ]  # fmt: skip
    found = Finding("loads", 1, {}, Result(Outcome.WITHIN, "x"))
    answers = (Described("loads", "a.yaml"), Described("loads", "a.yaml", found))
    return {f"a station step, {one!r}": _refusal(read_answer, step, one) for one in typed} | {
        "needed": [needs_text(one) for one in (step, free, cautious, small().step("marked"))],
        "limits": list(limits_text(small().step("gust"))),
        "a station by hand": [misfit(step, one, START.date()) for one in answers],
        "no points": [
            misfit(free, Sought(points, "none"), START.date()) for points in ((), ("-",))
        ],
        "below zero": [
            str(is_impossible(Quantity.of(n, u)))
            for n, u in (("-1", "degC"), ("-1", "ft"), ("0", "ft"))
        ],
    }


def everything() -> dict[str, list[str]]:
    """Return all that is said, by what it is said of."""
    summaries = {f"walk: {n}": summary_lines(w, at(m)) for n, (w, m) in walks().items()}
    refusals = _walk_refusals() | _stored_refusals() | _of_station()
    return summaries | _answers() | _examples() | refusals


def test_it_says_this_and_nothing_else() -> None:
    """Every summary, reason, refusal and comparison of an example is what was last read."""
    cases = read_yaml(_SAID.read_text("utf-8"), _SAID.name).data["cases"]
    kept = {case["of"]: case["said"] for case in cases}

    assert everything() == kept


if __name__ == "__main__":
    listed = [{"of": name, "said": said} for name, said in everything().items()]
    dump({"about": _ABOUT, "cases": listed}, _SAID)
