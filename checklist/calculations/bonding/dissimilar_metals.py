"""Whether two metals that touch will eat each other."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_METALS = {
    "copper": "copper or bronze",
    "brass": "brass",
    "tin": "tin or solder, tinned copper",
    "steel": "bare iron or steel",
    "aluminium": "aluminium",
    "zinc": "zinc, galvanized steel",
}

_INPUTS = (
    Input("first", "one metal", example="copper", choices=_METALS),
    Input("second", "the other metal", example="zinc", choices=_METALS),
    Input("place", "where the joint is", example="outdoors",
          choices={
              "outdoors": "outdoors, damp or salty",
              "indoors": "indoors, neither heated nor cooled",
              "controlled": "indoors, dry and heated",
          }),
    Input("joint", "what is between them", example="direct",
          choices={
              "direct": "nothing: they touch",
              "separated": "a listed bimetal clamp, or a tinned or stainless piece between",
          }),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    first, second = inputs.word("first"), inputs.word("second")
    place, joint = inputs.word("place"), inputs.word("joint")
    for name, known in (
        ("one of the metals", first and second), ("where the joint is", place),
        ("what is between them", joint),
    ):  # fmt: skip
        if not known:
            judgement.unknown(name)
    if not first or not second:
        return judgement.result()
    gap = _gap(judgement, first, second, book)
    if joint == "separated":
        judgement.met("The metals do not touch: the piece between is listed for both.", "joint")
        judgement.caution("Look at the joint every year; water that runs off copper eats zinc too.")
    elif place:
        _hold(judgement, gap, place, book)
    return judgement.result()


def _gap(judgement: Judgement, first: str, second: str, book: Book) -> Computed:
    """Return the widest difference that the printed indices allow."""
    if first == second:
        return Computed(Quantity.of(0, "V").si, "V")
    one, other = (book.table("metals/index").row(metal) for metal in (first, second))
    pairs = (
        judgement.cell(one, "high").si - judgement.cell(other, "low").si,
        other["high"].si - one["low"].si,
    )
    gap = Computed(max(pairs), "V")
    lower, upper = (one, other) if pairs[1] >= pairs[0] else (other, one)
    judgement.lines.append(
        f"{first} to {second}, in the anodic index: {upper['high'].text()} - "
        f"{lower['low'].text()} = {near(gap)}"
    )
    judgement.output("gap", "difference in the anodic index", gap)
    return gap


def _hold(judgement: Judgement, gap: Computed, place: str, book: Book) -> None:
    rows = book.table("metals/gap").rows
    limit = judgement.cell(rows[place], "gap")
    widest = judgement.cell(rows["controlled"], "gap")
    judgement.at_most("difference of the metals", gap, widest, "the most that any place allows")
    beyond = judgement.is_beyond("difference of the metals", gap, limit, f"{place} at most")
    if beyond and gap.si <= widest.si:
        judgement.caution(
            f"The difference {high(gap)} is over {limit.text()}, the most for {place}: separate "
            "them by a listed bimetal clamp or a tinned or stainless piece."
        )


DISSIMILAR_METALS = Calculation(
    name="dissimilar-metals",
    title="Two metals in a joint",
    version=1,
    inputs=_INPUTS,
    formula="the difference of the anodic indices, the widest of the printed ones; at most 0.15 V "
    "outdoors, 0.25 V indoors, 0.50 V where it is dry",
    sources=("anodic-index",),
    assumptions=(
        "Over the figure of the place it cautions; over the widest figure of all it stops.",
        "Sizes count too: much copper on little zinc is the worst.",
    ),
    compute=_compute,
)
