"""What rope, block and bridle carry while something is hoisted."""

from __future__ import annotations

from fractions import Fraction
from math import radians, sin

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_PLACES = {
    "line": "the hauling rope, and whatever carries the load once",
    "block": "the top block, and what it hangs on",
    "bridle": "one leg of a two-leg bridle",
}

_INPUTS = (
    Input(
        "load",
        "the weight of all that hangs on the rope",
        "mass",
        "60 lb",
        also="force",
        most="20000 lb",
    ),
    Input(
        "haul",
        "how the rope runs",
        example="ground",
        choices={
            "ground": "over a block aloft and down again to the haulers",
            "straight": "straight up, hauled from above",
        },
    ),
    Input(
        "bridle-angle",
        "the angle of each bridle leg from the horizontal; leave it out without a bridle",
        "angle",
        "60 deg",
        optional=True,
        most="90 deg",
    ),
    Input(
        "pieces",
        "every rope, block, shackle and sling, with what it carries and its working load",
        example="12 mm rope, line, 450 lb",
        columns=(
            Input("name", "which piece", example="12 mm rope"),
            Input("carries", "what it carries", example="line", choices=_PLACES),
            Input(
                "working-load",
                "the working load printed on it; not its breaking strength",
                "mass",
                "450 lb",
                also="force",
                most="200000 lb",
            ),
        ),
    ),
)


def leg_tension(load: Fraction, angle: Quantity) -> Fraction:
    """Return the pull in each leg of a symmetric two-leg bridle, in the unit of `load`.

    load / (2 sin angle), the angle from the horizontal. An angle of zero cannot be typed.
    """
    return load / (2 * Fraction(sin(radians(angle.number("deg")))))


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    load = inputs.quantity("load")
    if load is None:
        judgement.unknown("the load")
    if not inputs.word("haul"):
        judgement.unknown("how the rope runs")
    angle = inputs.quantity("bridle-angle")
    if angle is not None:
        judgement.at_least(
            "bridle angle", angle, judgement.value(book.value("rigging/least-angle")),
            "least angle from the horizontal",
        )  # fmt: skip
    pulls = {} if load is None else _pulls(judgement, load, inputs, book)
    _hold(judgement, inputs, pulls)
    return judgement.result()


def _pulls(judgement: Judgement, load: Quantity, inputs: Given, book: Book) -> dict[str, Computed]:
    unit = "N" if load.unit.symbol in {"kg", "g", "N", "kN", "kgf"} else "lbf"
    weight = Computed(_newtons(load) / Fraction(Computed(Fraction(1), unit).si), unit)
    judgement.lines.append(f"weight of the load: {load.text()} = {near(weight)}")
    pulls = {"line": weight}
    if inputs.word("haul") != "straight":
        factor = judgement.value(book.value("rigging/block-factor"))
        pulls["block"] = Computed(weight.exact * factor.si, unit)
        judgement.lines.append(f"block = {factor.value} x {near(weight)} = {near(pulls['block'])}")
    else:
        pulls["block"] = weight
    angle = inputs.quantity("bridle-angle")
    if angle is not None:
        pulls["bridle"] = Computed(leg_tension(weight.exact, angle), unit)
        judgement.lines.append(
            f"bridle leg = {near(weight)} / (2 x sin {angle.text()}) = {near(pulls['bridle'])}"
        )
    for place, pull in pulls.items():
        judgement.output(place, _PLACES[place], pull)
    return pulls


def _hold(judgement: Judgement, inputs: Given, pulls: dict[str, Computed]) -> None:
    needed = {"line"} | ({"block"} if inputs.word("haul") == "ground" else set())
    needed |= {"bridle"} if inputs.quantity("bridle-angle") is not None else set()
    for row in inputs.rows["pieces"]:
        name, place, rated = row["name"] or "a piece", row["carries"], row["working-load"]
        if not isinstance(place, str):
            judgement.unknown(f"what {name} carries")
            continue
        needed.discard(place)
        pull = pulls.get(place)
        if not isinstance(rated, Quantity):
            judgement.unknown(f"the working load of {name}")
        elif pull is None:
            if pulls:
                judgement.unknown(f"the pull on {name}", "needs the angle of the bridle")
        else:
            force = _as_force(rated, pull.unit)
            judgement.lines.append(f"{name} works at {rated.text()} = {near(force)}")
            judgement.at_most(f"{name}:", pull, force, "its working load")
    for place in sorted(needed):
        judgement.unknown(f"the working load of {_PLACES[place]}", "was not given")


def _as_force(rated: Quantity, unit: str) -> Computed:
    return Computed(_newtons(rated) / Computed(Fraction(1), unit).si, unit)


def _newtons(quantity: Quantity) -> Fraction:
    """Return the weight of a mass, or a force, in newtons, exact."""
    if quantity.unit.dimension == "force":
        return quantity.si
    return quantity.si * Quantity.of(1, "kgf").si


HOIST_LOADS = Calculation(
    name="hoist-loads",
    title="Loads of hoisting",
    version=1,
    inputs=_INPUTS,
    formula="rope = load; top block = 2 x load when the rope comes back down; each leg of a bridle "
    "= load / (2 x sin of its angle from the horizontal)",
    sources=("rigging-angle", "rigging-block"),
    assumptions=(
        "A steady load: jerks, friction in the block and the pull of a tag line come on top.",
        "A bridle has two equal legs at the same angle.",
        "A working load is what the maker prints, not a breaking strength; knots weaken a rope.",
    ),
    compute=_compute,
)
