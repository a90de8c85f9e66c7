"""Every calculation by its name."""

from __future__ import annotations

import difflib

from checklist.calculations.electrical.carbon_monoxide import CARBON_MONOXIDE
from checklist.calculations.electrical.cord_current import CORD_CURRENT
from checklist.calculations.electrical.generator_fuel import GENERATOR_FUEL
from checklist.calculations.electrical.generator_load import GENERATOR_LOAD
from checklist.calculations.electrical.voltage_drop import VOLTAGE_DROP
from checklist.calculations.kinds import Calculation
from checklist.calculations.refusals import UnknownCalculation
from checklist.calculations.tower.fall_clearance import FALL_CLEARANCE
from checklist.calculations.tower.hoist_loads import HOIST_LOADS
from checklist.calculations.tower.ladder_set_back import LADDER_SET_BACK
from checklist.calculations.tower.power_line_distance import POWER_LINE_DISTANCE
from checklist.calculations.tower.wind_load import WIND_LOAD

CALCULATIONS: dict[str, Calculation] = {
    calculation.name: calculation
    for calculation in (
        GENERATOR_LOAD,
        CORD_CURRENT,
        VOLTAGE_DROP,
        CARBON_MONOXIDE,
        GENERATOR_FUEL,
        POWER_LINE_DISTANCE,
        WIND_LOAD,
        FALL_CLEARANCE,
        HOIST_LOADS,
        LADDER_SET_BACK,
    )
}
"""In the order in which they are listed to people."""


def calculation_named(name: str) -> Calculation:
    """Return the calculation of that name; raises UnknownCalculation with the nearest names."""
    found = CALCULATIONS.get(name)
    if found is not None:
        return found
    near = difflib.get_close_matches(name.casefold(), CALCULATIONS, n=3, cutoff=0.5)
    raise UnknownCalculation(
        f"there is no calculation “{name}”",
        right=f"There are {', '.join(near or CALCULATIONS)}.",
    )
