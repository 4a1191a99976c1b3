"""Tables of batteries and corrosion, recomputed from what others publish.

Each check names the publication or the law of nature that it holds a table against. A printed value
may differ from its formula by half of its last printed digit, unless a wider rounding is named.
Checks of the same tables through the calculations stand beside this file.
"""

from __future__ import annotations

import math
import re
from itertools import pairwise

import numpy as np
import pytest

from elec.published import table
from made import FOOT_M, POUND_KG, YEAR_H, half_digit, holds, pairs

FARADAY_C_PER_MOL = 96485.332  # CODATA 2018
GAS_J_PER_MOL_K = 8.314463  # CODATA 2018


# -- temperature -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "fahrenheit", "celsius"),
    [
        ("temperature_size_factor_ieee485", "electrolyte_temp_F", "electrolyte_temp_C"),
        (
            "capacity_test_factor_ieee450_time_adjusted",
            "initial_electrolyte_temp_F",
            "initial_electrolyte_temp_C",
        ),
        ("hydrometer_temperature_correction", "electrolyte_temp_F", "electrolyte_temp_C"),
        ("ocv_sg_soc_temperature_lead_acid", "electrolyte_temp_F", "electrolyte_temp_C"),
        ("cranking_power_vs_temperature", "temp_F", "temp_C"),
        ("electrolyte_freezing", "freezing_point_F", "freezing_point_C"),
    ],
)
def test_celsius_beside_fahrenheit(name: str, fahrenheit: str, celsius: str) -> None:
    for printed_F, printed_C in pairs(table(name), fahrenheit, celsius):
        holds(printed_C, (float(printed_F) - 32) / 1.8)


def test_celsius_of_the_cold_worksheets_has_one_slip() -> None:
    slips = []
    for printed_F, printed_C in pairs(
        table("cold_size_multiplier_trade_worksheets"),
        "winter_ambient_temp_F",
        "winter_ambient_temp_C",
    ):
        exact = (float(printed_F) - 32) / 1.8
        if abs(float(printed_C) - exact) > half_digit(printed_C):
            slips.append((printed_F, printed_C))
    assert slips == [("70", "21.2")]  # 21.1; the worksheets print it so


def test_fahrenheit_of_the_load_test_is_rounded_to_tens() -> None:
    for celsius, fahrenheit in pairs(
        table("load_test_min_voltage"), "battery_temp_C", "battery_temp_F_nominal"
    ):
        assert abs(1.8 * float(celsius) + 32 - float(fahrenheit)) <= 2


def dataset_factor(celsius: np.ndarray) -> np.ndarray:
    dataset = table("capacity_vs_temperature_dataset").where(chemistry="lead-acid")
    capacity = dataset.linear("cell_temp_C", "capacity_pct_of_rated", celsius)
    base = dataset.linear("cell_temp_C", "capacity_pct_of_rated", 25.0)
    return base / capacity


def test_size_factor_of_ieee_485_against_an_open_dataset() -> None:
    # NREL-PySAM 7.1, BatteryStateful, default lead-acid capacity against temperature
    sizes = table("temperature_size_factor_ieee485")
    celsius, factor = sizes.numbers("electrolyte_temp_C"), sizes.numbers("size_multiplier")
    inside = celsius < 48.0  # the dataset ends at 48.04 °C
    celsius, factor = celsius[inside], factor[inside]
    apart = factor / dataset_factor(celsius) - 1
    assert np.abs(apart[(celsius >= 1.7) & (celsius <= 32.2)]).max() < 0.01
    assert np.abs(apart[celsius >= -1.2]).max() < 0.022
    assert apart[0] == pytest.approx(0.04, abs=0.005)  # the standard is the more cautious
    beside = sizes.numbers("independent_dataset_multiplier")[inside]
    assert beside == pytest.approx(dataset_factor(celsius), abs=0.0015)  # rounded temperatures
    assert sizes.exact("size_multiplier", electrolyte_temp_F="77") == 1


def test_factor_of_a_capacity_test_is_not_the_reciprocal_of_the_size_factor() -> None:
    # IEEE 450 and 1188, time-adjusted method, beside IEEE Std 485 Table 1
    sizes, tests = (
        dict(pairs(table(name), fahrenheit, factor))
        for name, fahrenheit, factor in (
            ("temperature_size_factor_ieee485", "electrolyte_temp_F", "size_multiplier"),
            (
                "capacity_test_factor_ieee450_time_adjusted",
                "initial_electrolyte_temp_F",
                "KT_time_adjusted",
            ),
        )
    )
    product = {int(t): float(tests[t]) * float(sizes[t]) for t in tests}
    assert len(product) == 37
    assert product[77] == 1
    assert product[40] == pytest.approx(0.670 * 1.30)
    assert all(value < 0.98 for t, value in product.items() if t <= 60)
    assert all(value > 1.02 for t, value in product.items() if t >= 110)


def test_cold_worksheets_against_ieee_485() -> None:
    # three worksheets for solar batteries, base 80 °F, beside IEEE Std 485 Table 1, base 77 °F
    sizes = dict(
        pairs(table("temperature_size_factor_ieee485"), "electrolyte_temp_F", "size_multiplier")
    )
    apart = {
        fahrenheit: float(factor) - float(sizes[fahrenheit])
        for fahrenheit, factor in pairs(
            table("cold_size_multiplier_trade_worksheets"),
            "winter_ambient_temp_F",
            "bank_size_multiplier",
        )
        if fahrenheit in sizes
    }
    assert apart == pytest.approx(
        {"80": 0.02, "70": 0, "60": 0, "50": 0, "40": 0, "30": -0.03}, abs=1e-9
    )


# -- acid ------------------------------------------------------------------------------------------


def test_hydrometer_correction_is_four_points_per_ten_degrees() -> None:
    # service-manual rule: 0.004 for each 10 °F from 80 °F
    corrections = table("hydrometer_temperature_correction")
    for fahrenheit, printed in pairs(corrections, "electrolyte_temp_F", "add_to_sg_reading"):
        assert float(printed) == pytest.approx(0.0004 * (float(fahrenheit) - 80), abs=1e-9)
    # Bureau of Reclamation FIST 3-6: 0.001 per 3 °F from 77 °F; the slopes are a sixth apart
    reclamation = (corrections.numbers("electrolyte_temp_F") - 77) / 3000
    apart = np.abs(corrections.numbers("add_to_sg_reading") - reclamation)
    assert apart.max() == pytest.approx(0.0063, abs=1e-4)
    near = np.abs(corrections.numbers("electrolyte_temp_F") - 80) <= 20
    assert apart[near].max() < 0.003


def test_chart_of_rested_voltage_moves_with_temperature_as_the_hydrometer_does() -> None:
    chart = table("ocv_sg_soc_temperature_lead_acid")
    at_80 = chart.where(electrolyte_temp_F="80")
    for row in chart.rows():
        base = at_80.exact("hydrometer_reading_sg", soc_pct=row["soc_pct"])
        moved = float(row["hydrometer_reading_sg"]) - base
        assert moved == pytest.approx(0.0004 * (80 - float(row["electrolyte_temp_F"])), abs=1e-9)
        holds(
            row["ocv_gel_12V_block_V"],
            at_80.exact("ocv_gel_12V_block_V", soc_pct=row["soc_pct"])
            + float(row["ocv_flooded_12V_block_V"])
            - at_80.exact("ocv_flooded_12V_block_V", soc_pct=row["soc_pct"]),
        )
    full = chart.where(soc_pct="100")
    assert full.exact("ocv_flooded_12V_block_V", electrolyte_temp_F="0") - full.exact(
        "ocv_flooded_12V_block_V", electrolyte_temp_F="80"
    ) == pytest.approx(-0.134)


def test_chart_at_80_F_is_the_table_of_the_battery_council() -> None:
    # BCI table as republished in a deep-cycle FAQ: 12.65, 12.45, 12.24, 12.06, 11.89 V
    chart = table("ocv_sg_soc_temperature_lead_acid").where(electrolyte_temp_F="80")
    printed = [12.65, 12.45, 12.24, 12.06, 11.89]
    assert chart.numbers("ocv_flooded_12V_block_V") == pytest.approx(printed)
    faq = table("ocv_soc_published_comparison_12V").where(
        source="FAQ with the BCI table, 1.265 when full"
    )
    assert faq.numbers("ocv_12V_block_V") == pytest.approx(printed)
    frozen = table("electrolyte_freezing").where(source="BCI table, as republished")
    assert frozen.numbers("sg_at_80F") == pytest.approx(chart.numbers("hydrometer_reading_sg"))


def test_rule_of_thumb_from_gravity_holds_only_near_full() -> None:
    # cell voltage = gravity + 0.84, a textbook rule
    chart = table("ocv_sg_soc_temperature_lead_acid").where(electrolyte_temp_F="80")
    rule = 6 * (chart.numbers("hydrometer_reading_sg") + 0.84)
    apart = np.abs(rule - chart.numbers("ocv_flooded_12V_block_V"))
    assert apart[0] == pytest.approx(0.02, abs=1e-6)
    assert apart[-1] == pytest.approx(0.13, abs=1e-6)


def test_publishers_disagree_on_a_half_charged_agm_battery() -> None:
    agm = table("ocv_soc_published_comparison_12V").where(battery_type="agm")
    half = sorted(
        float(agm.where(source=source).linear("soc_pct", "ocv_12V_block_V", 50.0))
        for source in set(agm.text("source"))
    )
    assert half == pytest.approx([12.1, 12.3, 12.3, 12.35])


def test_army_table_of_freezing_is_the_more_cautious_when_low() -> None:
    # Army TM 10-6140-200-14 beside the BCI table as republished, over the gravities of both
    frozen = table("electrolyte_freezing")
    army = frozen.where(source="Army TM 10-6140-200-14")
    council = frozen.where(source="BCI table, as republished")
    low = np.linspace(1.160, 1.180, 5)
    freezes = [t.linear("sg_at_80F", "freezing_point_F", low) for t in (army, council)]
    assert (freezes[0] > freezes[1]).all()
    assert army.exact("freezing_point_F", sg_at_80F="1.16") == 1
    assert council.exact("freezing_point_F", sg_at_80F="1.155") == -16


# -- rates, life, charging -------------------------------------------------------------------------


def test_exponents_by_chemistry_are_the_widest_published_ranges() -> None:
    published = [r for r in table("peukert_exponents").rows() if r["kind"] != "one battery"]
    for row in table("peukert_by_chemistry").rows():
        ranges = [r for r in published if r["battery_type"] == row["chemistry"]]
        assert float(row["exponent_low"]) == min(float(r["exponent_low"]) for r in ranges)
        assert float(row["exponent_high"]) == max(float(r["exponent_high"]) for r in ranges)


def test_charge_return_by_chemistry_spans_what_is_published() -> None:
    published = [
        r
        for r in table("charge_return_and_efficiency").rows()
        if r["quantity"] == "charge returned over charge taken, Ah"
    ]
    lows = {r["condition"]: r["low"] for r in published}
    highs = {r["condition"]: r["high"] for r in published}
    spans = table("charge_return_by_chemistry")
    flooded = "flooded; grows with age and temperature"
    assert spans.row(chemistry="flooded")["ah_in_over_out_low"] == lows[flooded]
    assert spans.row(chemistry="flooded")["ah_in_over_out_high"] == highs[flooded]
    for chemistry in ("gel", "agm"):
        row = spans.row(chemistry=chemistry)
        assert row["ah_in_over_out_low"] == lows["valve-regulated, least"]
        assert row["ah_in_over_out_high"] == highs["estimate of charge time"]
    assert spans.source(chemistry="lfp").read == "practice"


def test_every_published_band_of_chargers_stands_where_it_was_read() -> None:
    read = set(
        pairs(
            table("charge_current_fraction"),
            "low_fraction_of_C20",
            "high_fraction_of_C20",
            "context",
            "source",
        )
    )
    bands = table("charger_fraction_bands")
    for row in bands.rows():
        practice = row["status"].startswith("common practice")
        cells = (row["low_fraction"], row["high_fraction"], row["context"], row["source"])
        assert practice or cells in read
        assert practice == (row["chemistry"] == "lfp" and row["source"] == "none")
    agm = set(pairs(bands.where(chemistry="agm"), "low_fraction", "high_fraction"))
    assert {("0.05", "0.15"), ("0.2", "0.4")} <= agm  # they disagree, and both are kept


def test_charging_voltage_falls_with_heat_as_compensation_has_it() -> None:
    # published compensation: 3 to 5 mV/K per cell; the bands of a charger page imply it
    for battery, low, high in (("agm", 4.0, 5.0), ("gel", 3.5, 4.0)):
        bands = table("charge_voltage_temperature_bands_12V").where(battery_type=battery)
        middle_C = (bands.numbers("band_low_F") + bands.numbers("band_high_F") - 64) / 3.6
        closed = ~np.isnan(middle_C)
        for column in ("charge_standard_V", "float_standard_V"):
            slope = np.polyfit(middle_C[closed], bands.numbers(column)[closed], 1)[0]
            assert low <= -1000 * slope / 6 <= high
        spread = bands.numbers("charge_max_V") - bands.numbers("charge_standard_V")
        assert spread == pytest.approx(0.3)


def test_self_discharge_halves_with_ten_degrees() -> None:
    # handbook Electricity on Board, 2.5
    for warm, cool in pairs(table("self_discharge"), "pct_per_month_20C", "pct_per_month_10C"):
        assert float(warm) == 2 * float(cool)


def test_service_life_halves_with_ten_degrees() -> None:
    # handbook Electricity on Board, 2.5; 25 °C is printed to a tenth or to a whole year
    columns = ("years_at_20C", "years_at_25C", "years_at_30C")
    for cool, mid, warm in pairs(table("service_life_vs_temperature"), *columns):
        assert float(cool) == 2 * float(warm)
        exact = float(cool) / math.sqrt(2)
        assert float(mid) == pytest.approx(exact, abs=0.1 if "." in mid else 0.5)


def test_cycles_fall_with_depth_and_rise_with_the_loss_allowed() -> None:
    # NREL-PySAM 7.1, default cycling matrices
    cycles = table("cycle_life_vs_dod").where(source="NREL-PySAM 7.1, default cycling matrix")
    columns = ("cycles_to_90pct", "cycles_to_80pct", "cycles_to_70pct")
    for row in cycles.rows():
        assert all(float(row[a]) < float(row[b]) for a, b in pairwise(columns) if row[b])
    lead = cycles.where(chemistry="lead-acid")
    for column in columns:
        assert (np.diff(lead.numbers(column)) < 0).all()


def test_voltage_hardly_tells_the_charge_of_lfp() -> None:
    cell = table("voltage_soc_lfp_computed")
    high, low = (
        cell.exact("cell_voltage_C200_discharge_V", soc_pct=charge) for charge in ("90", "40")
    )
    assert 1000 * (high - low) == pytest.approx(62, abs=0.5)
    for one, four in pairs(cell, "cell_voltage_C200_discharge_V", "four_series_V"):
        holds(four, 4 * float(one))


def test_load_test_agrees_with_another_maker_above_freezing() -> None:
    # service manual of another vehicle maker: 9.6 V at 21, 9.4 at 10, 9.1 at -1 °C
    least = table("load_test_min_voltage")
    column = "min_voltage_after_15s_at_half_CCA_12V_block_V"
    for celsius, volts in (("20", 9.6), ("10", 9.4), ("-1", 9.1)):
        assert least.exact(column, battery_temp_C=celsius) == volts


# -- starting, loads, sun, gas ---------------------------------------------------------------------


def test_starting_circuit_as_a_resistance() -> None:
    # SAE J541, as summarised: V per 100 A, and the same in milliohms
    rows = table("starter_circuit_sae_j541")
    for drop, mohm in pairs(
        rows, "max_drop_V_per_100A_at_20C", "equivalent_circuit_resistance_mohm"
    ):
        assert 10 * float(drop) == pytest.approx(float(mohm))
    heavy = rows.where(duty="heavy").numbers("max_drop_V_per_100A_at_20C")
    assert heavy[1] < 2 * heavy[0]


def test_starter_cables_of_a_marine_diesel() -> None:
    # the manual's lengths and areas, with 0.0175 ohm mm²/m (a trade constant for copper)
    rows = table("starter_cable_small_marine_diesel_12V")
    for length, area, mohm, drop in pairs(
        rows,
        "max_total_cable_length_both_poles_m",
        "min_area_mm2",
        "computed_resistance_20C_mohm",
        "computed_drop_V_per_100A",
    ):
        exact = 1000 * 0.0175 * float(length) / float(area)
        holds(mohm, exact)
        holds(drop, exact / 10)
        assert 0.088 <= float(drop) <= 0.093


def test_arithmetic_of_loads() -> None:
    loads = table("dc_loads_typical_12V")
    assert loads.exact("daily_low_Ah", load="autopilot drive") == 5 * 0.30 * 24
    assert loads.exact("daily_low_Ah", load="navigation light, 6 W") == 6 / 12 * 10
    idle = table("inverter_idle_draw")
    for volts, amps, watts in pairs(idle, "dc_voltage_V", "idle_draw_A", "idle_draw_W"):
        if amps:
            assert float(volts) * float(amps) == pytest.approx(float(watts))
    share = idle.numbers("idle_draw_W") / idle.numbers("inverter_rating_W")
    assert share.min() == pytest.approx(0.003)
    assert share.max() == pytest.approx(0.04)
    alternator = table("alternator_hot_cold_example")
    for hot, cold, ratio in pairs(alternator, "hot_output_A", "cold_output_A", "hot_over_cold"):
        if cold:
            holds(ratio, float(hot) / float(cold))


def extraterrestrial_kWh_per_m2(latitude_deg: float, day: int) -> float:
    """Sun above the air on a level square metre: textbook solar geometry, constant 1367 W/m²."""
    latitude = math.radians(latitude_deg)
    declination = math.radians(23.45) * math.sin(2 * math.pi * (284 + day) / 365)
    distance = 1 + 0.033 * math.cos(2 * math.pi * day / 365)
    sunset = math.acos(-math.tan(latitude) * math.tan(declination))
    height = math.cos(latitude) * math.cos(declination) * math.sin(sunset)
    height += sunset * math.sin(latitude) * math.sin(declination)
    return 24 / math.pi * 1.367 * distance * height


def test_clear_sky_lets_most_of_the_sun_through() -> None:
    sun = table("solar_clear_sky_horizontal_pvlib")
    days = {"dec_21_kWh_per_m2": 355, "mar_21_kWh_per_m2": 80, "jun_21_kWh_per_m2": 172}
    for row in sun.rows():
        for column, day in days.items():
            above = extraterrestrial_kWh_per_m2(float(row["latitude_deg_N"]), day)
            # the low sun of midwinter at 55° N loses more than half to the air
            assert 0.4 < float(row[column]) / above < 0.8
        shortest, longest = float(row["dec_21_kWh_per_m2"]), max(float(row[c]) for c in days)
        assert shortest < float(row["annual_mean_kWh_per_m2_day"]) < longest


def test_gas_current_is_its_factors() -> None:
    # EN 50272-2:2001 Table 1: Igas = basic current x fg x fs
    for basic, fg, fs, gas in pairs(
        table("ventilation_igas"),
        "basic_current_mA_per_Ah",
        "gas_emission_factor_fg",
        "safety_factor_fs",
        "Igas_mA_per_Ah",
    ):
        assert float(basic) * float(fg) * float(fs) == pytest.approx(float(gas))


def test_hydrogen_by_faraday() -> None:
    # one mole of gas for two of electrons, ideal gas at one atmosphere
    constants = {r["constant_id"]: r for r in table("ventilation_constants").rows()}

    def value(name: str) -> float:
        return float(constants[name]["value"])

    def hydrogen(celsius: float) -> float:
        moles = 3600 / (2 * FARADAY_C_PER_MOL)
        return moles * GAS_J_PER_MOL_K * (celsius + 273.15) / 101325

    holds(constants["hydrogen_m3_per_Ah_0C"]["value"], hydrogen(0))
    holds(constants["hydrogen_m3_per_Ah_25C"]["value"], hydrogen(25))
    assert value("hydrogen_m3_per_Ah_en50272") == pytest.approx(hydrogen(0), rel=5e-3)
    assert 3600 * value("hydrogen_m3_per_s_ufc") == pytest.approx(hydrogen(25), rel=5e-3)
    per_minute = 60 * FOOT_M**3 * value("hydrogen_ft3_per_min_ufc")
    assert per_minute == pytest.approx(hydrogen(25), rel=5e-3)
    assert FOOT_M**3 * value("hydrogen_ft3_per_Ah_ufc") == pytest.approx(hydrogen(25), rel=1e-2)
    # EN 50272-2: v q s, printed 0.05; 28 cm² for each m³/h is a tenth of a metre per second
    vqs = value("dilution_v") * value("hydrogen_m3_per_Ah_en50272") * value("safety_s")
    holds(constants["vqs"]["value"], vqs)
    holds(
        constants["opening_air_speed"]["value"],
        1 / 3600 / (1e-4 * value("opening_cm2_per_m3_per_h")),
    )
    assert value("ship_flow_valve_regulated") == 0.25 * value("ship_flow_vented")


# -- Faraday ---------------------------------------------------------------------------------------

# IUPAC, standard atomic weights 2021, abridged
ATOMIC_WEIGHTS = {
    "Mg": 24.305,
    "Al": 26.982,
    "Si": 28.085,
    "Ti": 47.867,
    "Cr": 51.996,
    "Mn": 54.938,
    "Fe": 55.845,
    "Ni": 58.693,
    "Cu": 63.546,
    "Zn": 65.38,
    "Mo": 95.95,
    "Ag": 107.87,
    "Cd": 112.41,
    "Sn": 118.71,
    "Pb": 207.2,
}


def test_metal_lost_by_faraday() -> None:
    for row in table("faraday_rates").rows():
        ion = re.fullmatch(r"([A-Z][a-z])(\d?)\+", row["ion"])
        assert ion
        assert row["valence"] == (ion[2] or "1")
        mass = float(row["molar_mass_g_per_mol"])
        assert mass == pytest.approx(ATOMIC_WEIGHTS[ion[1]], rel=5e-5)
        weight, density = mass / float(row["valence"]), float(row["density_g_per_cm3"])
        per_hour = 3600 * weight / FARADAY_C_PER_MOL
        depth = 1e-3 * per_hour * YEAR_H / density
        holds(row["equivalent_weight_g"], weight)
        holds(row["loss_g_per_Ah"], per_hour)
        holds(row["loss_kg_per_A_year_8760h"], 1e-3 * per_hour * YEAR_H)
        holds(row["penetration_mm_per_year_per_A_per_m2"], depth)
        holds(row["penetration_mm_per_year_per_uA_per_cm2"], depth / 100)
        holds(row["theoretical_capacity_Ah_per_kg"], 1000 / per_hour)


# Nominal compositions, mass shares in percent, common practice (no source), 304 that of an example
# of ASTM G102 (from memory).
COMPOSITIONS: dict[str, dict[str, float]] = {
    "S30400": {"Cr": 19, "Ni": 9.25, "Fe": 71.75},
    "S31600": {"Cr": 17, "Ni": 12, "Mo": 2.5, "Fe": 68.5},
    "A95083": {"Mg": 4.45, "Mn": 0.7, "Cr": 0.15, "Al": 94.7},
    "A95086": {"Mg": 4.0, "Mn": 0.45, "Cr": 0.15, "Al": 95.4},
    "A96061": {"Mg": 1.0, "Si": 0.6, "Al": 98.4},
    "C26000": {"Cu": 70, "Zn": 30},
    "C28000": {"Cu": 60, "Zn": 40},
    "C46400": {"Cu": 60, "Zn": 39.25, "Sn": 0.75},
    "C65500": {"Cu": 97, "Si": 3},
    "C63000": {"Cu": 82, "Al": 10, "Ni": 5, "Fe": 3},
    "C70600": {"Cu": 90, "Ni": 10},
    "C71500": {"Cu": 70, "Ni": 30},
    "N04400": {"Ni": 66.5, "Cu": 31.5, "Fe": 2},
}


def test_equivalent_weights_of_alloys() -> None:
    # ASTM G102: EW = 1 / sum(n f / W), and mm/year = 3.27e-3 EW / density for each µA/cm²
    alloys = table("equivalent_weights_alloys")
    assert set(alloys.text("UNS")) == set(COMPOSITIONS)
    for row in alloys.rows():
        parts = COMPOSITIONS[row["UNS"]]
        assert sum(parts.values()) == pytest.approx(100)
        valence = dict(re.findall(r"([A-Z][a-z])(\d)", row["valences"]))
        assert valence.keys() == parts.keys()
        moles = sum(int(valence[e]) * parts[e] / ATOMIC_WEIGHTS[e] for e in parts)
        weight = float(row["equivalent_weight_g_computed"])
        assert weight == pytest.approx(100 / moles, rel=2.5e-3)  # compositions vary
        depth = float(row["penetration_mm_per_year_per_uA_per_cm2_computed"])
        exact = 3.27e-3 * weight / float(row["density_g_per_cm3"])
        assert depth == pytest.approx(exact, abs=0.6e-5)
        if row["ASTM_G102_value_from_memory_g"]:
            assert weight == pytest.approx(float(row["ASTM_G102_value_from_memory_g"]), rel=0.02)


# -- anodes, coatings, protective currents ---------------------------------------------------------


def test_anodes_converted_from_pounds() -> None:
    anodes = table("anode_materials")
    # MIL-HDBK-1004/10: aluminium 7.6 lb/A year; magnesium 8.8 at efficiency 0.50
    for alloy, pounds in (("Al Type III", 7.6), ("Mg", 8.8 / 0.50)):
        row = anodes.row(alloy=alloy)
        holds(row["capacity_Ah_per_kg"], YEAR_H / (pounds * POUND_KG), also=0.5)
    # study guide of a corrosion course: 368 Ah/lb zinc, 1108 Ah/lb aluminium
    for alloy, per_pound in (("Zn MIL-A-18001", 368), ("Al MIL", 1108)):
        holds(anodes.row(alloy=alloy)["capacity_Ah_per_kg"], per_pound / POUND_KG)
    for hours, kg in pairs(anodes, "capacity_Ah_per_kg", "consumption_kg_per_A_year_computed"):
        holds(kg, YEAR_H / float(hours))
    # no metal gives more than Faraday allows: computed column of faraday_rates
    most = {"zinc": 820, "aluminium": 2980, "magnesium": 2205}
    for metal, hours in pairs(anodes, "material", "capacity_Ah_per_kg"):
        assert float(hours) < most[metal]


def test_zinc_drives_more_current_in_the_edition_of_2021() -> None:
    # DNV-RP-B401: against -0.80 V, 0.20 V to the 2017 edition (Table A-6), 0.23 V in 2021 (8-6)
    zinc = table("anode_materials").where(alloy="Zn")
    old, new = (
        -0.80 - zinc.where(environment=water).numbers("closed_circuit_least_negative_V_AgAgCl")[0]
        for water in ("seawater", "seawater up to 30 °C")
    )
    assert old == pytest.approx(0.20)
    assert new / old == pytest.approx(1.15)


def test_bare_steel_needs_most_at_first_and_in_the_cold() -> None:
    # DNV-RP-B401 2005 to 2021: initial > final > mean; arctic never below tropical
    design = table("dnv_b401_current_density")
    columns = ("initial_A_per_m2", "final_A_per_m2", "mean_A_per_m2")
    for row in pairs(design, *columns):
        assert float(row[0]) > float(row[1]) > float(row[2])
    for zone in set(design.text("zone")):
        rows = design.where(zone=zone)
        assert rows.text("climate") == ("tropical", "subtropical", "temperate", "arctic")
        for column in columns:
            assert (np.diff(rows.numbers(column)) >= 0).all()
    assert len(design) == 16


def test_coatings_break_down_less_in_deep_water_and_in_better_classes() -> None:
    # DNV-RP-B401 2021 Table 8-4; ABS guidance notes, December 2017, Table 4
    coatings = table("coating_breakdown")
    ends = [n for n in coatings.columns if n.startswith(("a_", "b_"))]
    for column in ends:
        assert ((coatings.numbers(column) > 0) & (coatings.numbers(column) <= 0.1)).all()
    for zone in ("0 to 30 m", "below 30 m"):
        rows = coatings.where(zone=zone)
        assert rows.text("category") == ("I", "II", "III", "IV")
        for column in ends:
            assert (np.diff(rows.numbers(column)) <= 0).all()
    shallow, deep = (coatings.where(zone=z) for z in ("0 to 30 m", "below 30 m"))
    assert (deep.numbers("b_low_per_year") < shallow.numbers("b_low_per_year")).all()


def test_currents_converted_from_square_feet() -> None:
    found = 0
    for row in table("current_density_ships_boats").rows():
        printed = re.findall(r"\d+\.?\d*", row["condition"])
        if row["condition"].startswith("printed"):
            low, high = sorted(float(number) for number in printed)
            holds(row["low_mA_per_m2"], low / FOOT_M**2)
            holds(row["high_mA_per_m2"], high / FOOT_M**2)
            found += 1
    assert found == 3


# -- water -----------------------------------------------------------------------------------------


def test_water_against_the_thermodynamic_library() -> None:
    # GSW, the TEOS-10 library (IOC, SCOR and IAPSO, 2010), at sea pressure 0
    gsw = pytest.importorskip("gsw")
    water = table("seawater_resistivity")
    salinity, celsius = water.numbers("practical_salinity"), water.numbers("temperature_C")
    conductivity = gsw.C_from_SP(salinity, celsius, 0)
    assert water.numbers("conductivity_mS_per_cm") == pytest.approx(conductivity, abs=0.51e-3)
    assert water.numbers("resistivity_ohm_m") == pytest.approx(10 / conductivity, abs=0.51e-4)
    oxygen = table("oxygen_solubility_limiting_current")
    salinity, celsius = oxygen.numbers("practical_salinity"), oxygen.numbers("temperature_C")
    held = gsw.O2sol_SP_pt(salinity, celsius)
    assert oxygen.numbers("O2_saturation_umol_per_kg") == pytest.approx(held, abs=0.051)
    absolute = salinity * 35.16504 / 35
    density = gsw.rho(absolute, gsw.CT_from_t(absolute, celsius, 0), 0)
    assert oxygen.numbers("O2_saturation_mol_per_m3") == pytest.approx(
        1e-6 * held * density, abs=0.51e-4
    )


def test_standard_seawater_has_the_conductivity_that_defines_the_scale() -> None:
    # practical salinity scale 1978: 42.914 mS/cm at 35 and 15 °C of 1968, which is 14.996 °C today
    printed = table("seawater_resistivity").row(practical_salinity="35", temperature_C="15")
    assert float(printed["conductivity_mS_per_cm"]) == pytest.approx(42.914, abs=0.005)
    holds(printed["resistivity_ohm_m"], 10 / 42.914)


def test_resistivity_is_the_reciprocal_of_conductivity() -> None:
    for conductivity, resistivity in pairs(
        table("seawater_resistivity"), "conductivity_mS_per_cm", "resistivity_ohm_m"
    ):
        exact = 10 / float(conductivity)
        holds(resistivity, exact, also=exact * half_digit("0.000") / float(conductivity))


def test_oxygen_limit_through_both_layers() -> None:
    # 4 F D c / delta with D = 2.0e-9 m²/s
    oxygen = table("oxygen_solubility_limiting_current")
    for column, layer_m in (
        ("i_lim_A_per_m2_delta_0p50mm", 0.50e-3),
        ("i_lim_A_per_m2_delta_0p85mm", 0.85e-3),
    ):
        for held, limit in pairs(oxygen, "O2_saturation_mol_per_m3", column):
            factor = 4 * FARADAY_C_PER_MOL * 2.0e-9 / layer_m
            holds(limit, factor * float(held), also=factor * half_digit(held))


# -- reference cells -------------------------------------------------------------------------------


def test_open_silver_chloride_cell_by_nernst() -> None:
    thermal_V = GAS_J_PER_MOL_K * 298.15 / FARADAY_C_PER_MOL
    rows = table("agcl_salinity_shift").rows()
    activities = [
        float(r["chloride_mol_per_kg_water"]) * float(r["assumed_mean_activity_coefficient"])
        for r in rows
    ]
    for row, activity in zip(rows, activities, strict=True):
        # 0.2223 V: standard potential of silver chloride at 25 °C, handbook value
        exact = 0.2223 - thermal_V * math.log(activity)
        holds(row["E_AgAgCl_V_vs_SHE_25C"], exact, also=0.3e-4)
        holds(row["shift_vs_S35_mV"], 1e3 * thermal_V * math.log(activities[0] / activity))
        # reference composition of seawater (Deep-Sea Research I 55, 2008): chloride is 0.48748 of
        # the moles of salt, whose mean molar mass is 31.4038 g
        salt = 1e-3 * float(row["salinity_PSU"]) * 35.16504 / 35
        chloride = 0.4874839 * salt / (1 - salt) / 31.4038218e-3
        assert float(row["chloride_mol_per_kg_water"]) == pytest.approx(chloride, rel=6e-3)


def test_reference_electrodes() -> None:
    cells = table("reference_electrodes")
    for thermal, isothermal in pairs(
        cells, "thermal_temp_coeff_mV_per_K", "isothermal_temp_coeff_mV_per_K"
    ):
        if thermal:  # ASTM G3, from memory
            assert float(isothermal) == pytest.approx(float(thermal) - 0.87)

    def at(cell: str) -> float:
        return cells.exact("potential_V_vs_SHE_25C", electrode_id=cell)

    # NACE SP0169 and SP0176 lineage, from memory: the steel criterion on four cells, within 20 mV
    for cell, equivalent in (("CSE", -0.85), ("SCE", -0.78), ("ZN_SW", 0.25)):
        converted = -0.80 + at("AgAgCl_seawater") - at(cell)
        assert converted == pytest.approx(equivalent, abs=0.0201)
    # a boat chart (The Masthead, December 2010, p. 17) adds 0.1 V for a zinc cell: wrong by 0.9 V
    assert at("AgAgCl_seawater") - at("ZN_SW") == pytest.approx(1.03)
    # computed from the activity of chloride in seawater: within 3 mV of the value in use
    computed = table("agcl_salinity_shift").exact("E_AgAgCl_V_vs_SHE_25C", salinity_PSU="35")
    assert computed == pytest.approx(at("AgAgCl_seawater"), abs=0.003)


# -- galvanic series -------------------------------------------------------------------------------


def series(source: str) -> dict[tuple[str, str], tuple[float, float]]:
    return {
        (row["metal_id"], row["condition"]): (
            float(row["potential_low_V"]),
            float(row["potential_high_V"]),
        )
        for row in table("galvanic_series_seawater").where(source_key=source).rows()
        if row["potential_low_V"]
    }


def test_two_lists_of_single_values_are_one() -> None:
    # US Naval Research Laboratory, corrosion-modeling-applications, beside a public list
    naval, steady = series("NRL"), series("STEADY_SCE")
    both = naval.keys() & steady.keys()
    apart = {key for key in both if abs(naval[key][0] - steady[key][0]) > 0.0101}
    assert len(both) == 23
    assert apart == {("nickel_200", "n/a")}  # -0.15 and -0.20 V


@pytest.mark.parametrize(
    ("source", "compared", "outside"),
    [
        (
            "NRL",
            36,
            {
                ("magnesium", "n/a"): 0.01,
                ("cadmium", "n/a"): 0.01,
                ("cuni_7030", "n/a"): 0.01,
                ("ni_cr_600", "passive"): 0.01,
                ("alloy_825", "passive"): 0.02,
                ("platinum", "n/a"): 0.03,
                ("ni_cr_mo_c", "passive"): 0.05,
                ("titanium", "passive"): 0.06,
            },
        ),
        (
            "STEADY_SCE",
            21,
            {
                ("cuni_7030", "n/a"): 0.01,
                ("platinum", "n/a"): 0.03,
                ("titanium", "passive"): 0.06,
                ("ss_410", "passive"): 0.08,
                ("ss_316", "active"): 0.15,
            },
        ),
    ],
)
def test_single_values_in_the_published_bands(
    source: str, compared: int, outside: dict[tuple[str, str], float]
) -> None:
    # the bands of ASTM G82 Fig. 1, as republished by the Australasian Corrosion Association
    bands, values = series("LAQUE_ACA"), series(source)
    both = bands.keys() & values.keys()
    assert len(both) == compared
    beyond = {
        key: max(bands[key][0] - values[key][0], values[key][0] - bands[key][1]) for key in both
    }
    assert {k: v for k, v in beyond.items() if v > 1e-9} == pytest.approx(outside, abs=1e-6)


def test_ranges_under_two_names_of_the_cell_are_one_chart() -> None:
    # Professional Boatbuilder 100 (2006), on Ag/AgCl, beside ASTM G82 Fig. 1, on calomel
    one, other = series("LAQUE_ACA"), series("E2_RANGES")
    both = one.keys() & other.keys()
    apart = {
        key: max(abs(a - b) for a, b in zip(one[key], other[key], strict=True)) for key in both
    }
    assert len(both) == 31
    assert {k: v for k, v in apart.items() if v > 0.0201} == pytest.approx(
        {
            ("copper", "n/a"): 0.20,
            ("ss_316", "active"): 0.10,
            ("ni_cast_iron", "n/a"): 0.04,
            ("ss_410", "passive"): 0.03,
        }
    )


def test_bands_run_from_more_to_less_negative_and_passive_above_active() -> None:
    for source in ("LAQUE_ACA", "E2_RANGES", "BOAT_CHART", "NRL", "STEADY_SCE"):
        bands = series(source)
        assert all(low <= high for low, high in bands.values())
        for (metal, state), (_, high) in bands.items():
            if state == "active" and (metal, "passive") in bands:
                assert high < bands[metal, "passive"][0]
        # metals of every list, least noble first: any textbook on corrosion
        order = [("magnesium", "n/a"), ("zinc", "n/a"), ("mild_steel", "n/a"), ("copper", "n/a")]
        order += [("titanium", "passive"), ("graphite", "n/a")]
        present = [bands[key] for key in order if key in bands]
        assert all(a[1] < b[0] for a, b in pairwise(present))


def test_groups_and_pairs_of_the_military_matrix() -> None:
    # MIL-STD-889 Table I, 20 groups: every pair once, a group agrees with itself, and milder air
    # is never worse than seawater but for one doubtful pair that the papers name
    matrix = table("mil_std_889_matrix")
    places = ("seawater", "marine_atmosphere", "industrial_atmosphere")
    letters = [chr(ord("A") + i) for i in range(20)]
    expected = [(a, b) for i, a in enumerate(letters) for b in letters[i:]]
    assert pairs(matrix, "group_1", "group_2") == expected
    assert len(expected) == 210
    doubtful = []
    for row in matrix.rows():
        cells = [row[place] for place in places]
        assert set(cells) <= {"C", "I"}
        assert row["group_1"] != row["group_2"] or set(cells) == {"C"}
        if cells != sorted(cells, reverse=True):
            doubtful.append((row["group_1"], row["group_2"]))
            assert row["note"]
    assert doubtful == [("I", "M")]


def test_order_of_the_missile_command() -> None:
    # RS-TR-67-11 as quoted with MIL-STD-889: 64 places, two stainless grades twice
    order = table("mil_std_889_order")
    assert order.numbers("order_anodic_first").tolist() == list(range(1, 65))
    names = order.text("material")
    twice = {name for name in names if names.count(name) > 1}
    assert twice == {"SS 430 active", "SS 410 active"}
    assert all(bool(row["note"]) == (row["material"] in twice) for row in order.rows())


def test_couples_of_aluminium_in_the_military_standard() -> None:
    # MIL-STD-889D (2021): rates printed in µm and in mil, classes by rate
    couples = table("mil_std_889d_aluminium_couples")
    thresholds = table("compatibility_thresholds")
    rates = {}
    for row in couples.rows():
        printed, rate = row["anode_rate_um_per_year"], float(row["anode_rate_um_per_year"])
        holds(row["anode_rate_mil_per_year"], rate / 25.4, also=half_digit(printed) / 25.4)
        band = thresholds.row(rule_id=f"D889_SEV{row['severity_class']}")
        assert float(band["about_from"] or 0) <= rate <= float(band["about_to"] or math.inf)
        if row["material_2_role"] == "cathode":
            rates[row["material_2"]] = rate
            holds(row["ratio_to_platinum_computed"], rate / 266.8)
    ranked = [
        "platinum",
        "stainless 17-4 PH",
        "stainless 13-8 PH, passivated",
        "nickel-aluminium bronze",
        "electroless nickel",
        "titanium Ti-6Al-4V",
    ]
    assert sorted(ranked, key=lambda metal: -rates[metal]) == ranked


# -- index, criteria -------------------------------------------------------------------------------


def test_anodic_index_is_one_list_everywhere() -> None:
    # MIL-F-14072 groups: steps of 0.05 V, gold at nought; metals stand in groups of the list
    groups = set(table("anodic_index").numbers("index_V"))
    assert min(groups) == 0
    assert all(round(index / 0.05, 6).is_integer() for index in groups)
    for column in ("index_low_V", "index_high_V"):
        assert set(table("metal_anodic_index").numbers(column)) <= groups
    assert set(table("conductor_metals").numbers("anodic_index_V")) <= groups


def test_conductivity_of_metals() -> None:
    # annealed copper standard (IACS): 1.7241e-8 ohm m is 100 %
    for resistivity, percent in pairs(
        table("conductor_metals"), "resistivity_ohm_m_20C", "conductivity_percent_IACS"
    ):
        exact = 100 * 1.7241e-8 / float(resistivity)
        assert float(percent) == pytest.approx(exact, rel=0.03)


def test_index_limits_come_in_order() -> None:
    # MIL-F-14072 practice on three republications: 0.15, 0.25, 0.50 V
    limits = table("compatibility_thresholds")
    found = [limits.exact("limit", rule_id=rule) for rule in ("AI_HARSH", "AI_NORMAL", "AI_CTRL")]
    assert found == [0.15, 0.25, 0.50]
    # edges of the classes of MIL-STD-889D look like 1, 5 and 10 mil per year
    edges = [limits.exact("about_to", rule_id=f"D889_SEV{n}") for n in (2, 3, 4)]
    assert edges == pytest.approx([25.4, 127, 254], rel=0.02)
    starts = [limits.exact("about_from", rule_id=f"D889_SEV{n}") for n in (3, 4, 5)]
    assert starts == edges


def test_hull_ranges_have_two_ends_in_order() -> None:
    ranges = table("hull_potential_criteria")
    for row in ranges.rows():
        least, most = row["least_negative_V"], row["most_negative_V"]
        if least and most:
            assert float(least) > float(most)
        # the stricter end leads: a reading good for it is good for the lenient one
        if row["least_negative_lenient_V"]:
            assert float(least) < float(row["least_negative_lenient_V"])
        if row["most_negative_lenient_V"]:
            assert float(most) > float(row["most_negative_lenient_V"])
        assert (row["reference_electrode"] == "none") == (row["quantity"] != "potential")
    cells = set(table("reference_electrodes").text("electrode_id"))
    assert set(ranges.text("reference_electrode")) - {"none"} <= cells


def test_least_potential_of_a_stainless_fitting() -> None:
    # a trade page: 0.200 V below the active value of the boat chart, -0.55 V
    chart = series("BOAT_CHART")[("ss_316", "active")][0]
    least = table("hull_potential_criteria").exact("least_negative_V", row_id="BOAT_MIN_SS")
    assert least == pytest.approx(chart - 0.20)


def test_textbook_zinc_in_acid_crosses_where_it_is_printed() -> None:
    # university course notes, MAE 324: E(Zn) -0.763 V, answer -0.486 V, 1.19e-4 A/cm²
    rows = {
        (r["parameter"], r["system"]): float(r["value_low"])
        for r in table("kinetics_parameters").rows()
    }
    zinc = rows["exchange current density", "Zn/Zn2+"]
    hydrogen = rows["exchange current density", "H+/H2 on Zn"]
    up = rows["slope of the anodic branch", "Zn"] / 1000
    down = rows["slope of the cathodic branch", "H2 on Zn"] / 1000
    # -0.763 + up log(i/zinc) = 0 + down log(i/hydrogen)
    log_i = (0.763 + up * math.log10(zinc) - down * math.log10(hydrogen)) / (up - down)
    assert 10**log_i == pytest.approx(1.19e-4, rel=5e-3)
    assert -0.763 + up * (log_i - math.log10(zinc)) == pytest.approx(-0.486, abs=5e-4)
