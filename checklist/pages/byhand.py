"""What a sum done by hand comes to: when it is over, a caution or not shown, in words.

A calculation compares in its code; on paper people compare, and must be told with what. The
values themselves are printed below each sum, from the book. Every calculation stops as well when
an input that it asks for is unknown, which the form says once for all of them.
"""

from __future__ import annotations

OVER, CAUTION, NOT_SHOWN = "Over", "Caution", "Not shown"
HERE = "Here"
"""What a sign in the formula stands for."""

Sentence = tuple[str, str]
"""What it comes to, and when."""

BY_HAND: dict[str, tuple[Sentence, ...]] = {
    "hoist-loads": (
        (OVER, "if any piece is pulled harder than the working load printed on it."),
        (OVER, "if the bridle angle is less than the least angle."),
        (NOT_SHOWN, "if no piece is listed for the rope, for the block, or for a bridle in use; or "
                    "the bridle's angle is not known."),
    ),
    "wind-load": (
        (HERE, "z is the height, never below the table's lowest; zg its gradient height; V the "
               "speed; Kzt the topographic factor, 1 on level ground; q the pressure."),
        (OVER, "if the wind area is more than the maker's area."),
        (OVER, "if the force is more than the maker's area takes at the maker's wind speed (Kz 1, "
               "Kzt 1)."),
        (OVER, "if the bending moment is more than the maker's moment."),
        (CAUTION, "if the maker's area is known and its wind speed is not."),
        (NOT_SHOWN, "if neither an area nor a moment of the maker's is known, or a moment is and "
                    "the lever arm is not."),
    ),
    "fall-clearance": (
        (OVER, "if the anchor is below the D-ring, whatever the sum says: the fall is longer than "
               "the connector is made for."),
        (OVER, "if the lanyard is longer than the longest free fall."),
        (OVER, "if the clear height is less than the sum, or than the maker's clearance."),
        (CAUTION, "if a retractable hangs level with the D-ring: the maker's clearance is mostly "
                  "for an anchor overhead."),
        (NOT_SHOWN, "if the clearance of a retractable, or the length of a lanyard, is not known."),
    ),
    "power-line-distance": (
        (OVER, "if the distance on the ground is less than the larger of the two."),
        (OVER, "if it is less even with the smallest clearance of the table, while the voltage is "
               "not known."),
        (NOT_SHOWN, "if the voltage is not known: ask the utility. The clearance is the largest "
                    "of the table's, the utility's, and above the voltage named the presumed."),
        (NOT_SHOWN, "above the table's last row, if the utility has not set the clearance."),
    ),
    "ladder-set-back": (
        (OVER, "if the foot stands nearer, or farther out, than the set-back less or more its "
               "tolerance."),
        (OVER, "if one steps off above and the rails reach less high above the landing."),
    ),
    "generator-load": (
        (OVER, "if all running watts together are more than the running rating, derated."),
        (OVER, "if these with the largest extra start are more than the surge rating, derated."),
        (OVER, "if the running loads of a leg are more than the main breaker; or, on a set of two "
               "legs, more than half of the running rating."),
        (OVER, "if a receptacle's running loads are more than its breaker."),
        (CAUTION, "if any of these runs above the high load named below."),
        (CAUTION, "if the largest start on a leg is more than half of the surge rating, on a set "
                  "of two legs."),
        (CAUTION, "if the maker gives no rule for height, or none for heat: nothing is taken off."),
        (NOT_SHOWN, "if the maker has a rule for height or heat and these are not known."),
    ),
    "cord-current": (
        (OVER, "if the current is more than the cord carries, or than the rating of the plug."),
        (OVER, "for hours: if it is more than the plug's rating over the factor for continuous "
               "loads."),
        (CAUTION, "not for hours: if it is above the high load's share of the plug's rating."),
    ),
    "voltage-drop": (
        (OVER, "if the share that is lost is more than the stop's."),
        (CAUTION, "if it is more than the share advised for a circuit or in all."),
        (NOT_SHOWN, "if the gauge has no row in the table."),
    ),
    "generator-fuel": (
        (OVER, "if any petrol stands in or under a dwelling or an attached garage."),
        (OVER, "if more is kept than the federal rule or the local fire code allows, or in a can "
               "larger than the largest."),
        (CAUTION, "if the fuel does not last, or the local limit is not known."),
    ),
    "carbon-monoxide": (
        (HERE, "E is what the engine gives off in mg each hour, V the room in m3, a the air "
               "changes each hour, t the time in hours; C comes out in mg/m3."),
        (OVER, "if the engine runs inside, whatever the sum says, with any door open."),
        (NOT_SHOWN, "in the open air: this sum does not cover it; the distance decides there."),
    ),
    "bleed-down": (
        (HERE, "R is in ohms (one over the sum of one over each), C in farads, V0 the voltage at "
               "the start, V the rest voltage, t in seconds; ln is the natural logarithm."),
        (OVER, "if there is no bleeder: the charge stays until it is taken off."),
        (OVER, "if the time to the rest voltage is longer than the benchmark for the voltage."),
        (CAUTION, "always: write how long it takes with the strongest bleeder open; with one alone "
                  "the charge then stays. Go by the voltage, not by a number of time constants."),
        (NOT_SHOWN, "if a bleeder was not measured: it counts as open."),
    ),
    "meter-category": (
        (OVER, "if the voltage of the meter is less than that of the circuit, or its category is "
               "lower than the place needs."),
        (OVER, "if the meter bears less impulse (row at or below its voltage) than the circuit "
               "brings (row at or above its voltage)."),
        (NOT_SHOWN, "if the voltage of the meter is below the first row."),
        (OVER, "inside high-voltage equipment, and above the table's last row: without a probe "
               "rated above what can be there. Nothing else is asked then."),
        (CAUTION, "always there: no category covers the inside of high-voltage equipment."),
    ),
    "bonding-conductor": (
        (OVER, "if the gauge's number is larger than the one allowed: a larger number is thinner."),
        (OVER, "if aluminium is nearer to earth or masonry than allowed."),
        (CAUTION, "for an antenna's ground: lightning protection asks for a thicker one."),
        (NOT_SHOWN, "if the tables have no row for the material or the circuit, or aluminium's "
                    "distance from earth is not known."),
    ),
    "lead-resonance": (
        (HERE, "c is the speed of light, 299,792,458 m/s (SI, exact); VF the velocity factor; f "
               "the frequency in hertz."),
        (CAUTION, "if the length in quarter waves, at any frequency worked, is near an odd whole "
                  "number, within the share named below."),
        (CAUTION, "if the lead is longer than the short lead's share of the wavelength at the "
                  "highest frequency."),
    ),
    "rod-rule": (
        (OVER, "if a single rod has more resistance than one rod alone may have."),
        (OVER, "if two rods are nearer to each other than they may be."),
        (CAUTION, "with a single rod always; with two where they measure above the same value, or "
                  "their distance is not known."),
        (NOT_SHOWN, "if a single rod was not measured: it gets a second electrode."),
    ),
    "dissimilar-metals": (
        (OVER, "if the metals touch and their difference is more than any place allows."),
        (CAUTION, "if it is more than this place allows; or if a listed piece is between them: "
                  "look at it every year."),
    ),
    "heat-index": (
        (HERE, "T is in degrees Fahrenheit, R in percent. If the simple formula gives 80 or more, "
               "add up the table's nine terms. Then, R below 13 and T 80 to 112: take away "
               "(13 - R) / 4 x the root of (17 - |T - 95|) / 17. R above 85 and T 80 to 87: add "
               "(R - 85) / 10 x (87 - T) / 5 (NWS SR 90-23 and its notes)."),
        (OVER, "if the heat index, in the sun with what full sun adds, reaches the last band."),
        (CAUTION, "if it reaches any other band."),
    ),
    "wind-chill": (
        (HERE, "it counts up to the warmest temperature and above the least wind named below; "
               "otherwise the air's own temperature does."),
        (OVER, "if the colder of air and wind chill is below the temperature of frostbite."),
        (CAUTION, "always: that temperature is from memory."),
    ),
}  # fmt: skip
"""By name of the calculation."""


def judged_by_hand(name: str) -> tuple[str, ...]:
    """Return when a calculation is over, a caution or not shown, a sentence each.

    A calculation that is not here is judged by no hand, and says so.
    """
    said = BY_HAND.get(name)
    if said is None:
        return (f"{NOT_SHOWN}: what it is held against is not told on paper; wait for a laptop.",)
    return tuple(f"{outcome} {when}" for outcome, when in said)
