"""Whether the tension of a guy is where its design has it."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, given, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity, rounded
from checklist.rulebook import Book

_INPUTS = (
    Input("breaking-strength", "the breaking strength of the guy", "force", "6650 lbf",
          also="mass", most="1000000 lbf"),
    Input("tension", "the tension that the gauge shows", "force", "665 lbf", also="mass",
          most="1000000 lbf"),
    Input("design-tension", "the tension that the engineer or the maker has set, for the "
          "temperature of the day", "force", "665 lbf", optional=True, also="mass",
          most="1000000 lbf"),
)  # fmt: skip


def _pounds(quantity: Quantity) -> Fraction:
    """Return pounds-force; a weight typed in lb or kg stands for its pull."""
    return quantity.to("lb" if quantity.unit.dimension == "mass" else "lbf")


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    strength, tension = inputs.quantity("breaking-strength"), inputs.quantity("tension")
    if strength is None:
        judgement.unknown("the breaking strength of the guy")
    if tension is None:
        judgement.unknown("the tension of the guy")
    if strength is not None:
        usual = judgement.value(book.value("guys/usual"))
        pull = Computed(_pounds(strength) * usual.si, "lbf")
        judgement.output("usual", f"usual tension, {usual.text()} of the breaking strength", pull)
        judgement.lines.append(f"{usual.text()} x {strength.text()} = {near(pull)}")
        if tension is not None:
            _share(judgement, strength, tension, book)
    if tension is not None:
        _design(judgement, inputs, tension, book)
    return judgement.result()


def _share(judgement: Judgement, strength: Quantity, tension: Quantity, book: Book) -> None:
    share = Computed(_pounds(tension) / _pounds(strength) * 100, "%")
    judgement.lines.append(f"{tension.text()} / {strength.text()} = {near(share)}")
    judgement.output("share", "tension, as a share of the breaking strength", share)
    most = judgement.value(book.value("guys/most"))
    least = judgement.value(book.value("guys/least"))
    judgement.at_most("tension of the guy", share, most, "greatest share of breaking strength")
    judgement.at_least("tension of the guy", share, least, "least share of breaking strength")


def _design(judgement: Judgement, inputs: Given, tension: Quantity, book: Book) -> None:
    """Hold the tension against its design; without one, say how far off the usual it is."""
    design, strength = inputs.quantity("design-tension"), inputs.quantity("breaking-strength")
    allowed = judgement.value(book.value("guys/tolerance"))
    if design is not None:
        off = _off(judgement, tension, _pounds(design), "the designed tension")
        judgement.at_most("tension off its design", off, allowed, "field tolerance")
        return
    if "design-tension" in inputs.unknown or strength is None:
        return
    usual = _pounds(strength) * book.value("guys/usual").quantity.si
    off = _off(judgement, tension, usual, "the usual tension")
    judgement.caution("No designed tension was given: the engineer's or maker's figure decides.")
    if judgement.is_beyond("off the usual tension", off, allowed, "tolerance"):
        judgement.caution(
            f"The tension {given(tension)} is {rounded(off.quantity)} off the usual "
            f"{near(Computed(usual, 'lbf'))}, more than {allowed.text()}: too much presses the "
            "legs down, too little lets the mast sway."
        )


def _off(judgement: Judgement, tension: Quantity, aim: Fraction, words: str) -> Computed:
    off = Computed(abs(_pounds(tension) - aim) / aim * 100, "%")
    judgement.lines.append(
        f"off {words}: |{tension.text()} - {near(Computed(aim, 'lbf'))}| / "
        f"{near(Computed(aim, 'lbf'))} = {near(off)}"
    )
    judgement.output("off", f"how far the tension is off {words}", off)
    return off


GUY_TENSION = Calculation(
    name="guy-tension",
    title="Tension of a guy",
    version=1,
    inputs=_INPUTS,
    formula="share = tension / breaking strength, 7 to 15 %; within 10 % of the designed tension",
    sources=("tia-222",),
    assumptions=(
        "Nobody is aloft while a guy is slack; temporary guys hold before one is loosened.",
        "Tension changes with temperature; the design names its own, often 60 °F.",
        "Rust, clips and anchors are looked at elsewhere.",
    ),
    compute=_compute,
)
