"""Whether an anchor is strong enough for the people who are attached to it."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("people", "how many people are attached to it at a time", "ratio", "1", least="1",
          most="20"),
    Input("chosen-by", "how the anchor was chosen", example="rated",
          choices={
              "rated": "by a strength that its maker or an engineer states",
              "designed": "by a qualified person who designed the whole system",
              "looked-at": "by looking at it",
          }),
    Input("strength", "the strength that is stated for it", "force", "5000 lbf", optional=True,
          most="1000000 lbf"),
    Input("arrest-force", "for a designed system: the greatest force of an arrest on one person, "
          "from the maker of the connector", "force", "900 lbf", optional=True, most="5000 lbf"),
)  # fmt: skip


def _refuse(inputs: Given) -> None:
    people = inputs.quantity("people")
    if people is not None and people.si.denominator != 1:
        raise InputRefused("people", f"“{people.value}” is not a whole number", right="Count them.")


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    people, chosen = inputs.quantity("people"), inputs.word("chosen-by")
    strength = inputs.quantity("strength")
    if people is None:
        judgement.unknown("how many people are attached")
    if not chosen:
        judgement.unknown("how the anchor was chosen")
    if chosen == "looked-at":
        judgement.unknown("the strength of an anchor", "cannot be seen by looking at it")
    elif strength is None:
        judgement.unknown("the strength of the anchor", "was not stated")
    if people is not None:
        needed = _needed(judgement, inputs, people, chosen, book)
        judgement.output("needed", "strength that is needed", needed)
        if strength is not None:
            judgement.at_least("strength of the anchor", strength, needed, "for all attached")
    return judgement.result()


def _needed(
    judgement: Judgement, inputs: Given, people: Quantity, chosen: str, book: Book
) -> Computed:
    """Return 5000 lbf a person, or twice the arrest force where a qualified person designed it."""
    if chosen != "designed":
        each = judgement.value(book.value("fall/anchorage"))
        needed = Computed(each.to("lbf") * people.si, "lbf")
        judgement.lines.append(f"{people.value} x {each.text()} = {near(needed)}")
        return needed
    factor = judgement.value(book.value("fall/designed-factor"))
    most = judgement.value(book.value("fall/arrest-force"))
    force = inputs.quantity("arrest-force")
    if force is None:
        judgement.assumptions.append(f"The arrest is taken as the most allowed, {most.text()}.")
        force = most
    judgement.at_most("force of the arrest", force, most, "on a person in a harness")
    needed = Computed(force.to("lbf") * factor.si * people.si, "lbf")
    judgement.lines.append(f"{people.value} x {factor.value} x {force.text()} = {near(needed)}")
    return needed


ANCHOR = Calculation(
    name="anchor",
    title="Strength of an anchor",
    version=1,
    inputs=_INPUTS,
    formula="5000 lbf for each person attached; or twice the force of the arrest, in a system that "
    "a qualified person designed",
    sources=("osha-1926-502",),
    assumptions=(
        "It is independent of anything that holds a platform, and not a guy, a brace or a rung.",
        "On a light lattice tower 5000 lbf cannot be shown by looking.",
    ),
    compute=_compute,
    refuse=_refuse,
)
