"""Whether the air below an anchor is deep enough to stop a fall in."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "clear-height",
        "the height from the anchor straight down to the next thing that can be hit",
        "length",
        "25 ft",
        least="0 ft",
        most="2500 ft",
    ),
    Input(
        "connector",
        "what joins the harness to the anchor",
        example="lanyard",
        choices={
            "lanyard": "a lanyard with an energy absorber",
            "retractable": "a self-retracting lifeline",
        },
    ),
    Input(
        "anchor-at",
        "where the anchor is, seen from the D-ring on the back",
        example="level",
        choices={
            "above": "above the D-ring",
            "level": "level with the D-ring",
            "below": "below the D-ring, at the feet for instance",
        },
    ),
    Input(
        "lanyard",
        "the length of the lanyard, for a lanyard",
        "length",
        "6 ft",
        optional=True,
        most="50 ft",
    ),
    Input(
        "maker-clearance",
        "the clearance below the anchor that the maker's label asks; needed for a retractable",
        "length",
        "17.5 ft",
        optional=True,
        most="200 ft",
    ),
)


def _refuse(inputs: Given) -> None:
    asked = "lanyard" if inputs.word("connector") == "lanyard" else "maker-clearance"
    if not inputs.word("connector"):
        return
    if asked == "maker-clearance" and "lanyard" in inputs.unknown | _known(inputs):
        raise InputRefused(
            "lanyard",
            "a retractable takes no lanyard on top",
            right="Leave it out, or choose the lanyard as the connector.",
        )
    if asked in inputs.unknown:
        return
    if inputs.quantity(asked) is None:
        raise InputRefused(
            asked, f"a {inputs.word('connector')} needs it",
            right="Give it as on the label, or “unknown”.",
        )  # fmt: skip


def _known(inputs: Given) -> set[str]:
    return {name for name, cell in inputs.values.items() if cell is not None}


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    if inputs.word("anchor-at") == "below":
        judgement.over(
            "The anchor is below the D-ring: the fall is longer than the connector is made for.",
            "anchor-at",
        )
    for name in ("connector", "anchor-at"):
        if not inputs.word(name):
            judgement.unknown(name)
    needs: list[tuple[Computed | Quantity, str]] = []
    maker = inputs.quantity("maker-clearance")
    if maker is not None:
        needs.append((maker, "the maker's clearance"))
    if inputs.word("connector") != "retractable":
        needs += _by_lanyard(judgement, inputs.quantity("lanyard"), book)
    elif maker is None:
        judgement.unknown("the clearance that the maker of the retractable asks")
    elif inputs.word("anchor-at") == "level":
        judgement.caution(
            "A maker's clearance is mostly for an anchor overhead: see that it is for this one."
        )
    _hold(judgement, inputs.quantity("clear-height"), needs)
    return judgement.result()


def _by_lanyard(
    judgement: Judgement, lanyard: Quantity | None, book: Book
) -> list[tuple[Computed, str]]:
    if lanyard is None:
        judgement.unknown("the length of the lanyard")
        return []
    free_fall = judgement.value(book.value("fall/free-fall"))
    judgement.at_most("free fall by the lanyard", lanyard, free_fall, "longest free fall")
    names = ("deceleration", "harness-shift", "body", "margin")
    parts = [lanyard, *(judgement.value(book.value(f"fall/{name}")) for name in names)]
    unit = lanyard.unit.symbol
    need = Computed(sum((part.to(unit) for part in parts), Fraction(0)), unit)
    words = " + ".join(
        f"{part.text()} {name}" for part, name in zip(parts, ("lanyard", *names), strict=True)
    )
    judgement.lines.append(f"{words} = {near(need)}")
    return [(need, "lanyard + deceleration + harness + body + margin")]


def _hold(
    judgement: Judgement, clear: Quantity | None, needs: list[tuple[Computed | Quantity, str]]
) -> None:
    if clear is None:
        judgement.unknown("the clear height below the anchor")
    if not needs:
        return
    need, why = max(needs, key=lambda pair: pair[0].si)
    judgement.output("needed", "clear height needed below the anchor", need)
    if clear is not None:
        judgement.at_least("clear height below the anchor", clear, need, why)


FALL_CLEARANCE = Calculation(
    name="fall-clearance",
    title="Clear height below the anchor",
    version=1,
    inputs=_INPUTS,
    formula="needed = lanyard + deceleration + slip of the harness + body below the D-ring + "
    "margin, counted down from the anchor; a retractable by its maker's figure",
    sources=("osha-1926-502", "osha-technical-manual-fall"),
    assumptions=(
        "The free fall is taken as the whole lanyard; an anchor above the D-ring shortens it.",
        "A fall that swings sideways is not covered.",
        "Whether the anchor holds (5000 lbf, or twice the load by a qualified person) is asked "
        "elsewhere.",
    ),
    compute=_compute,
    refuse=_refuse,
)
