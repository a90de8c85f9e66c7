"""What several rods tied together come to, and whether they stand far enough apart."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.bonding.rods import one_rod, two_rods
from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("rods", "the number of rods", "ratio", "2", least="2", most="1000"),
    Input("spacing", "the distance from each rod to its nearest neighbour", "length", "16 ft",
          most="1000 ft"),
    Input("length", "the length of each rod in contact with soil", "length", "8 ft", most="300 ft"),
    Input("one-rod", "the resistance of one of them alone", "resistance", "40 ohm", optional=True,
          most="1000000 ohm"),
    Input("share", "the share of one rod's resistance that a handbook's curve gives for this "
          "layout", "ratio", "5.5 %", optional=True, most="100 %"),
    Input("resistivity", "for two rods: the resistivity of the soil, in place of one rod's "
          "resistance", "resistivity", "100 ohm m", optional=True, most="10000000 ohm m"),
    Input("diameter", "for two rods: their diameter, with the resistivity", "length", "0.625 in",
          optional=True, most="12 in"),
)  # fmt: skip


def _refuse(inputs: Given) -> None:
    rods = inputs.quantity("rods")
    if rods is not None and rods.si.denominator != 1:
        raise InputRefused("rods", f"“{rods.value}” is not a whole number", right="Count them.")
    has = {n for n in ("one-rod", "share", "resistivity", "diameter")
           if n in inputs.unknown or inputs.quantity(n) is not None}  # fmt: skip
    if ("one-rod" in has) == ("resistivity" in has):
        raise InputRefused(
            "one-rod", "one of one-rod and resistivity is needed", right="Give exactly one."
        )
    if ("resistivity" in has) != ("diameter" in has):
        raise InputRefused(
            "diameter", "resistivity and diameter go together", right="Give both, or one-rod."
        )
    if "share" in has and "one-rod" not in has:
        raise InputRefused("share", "it needs one-rod", right="Give one rod's resistance too.")
    if "resistivity" in has and rods is not None and rods.si != 2:
        raise InputRefused(
            "resistivity", "that formula is for two rods", right="Give one-rod for more of them."
        )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    for name in ("rods", "spacing", "length"):
        if inputs.quantity(name) is None:
            judgement.unknown(f"the {name} of the rods" if name != "rods" else "how many rods")
    spacing, length = inputs.quantity("spacing"), inputs.quantity("length")
    if length is not None:
        least = judgement.value(book.value("earth/rod-length"))
        judgement.at_least("rod in contact with soil", length, least, "NEC 250.52 and 250.53")
    if spacing is not None:
        apart = judgement.value(book.value("earth/rod-spacing"))
        judgement.at_least("distance between rods", spacing, apart, "NEC 250.53(A)(3)")
    if spacing is not None and length is not None:
        _advise(judgement, spacing, length, book)
        _resistance(judgement, inputs, spacing, length, book)
    return judgement.result()


def _advise(judgement: Judgement, spacing: Quantity, length: Quantity, book: Book) -> None:
    times = judgement.value(book.value("earth/better-spacing"))
    better = Computed(length.to("ft") * times.si, "ft")
    judgement.lines.append(f"better apart: {times.value} x {length.text()} = {near(better)}")
    if spacing.si < better.si:
        judgement.caution(
            f"Rods nearer than {near(better)}, {times.value} rod lengths, share the same soil."
        )


def _resistance(
    judgement: Judgement, inputs: Given, spacing: Quantity, length: Quantity, book: Book
) -> None:
    one, rods = inputs.quantity("one-rod"), inputs.quantity("rods")
    share, resistivity = inputs.quantity("share"), inputs.quantity("resistivity")
    diameter = inputs.quantity("diameter")
    ohms: Computed | None = None
    if one is not None and share is not None:
        ohms = Computed(one.to("ohm") * share.si, "ohm")
        judgement.lines.append(f"R = {one.text()} x {share.text()} = {near(ohms)}")
    elif spacing < length:
        judgement.unknown("their resistance", "has no formula here: they are nearer than long")
        return
    elif resistivity is not None and diameter is not None:
        sizes = tuple(q.number("m") for q in (length, diameter, spacing))
        ohms = Computed(Fraction(two_rods(resistivity.number("ohm m"), *sizes)), "ohm")
        judgement.lines += _two_rod_lines(resistivity, (length, diameter, spacing), ohms)
    elif one is not None and rods is not None:
        ohms = _by_factor(judgement, one, int(rods.si), book)
    if ohms is None:
        judgement.unknown("the resistance of the rods together")
        return
    judgement.output("resistance", "resistance of all rods together", ohms)


def _two_rod_lines(
    resistivity: Quantity, sizes: tuple[Quantity, Quantity, Quantity], ohms: Computed
) -> list[str]:
    """Return the arithmetic of two rods: half of one, and what the other adds."""
    length, diameter, spacing = (q.number("m") for q in sizes)
    rho = resistivity.number("ohm m")
    one = one_rod(rho, length, diameter)
    mutual = float(ohms.exact) - one / 2
    share = (length / spacing) ** 2
    return [
        f"length: {sizes[0].text()} = {length:.5g} m",
        f"radius: {sizes[1].text()} / 2 = {diameter / 2:.5g} m",
        f"distance: {sizes[2].text()} = {spacing:.5g} m",
        f"soil: {resistivity.text()} = {rho:.5g} ohm m",
        f"one rod: {rho:.5g} ohm m / (2 pi x {length:.5g} m) x (ln(4 x {length:.5g} m / "
        f"{diameter / 2:.5g} m) - 1) = {one:.5g} ohm",
        f"(L / s)^2 = ({length:.5g} m / {spacing:.5g} m)^2 = {share:.5g}",
        f"the other adds: {rho:.5g} ohm m / (4 pi x {spacing:.5g} m) x (1 - {share:.5g} / 3 + 2 x "
        f"{share:.5g}^2 / 5) = {mutual:.5g} ohm",
        f"R = {one:.5g} ohm / 2 + {mutual:.5g} ohm = {near(ohms)}",
    ]


def _by_factor(judgement: Judgement, one: Quantity, rods: int, book: Book) -> Computed | None:
    """Return R1 F / n, with F of the next printed number of rods, which is the larger one."""
    rows = book.table("earth/several-rods").rows
    row = next((row for key, row in rows.items() if int(key) >= rods), None)
    if row is None:
        return None
    factor = judgement.cell(row, "factor")
    ohms = Computed(one.to("ohm") * factor.si / rods, "ohm")
    judgement.lines.append(f"R = {one.text()} x {factor.value} / {rods} = {near(ohms)}")
    return ohms


EARTH_RODS = Calculation(
    name="earth-rods",
    title="Several ground rods",
    version=1,
    inputs=_INPUTS,
    formula="R = R1 F / n (ohm), R1 of one rod, n rods one length apart or more, F by a table; "
    "two rods: R1 / 2 + rho / (4 pi s) x (1 - L^2 / (3 s^2) + 2 L^4 / (5 s^4)), s "
    "between them, L their length (m), rho in ohm m; or one rod's times a handbook's "
    "share",
    sources=("ieee-142", "dwight-1936", "nec-250-53", "nec-250-52-rod"),
    assumptions=(
        "Equal rods in uniform soil, in a line, ring or square; farther apart they do better.",
        "Between printed numbers the factor of the next larger one is taken.",
        "There is no limit of 25 ohm for two rods and more; all are tied into one system.",
    ),
    compute=_compute,
    refuse=_refuse,
)
