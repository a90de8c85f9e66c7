"""What the 25-ohm rule says: whether a single rod needs a second electrode, and no more."""

from __future__ import annotations

from checklist.calculations.judging import Judgement, given
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input("electrodes", "what the house has, rods and other electrodes tied together",
          example="one-rod",
          choices={
              "one-rod": "a single rod, pipe or plate and nothing else",
              "two-or-more": "two rods, or a rod with any other electrode",
          }),
    Input("resistance", "the measured resistance to earth; left out where it was not measured",
          "resistance", "20 ohm", optional=True, most="1000000 ohm"),
    Input("spacing", "the distance between the rods, where there are two", "length", "16 ft",
          optional=True, most="1000 ft"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    electrodes, resistance = inputs.word("electrodes"), inputs.quantity("resistance")
    limit = judgement.value(book.value("earth/single-rod"))
    if not electrodes:
        judgement.unknown("what electrodes there are")
    elif electrodes == "two-or-more":
        _two(judgement, inputs, book)
        if resistance is not None and judgement.is_beyond(
            "resistance", resistance, limit, "what one rod alone may have"
        ):
            judgement.caution(
                f"{given(resistance)} is over {limit.text()}: no limit for two electrodes, but "
                "more or longer rods do better."
            )
    elif resistance is None:
        judgement.unknown(
            "the single rod", "was not measured: it gets a second electrode (250.53(A)(2))"
        )
    else:
        judgement.at_most(
            "resistance of the single rod", resistance, limit,
            "above it, add a supplemental electrode",
        )  # fmt: skip
        judgement.caution(
            f"{limit.text()} is no sign of protection: it only decides about the second electrode."
        )
    return judgement.result()


def _two(judgement: Judgement, inputs: Given, book: Book) -> None:
    judgement.met(
        "Two electrodes meet the code's minimum, whatever they measure (250.53(A)(2)).",
        "electrodes",
    )
    spacing = inputs.quantity("spacing")
    if spacing is not None:
        apart = judgement.value(book.value("earth/rod-spacing"))
        judgement.at_least("distance between rods", spacing, apart, "NEC 250.53(A)(3)")
    elif "spacing" not in inputs.unknown:
        judgement.caution("The distance between the rods was not given: at least 6 ft is needed.")


ROD_RULE = Calculation(
    name="rod-rule",
    title="The 25-ohm rule",
    version=1,
    inputs=_INPUTS,
    formula="one rod above 25 ohm, or not measured, gets a second electrode at least 6 ft away; "
    "two have no limit",
    sources=("nec-250-53",),
    assumptions=(
        "It decides about a second electrode alone; it clears no fault and stops no lightning.",
        "A concrete-encased or building-steel electrode that is there is used as well.",
        "The service side is the work of a licensed electrician.",
    ),
    compute=_compute,
)
