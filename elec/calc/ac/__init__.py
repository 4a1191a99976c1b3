"""Alternating current: power, supply, legs, cords, demand, motors, which loads fit together."""

from elec.calc.ac.cords import (
    CIRCUITS,
    contact_heating_W,
    contact_resistance_ohm,
    effective_impedance_ohm_per_m,
    loaded_conductors,
    voltage_drop_V,
)
from elec.calc.ac.legs import (
    LEGS,
    LegCurrents,
    connections,
    leg_angles_rad,
    leg_currents_A,
)
from elec.calc.ac.power import (
    current_A,
    inverter_dc_current_A,
    three_phase_current_A,
)
from elec.calc.ac.supply import (
    BEHAVIOURS,
    current_at_supply_A,
    motor_speed_ratio,
    supply_resistance_ohm,
    volts_per_hertz_ratio,
)

__all__ = [
    "BEHAVIOURS",
    "CIRCUITS",
    "LEGS",
    "LegCurrents",
    "connections",
    "contact_heating_W",
    "contact_resistance_ohm",
    "current_A",
    "current_at_supply_A",
    "effective_impedance_ohm_per_m",
    "inverter_dc_current_A",
    "leg_angles_rad",
    "leg_currents_A",
    "loaded_conductors",
    "motor_speed_ratio",
    "supply_resistance_ohm",
    "three_phase_current_A",
    "voltage_drop_V",
    "volts_per_hertz_ratio",
]
