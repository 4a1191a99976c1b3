"""The closed list of quantities, and of the spellings accepted for the units of each.

Read through :mod:`elec.units`. Each spelling stands beside an expression in pint's own names, and
the factors met most in boat files beside those, for pint takes longer to load than to ask.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

__all__ = ["HELD", "QUANTITIES", "Quantity"]


@dataclass(frozen=True)
class Quantity:
    """A kind of value: its working unit, the spellings accepted for it, and its domain."""

    name: str
    words: str
    base: str
    units: Mapping[str, str]
    lowest: float | None
    lowest_included: bool
    highest: float | None
    example: str

    @property
    def accepted(self) -> str:
        """One spelling of every unit accepted, in words; empty for a pure number."""
        first: dict[str, str] = {}
        for spelling, expression in self.units.items():
            first.setdefault(expression, spelling)
        *most, last = first.values()
        return f"{', '.join(most)} or {last}" if most else last


def _unit(expression: str, *spellings: str, words: str = "") -> dict[str, str]:
    """List the spellings of one unit; words are accepted in small, Capital and ALL CAPITALS."""
    cased = [form for w in words.split() for form in (w, w.capitalize(), w.upper())]
    return dict.fromkeys([*spellings, *cased], expression)


_A = _unit("ampere", "A", "a", words="amp amps ampere amperes")
_MILLI_A = _unit("milliampere", "mA", "ma", words="milliamp milliamps")
_KILO_A = _unit("kiloampere", "kA", "ka")
_V = _unit("volt", "V", "v", words="volt volts")
_MILLI_V = _unit("millivolt", "mV", "mv", words="millivolt millivolts")
_KILO_V = _unit("kilovolt", "kV", "kv", "KV")
_W = _unit("watt", "W", "w", words="watt watts")
_KILO_W = _unit("kilowatt", "kW", "kw", "KW", "Kw", words="kilowatt kilowatts")
_MEGA_W = _unit("megawatt", "MW", words="megawatt megawatts")
# Mechanical horsepower, 550 ft lbf/s = 745.7 W; the metric horsepower is not accepted.
_HP = _unit("horsepower", "hp", "HP", "Hp", words="horsepower")
_VA = _unit("volt_ampere", "VA", "va", "V·A", "V A")
_KILO_VA = _unit("kilovolt_ampere", "kVA", "kva", "KVA")
_AH = _unit("ampere_hour", "Ah", "ah", "AH", "A·h", "A h", "amp hours", "amp-hours", "ampere-hours")
_MILLI_AH = _unit("milliampere_hour", "mAh", "mah")
_WH = _unit("watt_hour", "Wh", "wh", "WH", "W·h", "W h", "watt hours", "watt-hours")
_KILO_WH = _unit("kilowatt_hour", "kWh", "kwh", "KWH", "KWh", "kW·h", "kW h")
_M = _unit("meter", "m", words="metre metres meter meters")
_CM = _unit("centimeter", "cm", words="centimetre centimetres centimeter centimeters")
_MM = _unit("millimeter", "mm", words="millimetre millimetres millimeter millimeters")
_FT = _unit("foot", "ft", "FT", "Ft", "ft.", "'", words="foot feet")
_IN = _unit("inch", "in", "IN", "in.", '"', words="inch inches")
_YD = _unit("yard", "yd", words="yard yards")
_MM2 = _unit("millimeter**2", "mm²", "mm2", "mm^2", "sq mm", "sq. mm", "sqmm")
_CMIL = _unit("circular_mil", "cmil", "CM", "circular mils")
_KCMIL = _unit("kilocircular_mil", "kcmil", "MCM", "mcm")
_M2 = _unit("meter**2", "m²", "m2", "m^2", "sq m", "sq. m")
_CM2 = _unit("centimeter**2", "cm²", "cm2", "cm^2", "sq cm", "sq. cm")
_FT2 = _unit("foot**2", "ft²", "ft2", "ft^2", "sq ft", "sq. ft", "sqft")
_H = _unit("hour", "h", "hr", "hrs", words="hour hours")
_MIN = _unit("minute", "min", "mins", words="minute minutes")
_S = _unit("second", "s", "sec", "secs", words="second seconds")
_DAY = _unit("day", "d", words="day days")
_YEAR = _unit("year", "years", words="year years")
# Anode tables count a year of 8760 h; a month is a twelfth of 365.25 days.
_YEAR = _unit("common_year", "yr", words="year years")
_MONTH = _unit("month", "mo", words="month months")
_WEEK = _unit("week", "wk", words="week weeks")
_DEG_C = _unit("degree_Celsius", "°C", "C", "degC", "deg C", "° C", words="celsius")
_DEG_F = _unit("degree_Fahrenheit", "°F", "F", "degF", "deg F", "° F", words="fahrenheit")
_K = _unit("kelvin", "K", words="kelvin")
_DELTA_C = _unit("delta_degree_Celsius", "Δ°C", "delta degC", "delta °C", "delta C")
_DELTA_F = _unit("delta_degree_Fahrenheit", "Δ°F", "delta degF", "delta °F", "delta F")
_PERCENT = _unit("percent", "%", "per cent", "pct", words="percent")
# Input or cooling by the thermal unit of the International Table; "BTU" on a plate means BTU/h.
_BTU_H = _unit(
    "Btu/hour", "BTU/h", "Btu/h", "btu/h", "BTU/hr", "Btu/hr", "BTUH", "BTU", "Btu", "btu"
)
_OHM = _unit("ohm", "ohm", "Ω", "ohms", "Ohm", "Ohms")
_MILLI_OHM = _unit("milliohm", "mΩ", "mohm", "mohms", words="milliohm milliohms")
_MICRO_OHM = _unit("microohm", "µΩ", "µohm", "uohm", "uΩ", words="microohm microohms")
_OHM_M = _unit("ohm*meter", "ohm·m", "Ω·m", "ohm m", "Ω m", "ohm.m", "ohm*m")
_OHM_CM = _unit("ohm*centimeter", "ohm·cm", "Ω·cm", "ohm cm", "Ω cm", "ohm.cm", "ohm*cm")
_CCA = _unit("ampere", "CCA", "cca", "A CCA", "A cca")
_HZ = _unit("hertz", "Hz", "hz", "HZ", words="hertz")
_KG = _unit("kilogram", "kg", "KG", "Kg", words="kilogram kilograms")
_G = _unit("gram", "g", words="gram grams")
_LB = _unit("pound", "lb", "lbs", "LB", "LBS", words="pound pounds")
_PSU = _unit("gram/kilogram", "PSU", "psu", "g/kg", "ppt", "‰")
_A_M2 = _unit("ampere/meter**2", "A/m²", "A/m2", "A/m^2")
_MILLI_A_M2 = _unit("milliampere/meter**2", "mA/m²", "mA/m2", "mA/m^2")
_MILLI_A_FT2 = _unit("milliampere/foot**2", "mA/ft²", "mA/ft2", "mA/sq ft")
_MICRO_A_CM2 = _unit("microampere/centimeter**2", "µA/cm²", "uA/cm2", "µA/cm2")
_M3_H = _unit("meter**3/hour", "m³/h", "m3/h", "m^3/h")
_L_S = _unit("liter/second", "L/s", "l/s")
_L_MIN = _unit("liter/minute", "L/min", "l/min")
_L = _unit("liter", "L", "l", words="litre litres liter liters")
_GAL = _unit("gallon", "gal", "US gal", words="gallon gallons")
_L_H = _unit("liter/hour", "L/h", "l/h", "L/hr", "l/hr")
_GAL_H = _unit("gallon/hour", "gal/h", "gal/hr", "gph", "GPH")
_KN = _unit("knot", "kn", "kt", "kts", words="knot knots")
_M_S = _unit("meter/second", "m/s")


def _quantity(
    name: str,
    words: str,
    base: str,
    example: str,
    *units: dict[str, str],
    lowest: float | None = 0.0,
    lowest_included: bool = True,
    highest: float | None = None,
) -> Quantity:
    spellings: dict[str, str] = {}
    for unit in units:
        spellings.update(unit)
    return Quantity(
        name, words, base, MappingProxyType(spellings), lowest, lowest_included, highest, example
    )


_above_zero = partial(_quantity, lowest_included=False)


#: Every quantity that can be given, by name.
QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        quantity.name: quantity
        for quantity in (
            _quantity("current", "a current", "A", "50 A", _A, _MILLI_A, _KILO_A),
            _above_zero("voltage", "a voltage", "V", "24 V", _V, _MILLI_V, _KILO_V),
            _quantity("potential", "a potential", "V", "-0.41 V", _V, _MILLI_V, lowest=None),
            _quantity("power", "a power", "W", "1500 W", _W, _KILO_W, _MEGA_W, _HP),
            _quantity("apparent_power", "an apparent power", "VA", "1250 VA", _VA, _KILO_VA),
            _quantity("charge", "a charge", "Ah", "245 Ah", _AH, _MILLI_AH),
            _quantity("energy", "an energy", "Wh", "1350 Wh", _WH, _KILO_WH),
            _above_zero("length", "a length", "m", "12 m", _M, _CM, _MM, _FT, _IN, _YD),
            _quantity("altitude", "an altitude", "m", "350 m", _M, _FT),
            _above_zero("area", "a conductor area", "mm²", "35 mm²", _MM2, _CMIL, _KCMIL),
            _above_zero("surface", "a surface", "m²", "2.5 m²", _M2, _CM2, _FT2),
            _quantity("duration", "a time", "h", "24 h", _H, _MIN, _S, _DAY),
            _above_zero(
                "life", "a time in service", "h", "8 months", _H, _DAY, _WEEK, _MONTH, _YEAR
            ),
            _quantity(
                "current_density",
                "a current density",
                "A/m²",
                "20 mA/m²",
                _A_M2,
                _MILLI_A_M2,
                _MILLI_A_FT2,
                _MICRO_A_CM2,
            ),
            _quantity("age", "an age", "years", "7 years", _YEAR),
            _quantity(
                "temperature", "a temperature", "°C", "30 °C", _DEG_C, _DEG_F, _K, lowest=-273.15
            ),
            _quantity(
                "temperature_difference",
                "a temperature difference",
                "K",
                "5 K",
                _K,
                _DELTA_C,
                _DELTA_F,
                lowest=None,
            ),
            _quantity("fraction", "a percentage", "fraction", "50 %", _PERCENT, highest=1.0),
            _quantity("percentage", "a percentage", "fraction", "3 %", _PERCENT),
            _above_zero("cooling", "a cooling capacity", "W", "16000 BTU/h", _BTU_H, _W, _KILO_W),
            _quantity(
                "resistance", "a resistance", "ohm", "9.2 mohm", _OHM, _MILLI_OHM, _MICRO_OHM
            ),
            _above_zero("resistivity", "a resistivity", "ohm·m", "0.2 ohm·m", _OHM_M, _OHM_CM),
            _above_zero("cranking", "a cold cranking current", "CCA", "650 CCA", _CCA),
            _above_zero("frequency", "a frequency", "Hz", "60 Hz", _HZ),
            _quantity("mass", "a mass", "kg", "2.5 kg", _KG, _G, _LB),
            _quantity("ratio", "a pure number", "", "0.8", _unit("dimensionless", "")),
            _quantity("presence", "a yes or no", "", "1", _unit("dimensionless", "")),
            _quantity("salinity", "a salinity", "g/kg", "35 PSU", _PSU),
            _quantity("flow", "a flow", "m³/h", "3 m³/h", _M3_H, _L_S, _L_MIN),
            _quantity("volume", "a volume", "L", "80 L", _L, _GAL),
            _quantity("fuel_rate", "a fuel rate", "L/h", "5.5 L/h", _L_H, _GAL_H),
            _quantity("speed", "a speed", "m/s", "6 kn", _M_S, _KN),
        )
    }
)

#: Factor to the working unit, exact by definition (the circular mil to 20 digits), and offset if
#: there is one: by working unit and unit, in pint's names. Pint is asked for all others.
HELD: Mapping[str, Mapping[str, str]] = {
    "ampere": {"milliampere": "0.001", "kiloampere": "1000"},
    "volt": {"millivolt": "0.001", "kilovolt": "1000"},
    "watt": {"kilowatt": "1000", "megawatt": "1000000", "Btu/hour": "65941/225000"},
    "volt_ampere": {"kilovolt_ampere": "1000"},
    "ampere_hour": {"milliampere_hour": "0.001"},
    "watt_hour": {"kilowatt_hour": "1000"},
    "meter": {"centimeter": "0.01", "millimeter": "0.001", "foot": "0.3048", "inch": "0.0254"},
    "millimeter**2": {
        "circular_mil": "5.0670747909749775143e-4",
        "kilocircular_mil": "0.50670747909749775143",
    },
    "meter**2": {"centimeter**2": "0.0001", "foot**2": "0.09290304"},
    "hour": {"minute": "1/60", "second": "1/3600", "day": "24", "common_year": "8760"},
    "degree_Celsius": {"degree_Fahrenheit": "5/9 -160/9"},
    "dimensionless": {"percent": "0.01"},
    "ohm": {"milliohm": "0.001", "microohm": "0.000001"},
    "kilogram": {"gram": "0.001", "pound": "0.45359237"},
}
