"""Alternating current: power, supply, legs, cords, demand, motors, which loads fit together."""

from elec.calc.ac.cords import (
    CIRCUITS,
    contact_heating_W,
    contact_resistance_ohm,
    cord_ampacity_A,
    effective_impedance_ohm_per_m,
    loaded_conductors,
    reactance_at_frequency_ohm_per_m,
    voltage_drop_V,
)
from elec.calc.ac.legs import (
    LEGS,
    LegCurrents,
    connections,
    leg_angles_rad,
    leg_currents_A,
    line_to_line_V,
    neutral_current_A,
)
from elec.calc.ac.power import (
    apparent_power_VA,
    current_A,
    inverter_dc_current_A,
    power_factor,
    reactive_power_var,
    three_phase_apparent_power_VA,
    three_phase_current_A,
)
from elec.calc.ac.supply import (
    BEHAVIOURS,
    current_at_supply_A,
    motor_speed_ratio,
    power_at_supply_W,
    supply_resistance_ohm,
    volts_per_hertz_ratio,
)

__all__ = [
    "BEHAVIOURS",
    "CIRCUITS",
    "LEGS",
    "LegCurrents",
    "apparent_power_VA",
    "connections",
    "contact_heating_W",
    "contact_resistance_ohm",
    "cord_ampacity_A",
    "current_A",
    "current_at_supply_A",
    "effective_impedance_ohm_per_m",
    "inverter_dc_current_A",
    "leg_angles_rad",
    "leg_currents_A",
    "line_to_line_V",
    "loaded_conductors",
    "motor_speed_ratio",
    "neutral_current_A",
    "power_at_supply_W",
    "power_factor",
    "reactance_at_frequency_ohm_per_m",
    "reactive_power_var",
    "supply_resistance_ohm",
    "three_phase_apparent_power_VA",
    "three_phase_current_A",
    "voltage_drop_V",
    "volts_per_hertz_ratio",
]
