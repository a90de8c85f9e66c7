"""The power density of one antenna at one distance, by formula, held against a limit."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, Number, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book, Cited, Value

_INPUTS = (
    Input("power", "the average power at the antenna, duty and feed line counted", "power",
          "100 W", most="100 kW"),
    Input("gain", "the gain of the antenna toward the place", "gain", "6 dBi", least="-60 dBi",
          most="60 dBi"),
    Input("distance", "from the nearest part of the antenna to the nearest part of a body",
          "length", "20 m", most="100 km"),
    Input("frequency", "the frequency, to see whether the formula holds that near", "frequency",
          "146 MHz", least="1 kHz", most="300 GHz"),
    Input("ground", "what the ground may add", example="full",
          choices={"full": "it may reflect the whole wave in phase",
                   "partial": "a field reflection of 0.6, where that is shown to suffice",
                   "none": "free space, nothing reflects"}),
    Input("tier", "whose limit of 47 CFR 1.1310 counts; or give the limit of another set",
          example="uncontrolled", optional=True,
          choices={"controlled": "people who know of it and can act",
                   "uncontrolled": "everybody else"}),
    Input("limit", "in place of a tier: a limit at that frequency, as power density",
          "power density", "0.2 mW/cm2", optional=True, most="100000 W/m2"),
)  # fmt: skip

_FCC = "limits/fcc-1310.yaml"
_FACTORS = {"full": "exposure/full-reflection", "partial": "exposure/partial-reflection"}


def _refuse(inputs: Given) -> None:
    has_tier = bool(inputs.word("tier")) or "tier" in inputs.unknown
    has_limit = inputs.quantity("limit") is not None or "limit" in inputs.unknown
    if has_tier and has_limit:
        raise InputRefused("limit", "a tier was given too", right="Give one of the two.")
    if not has_tier and not has_limit:
        raise InputRefused("tier", "nothing was given", right="Give it, or a limit.")


def _compute(inputs: Given, book: Book) -> Result:
    # Loaded late: the engine's package takes longer to load than all calculations together.
    from checklist.calculations.exposure.far import density_w_m2

    judgement = Judgement()
    names = ("power", "gain", "distance", "frequency")
    for name in names:
        if inputs.quantity(name) is None:
            judgement.unknown(f"the {name}")
    ground = inputs.word("ground")
    if not ground:
        judgement.unknown("what the ground adds")
    power, gain, distance, frequency = (inputs.quantity(name) for name in names)
    tier, typed = inputs.word("tier"), inputs.quantity("limit")
    limit: Number | None = typed or _of_tier(judgement, tier, frequency, book)
    least = _near_field(judgement, distance, frequency)
    if power is None or gain is None or distance is None:
        return judgement.result()
    # Where it is not known what the ground adds, all of it is counted.
    factor = _factor(judgement, ground or "full", book)
    times = 10 ** (gain.number("dBi") / 10)
    judgement.lines.append(f"gain: 10^({gain.number('dBi'):.6g} dBi / 10) = {times:.5g}")
    unit = limit.unit.symbol if isinstance(limit, Quantity) else "mW/cm2"
    watts, metres = power.number("W"), distance.number("m")
    density = _in(density_w_m2(watts, times, metres, factor), unit)
    judgement.lines.append(f"distance: {distance.text()} = {metres:.6g} m")
    judgement.lines.append(
        f"S = {factor:g} x {watts:.6g} W x {times:.5g} / (4 pi x ({metres:.6g} m)^2) = "
        f"{near(_in(density_w_m2(watts, times, metres, factor), 'W/m2'))} = {near(density)}"
    )
    judgement.output("density", "power density at the place", density)
    if limit is not None:
        words = f"the {tier} limit of 47 CFR 1.1310" if tier else "the limit that was given"
        meets = _hold(judgement, (watts, times, factor), density, (limit, words))
        if least is not None and meets.si < least.si:
            judgement.caution(
                f"The limit is met at {near(meets)} by the formula, which is not shown to hold "
                f"within {high(least)}."
            )
    return judgement.result()


def _of_tier(
    judgement: Judgement, tier: str, frequency: Quantity | None, book: Book
) -> Computed | None:
    """Return the limit of 47 CFR 1.1310 at a frequency, or None where it is not shown."""
    from checklist.calculations.exposure.limitfile import load_limits
    from checklist.calculations.exposure.limits import NotCovered, Tier

    text = book.limit_texts.get(_FCC)
    if not tier:
        judgement.unknown("the limit")
    if not tier or frequency is None:
        return None
    if text is None:
        judgement.unknown("the limit", "is not at hand here; give it as power density")
        return None
    found = load_limits({_FCC: text}, book.sources)["fcc-1310"]
    try:
        rows = found.at(frequency.number("Hz"), Tier(tier))
    except NotCovered as refused:
        judgement.unknown("the limit", f"cannot be said: {refused.what}")
        return None
    least = min(row.s_w_m2 for row in rows if row.s_w_m2 is not None)
    limit = _in(least, "mW/cm2")
    cited = Cited(
        f"limits/fcc-1310/{tier}",
        near(limit),
        f"{tier} limit at {frequency.text()}, as power density",
        found.source.citation(),
        found.source.standing,
    )
    judgement.lines.append(f"{cited.means}: {near(limit)}")
    judgement.value(Value(limit.quantity, cited, found.source))
    return limit


def _factor(judgement: Judgement, ground: str, book: Book) -> float:
    if ground == "none":
        judgement.caution("Free space: over any ground the wave that it reflects comes on top.")
        return 1.0
    factor = judgement.value(book.value(_FACTORS[ground])).number("1")
    if ground == "partial":
        judgement.caution(
            f"A factor of {factor:g} suffices under a Yagi overhead and beside a vertical; "
            "elsewhere the whole reflection counts."
        )
    judgement.lines.append(f"the ground, {ground} reflection: factor {factor:g}")
    return factor


def _near_field(
    judgement: Judgement, distance: Quantity | None, frequency: Quantity | None
) -> Computed | None:
    """Say that the formula is not shown to hold nearer than a wavelength over 2 pi."""
    from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
    from checklist.calculations.exposure.exempt import quasi_static_m

    if frequency is None:
        return None
    hertz = frequency.number("Hz")
    least = Computed(Fraction(quasi_static_m(hertz)), "m")
    judgement.lines.append(
        f"wavelength / (2 pi): {SPEED_OF_LIGHT:.0f} m/s / {frequency.text()} / (2 pi) = "
        f"{near(least)}"
    )
    if distance is not None and distance.si < least.si:
        judgement.unknown(
            "the formula that near",
            f"is not shown to hold within {high(least)}; the station's own evaluation computes "
            "from the currents on the wires",
        )
    return least


def _hold(
    judgement: Judgement,
    source: tuple[float, float, float],
    density: Computed,
    held: tuple[Number, str],
) -> Computed:
    """Hold the density against the limit, and return the distance at which it is met."""
    from checklist.calculations.exposure.far import distance_m

    (watts, times, factor), (limit, words) = source, held
    allowed = float(limit.si)
    meets = Computed(Fraction(distance_m(watts, times, allowed, factor)), "m")
    judgement.lines.append(
        f"the limit is met at the square root of {factor:g} x {watts:.6g} W x {times:.5g} / (4 pi "
        f"x {allowed:.6g} W/m2) = {near(meets)}"
    )
    judgement.output("meets", "distance from which the limit is met", meets)
    share = Computed(density.si / limit.si * 100, "%")
    judgement.lines.append(f"share: {near(density)} / {near(limit)} = {near(share)}")
    judgement.output("share", "share of the limit", share)
    judgement.at_most("power density", density, limit, words)
    return meets


def _in(w_m2: float, unit: str) -> Computed:
    per = Computed(Fraction(1), unit).si
    return Computed(Fraction(w_m2) / per, unit)


POWER_DENSITY = Calculation(
    name="power-density",
    title="Power density in the far field",
    version=1,
    inputs=_INPUTS,
    formula="S = F P G / (4 pi R^2) (W/m2, P in W, R in m), G as a ratio over isotropic, F 4 "
    "where the ground may reflect the whole wave, 2.56 for a field reflection of 0.6, 1"
    " in free space",
    sources=("oet-65", "fcc-1310", "near-field-comparison", "speed-of-light"),
    assumptions=(
        "The far field of one emission; several add up as shares of their own limits.",
        "Close to wires the formula errs in both directions: under a low dipole, an inverted V, a "
        "loop or a shortened antenna only a computation from the currents tells.",
        "Power counts as averaged over the averaging time of the limit.",
        "It is for learning; a station is evaluated from its station file.",
    ),
    compute=_compute,
    refuse=_refuse,
    only_stops=True,
)
