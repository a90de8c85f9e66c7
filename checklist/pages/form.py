"""A rule file as a form on paper, for when the laptop is dead: a whole walk can be done with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import timedelta

from checklist.emergencies import hurt_numbers
from checklist.pages.conditionwords import only_if
from checklist.pages.formanswer import WHEN, answer_blocks
from checklist.pages.identity import of_bytes
from checklist.pages.page import (
    Blanks,
    Block,
    Heading,
    Labelled,
    Listed,
    Page,
    Signing,
    Ticks,
    Together,
    Words,
    WriteOn,
)
from checklist.pages.sums import letters_of, sum_sheets
from checklist.rulebook import Book
from checklist.rulefile import Choice, Confirm, Effect, Part, Reading, RuleFile, Step, Text
from checklist.walk.wording import life_text, way_text

IS_NOT = (
    "This form is no permission, no licence to climb or to switch on, and no record until it is "
    "signed."
)
HOW = (
    "Answer in the order printed; each step with the time and the initials of who answered.",
    "A step with “only if” that does not hold is left blank. “Don't know” at the step it hangs on "
    "counts as if it held: then answer this one too.",
    "“Don't know” is an answer; beside its box stands what it does. What is neither ticked nor "
    "written is not known.",
    "A stop is not argued away. It is answered as the step says, with the evidence written down, "
    "and the step is answered anew beside it. Where nothing answers it, the work ends here.",
    "An answer is struck through with one line and written again beside it; nothing is erased.",
    "A reading is written as measured, with its unit and the instrument.",
    "Sums are on the sheets at the end, each called by its letter. A sum that cannot be finished "
    "is “not shown”, and stops.",
    "Some answers hold for minutes: their step says for how long. Past that, answer again.",
    "Whoever sees danger calls STOP. Then everything stops, and the steps of the part “on the "
    "spot” are answered again before the work goes on.",
    "When the laptop works again: begin a new walk of this rule file, type the answers in, write "
    "into a note that they come from this paper with its code, and attach a photo of each sheet. "
    "The time of typing is the time on record; the times on this paper are what people wrote.",
)
_LINES_FOR_CALLS = 3
_EVIDENCE_PER_LINE = 2
_ROWS_FOR_AGAIN, _AGAIN_IN_ROW = 2, 4
_TYPE_PT = 8.4
_AGAIN = ("Again: answer, time, initials", 4)
_EACH_SHEET = (("Begun (day, time):", 5), ("In charge:", 6))
"""Written on each sheet behind the first, so that the sheets of two walks are told apart."""

_SHORT = timedelta(hours=2)
"""An answer that holds no longer is given several times in a day's work."""


def blank_form(rule_file: RuleFile, book: Book, data: bytes) -> Page:
    """Return the form; `data` are the exact bytes of the rule file, whose hash it carries."""
    numbers = {step.id: n for n, step in enumerate(rule_file.steps, start=1)}
    letters = letters_of(rule_file)
    blocks: list[Block] = [
        *_head(rule_file),
        *(b for part in rule_file.parts for b in _part(part, rule_file, numbers, letters)),
        *_end(rule_file),
        *sum_sheets(rule_file, book, letters, numbers),
        *_bibliography(rule_file),
    ]
    identity = of_bytes(f"Rule file {rule_file.name}, edition {rule_file.edition}", data)
    subtitle = "Blank form on paper. " + rule_file.about
    return Page(
        rule_file.title, subtitle, identity, IS_NOT, tuple(blocks), _TYPE_PT,
        is_dense=True, to_fill=_EACH_SHEET,
    )  # fmt: skip


def _head(rule_file: RuleFile) -> Iterator[Block]:
    yield Labelled(
        (
            ("Rule file", f"{rule_file.name}, edition {rule_file.edition}"),
            ("Written for", rule_file.written_for),
            ("Result holds", f"{life_text(rule_file.valid)} after the last signature"),
        )
    )
    yield Together(
        (
            Blanks((("Place and work:", 5), ("Begun (day, time):", 2))),
            WriteOn("Names and roles of all who are here:", lines=2),
            WriteOn(f"Someone is hurt: call {hurt_numbers().call}. Say this place and way in:"),
        ),
        is_boxed=True,
    )
    yield Heading("How to fill it in", 2)
    yield Listed(HOW, is_numbered=True, weight="small")


def _part(
    part: Part, rule_file: RuleFile, numbers: Mapping[str, int], letters: Mapping[str, str]
) -> Iterator[Block]:
    yield Heading(f"{part.title} ({part.name})")
    holds = f"Answers of this part hold {life_text(part.valid)}, unless a step says less."
    yield Words(holds, "lead")
    for step in part.steps:
        yield Together(tuple(_step(step, rule_file, numbers, letters)), is_boxed=True)


def _step(
    step: Step, rule_file: RuleFile, numbers: Mapping[str, int], letters: Mapping[str, str]
) -> Iterator[Block]:
    yield Words(" ".join(filter(None, (f"{numbers[step.id]}. {step.ask}", _does(step)))), "strong")
    before = [only_if(step.when, rule_file, numbers)] if step.when is not None else []
    before += [step.help] if step.help else []
    before.append(f"Why: {step.why} [step {step.id}; {_sources(step)}]")
    yield Words(" ".join(before), "small")
    answer = tuple(answer_blocks(step, letters.get(step.id, "")))
    last = answer[-1]
    if isinstance(last, Ticks) and not last.fields:
        answer = (*answer[:-1], replace(last, fields=WHEN))
    yield from answer
    yield from _clearing(step, is_timed=isinstance(last, Ticks))
    if step.life is not None and step.life <= _SHORT:
        yield from _each_time(life_text(step.life))


def _each_time(life: str) -> Iterator[Block]:
    """Yield room for an answer that is given anew again and again."""
    again = (("", 4),) * (_AGAIN_IN_ROW - 1)
    yield Blanks(((f"Again each {life}: answer, time, initials", 9), *again))
    yield from (Blanks((("", 4), *again)) for _ in range(_ROWS_FOR_AGAIN - 1))


def _does(step: Step) -> str:
    """Return how long the answer holds where that is short, and whether a life hangs on it."""
    said = []
    if step.life is not None:
        said.append(f"holds {life_text(step.life)}")
    if step.guards_life:
        said.append("a life hangs on it")
    return f"({'; '.join(said)})" if said else ""


def _clearing(step: Step, *, is_timed: bool) -> Iterator[Block]:
    """Yield what answers a stop, with lines for that; and for the time where no box has them."""
    again = (_AGAIN,) if is_timed else (*WHEN, _AGAIN)
    if not step.ways:
        if _can_stop(step):
            yield Words("NOTHING ANSWERS A STOP HERE: the work ends.", "strong")
        yield Blanks(again)
        return
    ways = tuple(way_text(way) for way in step.ways)
    yield Words(f"A stop here is answered so: {' Or: '.join(ways)}", "small")
    if sum(len(way.evidence) for way in step.ways) > _EVIDENCE_PER_LINE:
        yield WriteOn("Evidence:")
        yield Blanks((("", 5), *again))
    else:
        yield Blanks((("Evidence:", 5), *again))


def _can_stop(step: Step) -> bool:
    """Whether any answer of the step stops; where that is not seen at once, it is taken to."""
    match step.kind:
        case Confirm(no=effect):
            return effect is Effect.STOP
        case Reading(stop=bounds):
            stops = bounds.below is not None or bounds.above is not None
        case Choice(stop=options):
            stops = bool(options)
        case Text():
            stops = False
        case _:
            return True
    return stops or step.unknown is Effect.STOP


def _sources(step: Step) -> str:
    return ", ".join(source.id for source in step.sources)


def _bibliography(rule_file: RuleFile) -> Iterator[Block]:
    """Yield what the short names behind each “why” stand for."""
    found = {source.id: source for step in rule_file.steps for source in step.sources}
    said = tuple(f"{name}: {found[name].citation()}" for name in sorted(found))
    yield Heading("Sources of the steps", 2)
    yield Words("; ".join(said) + ".", "small")


def _end(rule_file: RuleFile) -> Iterator[Block]:
    yield Heading("What happened beside the steps")
    yield Words("Near misses, calls of STOP and what came of them, each with its time:")
    yield WriteOn("", lines=_LINES_FOR_CALLS)
    yield Heading("The end")
    yield Words("Tick one. A single stop that is not answered makes it the third.")
    yield Ticks(
        (
            "no stop found",
            "no stop found, with cautions (write which, below)",
            "STOPPED (write at which step, below)",
        )
    )
    yield WriteOn("Cautions, or step of the stop:")
    yield Blanks((("", 5), ("Ended (day, time):", 3)))
    rests = Words(
        "It rests on the answers given and on the values printed here, and on nothing else. "
        "Who signs says: these answers were given so, in my presence."
    )
    yield Together((rests, Signing(tuple(_signers(rule_file)))))


def _signers(rule_file: RuleFile) -> Iterator[str]:
    for role, count in rule_file.signers.items():
        for number in range(1, count + 1):
            yield role.capitalize() if count == 1 else f"{role.capitalize()} {number}"
