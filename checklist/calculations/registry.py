"""Every calculation by its name."""

from __future__ import annotations

import difflib

from checklist.calculations.bonding.antenna_wire import ANTENNA_WIRE
from checklist.calculations.bonding.bonding_conductor import BONDING_CONDUCTOR
from checklist.calculations.bonding.dissimilar_metals import DISSIMILAR_METALS
from checklist.calculations.bonding.earth_fault import EARTH_FAULT
from checklist.calculations.bonding.earth_rod import EARTH_ROD
from checklist.calculations.bonding.earth_rods import EARTH_RODS
from checklist.calculations.bonding.fall_of_potential import FALL_OF_POTENTIAL
from checklist.calculations.bonding.lead_inductance import LEAD_INDUCTANCE
from checklist.calculations.bonding.lead_resonance import LEAD_RESONANCE
from checklist.calculations.bonding.rod_rule import ROD_RULE
from checklist.calculations.bonding.side_flash import SIDE_FLASH
from checklist.calculations.bonding.soil_resistivity import SOIL_RESISTIVITY
from checklist.calculations.electrical.alarm_window import CO_ALARM
from checklist.calculations.electrical.battery_fuse import BATTERY_FUSE
from checklist.calculations.electrical.battery_ventilation import BATTERY_VENTILATION
from checklist.calculations.electrical.bleed_down import BLEED_DOWN
from checklist.calculations.electrical.bleeder_power import BLEEDER_POWER
from checklist.calculations.electrical.body_current import BODY_CURRENT
from checklist.calculations.electrical.carbon_monoxide import CARBON_MONOXIDE
from checklist.calculations.electrical.conductor_ampacity import CONDUCTOR_AMPACITY
from checklist.calculations.electrical.cord_current import CORD_CURRENT
from checklist.calculations.electrical.generator_fuel import GENERATOR_FUEL
from checklist.calculations.electrical.generator_load import GENERATOR_LOAD
from checklist.calculations.electrical.generator_neutral import GENERATOR_NEUTRAL
from checklist.calculations.electrical.ground_fault_trip import GROUND_FAULT_TRIP
from checklist.calculations.electrical.meter_category import METER_CATEGORY
from checklist.calculations.electrical.stored_energy import STORED_ENERGY
from checklist.calculations.electrical.voltage_drop import VOLTAGE_DROP
from checklist.calculations.kinds import Calculation
from checklist.calculations.radio.exemption import EXEMPTION
from checklist.calculations.radio.power_density import POWER_DENSITY
from checklist.calculations.refusals import UnknownCalculation
from checklist.calculations.tower.anchor import ANCHOR
from checklist.calculations.tower.fall_clearance import FALL_CLEARANCE
from checklist.calculations.tower.guy_tension import GUY_TENSION
from checklist.calculations.tower.hoist_loads import HOIST_LOADS
from checklist.calculations.tower.ladder_set_back import LADDER_SET_BACK
from checklist.calculations.tower.line_approach import LINE_APPROACH
from checklist.calculations.tower.power_line_distance import POWER_LINE_DISTANCE
from checklist.calculations.tower.wind_load import WIND_LOAD
from checklist.calculations.weather.heat_index import HEAT_INDEX
from checklist.calculations.weather.lightning import LIGHTNING
from checklist.calculations.weather.wind_chill import WIND_CHILL
from checklist.calculations.weather.wind_limit import WIND_LIMIT

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
        STORED_ENERGY,
        BLEED_DOWN,
        BLEEDER_POWER,
        BODY_CURRENT,
        GROUND_FAULT_TRIP,
        METER_CATEGORY,
        CONDUCTOR_AMPACITY,
        GENERATOR_NEUTRAL,
        CO_ALARM,
        BATTERY_FUSE,
        BATTERY_VENTILATION,
        EARTH_ROD,
        EARTH_RODS,
        ROD_RULE,
        SOIL_RESISTIVITY,
        FALL_OF_POTENTIAL,
        EARTH_FAULT,
        BONDING_CONDUCTOR,
        ANTENNA_WIRE,
        LEAD_INDUCTANCE,
        LEAD_RESONANCE,
        DISSIMILAR_METALS,
        SIDE_FLASH,
        ANCHOR,
        GUY_TENSION,
        LINE_APPROACH,
        LIGHTNING,
        WIND_LIMIT,
        HEAT_INDEX,
        WIND_CHILL,
        POWER_DENSITY,
        EXEMPTION,
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
