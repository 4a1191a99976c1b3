"""Conductors and protection against answers and tables printed elsewhere.

Sites and makers are left out; each source is named by its kind. Tolerance is half the last printed
digit unless said otherwise.
"""

import numpy as np
import pytest

from elec.calc.cables import (
    clearing,
    conductors,
    duty,
    fault,
    placement,
    protection,
    sizing,
    withstand,
)
from elec.published import table
from made import FOOT_M, INCH_M, printed

POUND_FORCE_N = 4.4482216152605
COPPER_K, COPPER_ZERO = 226.0, 234.5  # IEC 60949, table of constants for copper
K = table("resistivity_constants").exact("value", name="ABYC K")
RHO = table("resistivity_constants").exact(
    "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
)
ALPHA = table("resistivity_constants").exact("value", name="copper alpha20")
AREAS = table("conductor_area_awg_sae")
AWG, SAE = "AWG_area_cmil_NEC_ch9_t8", "SAE_min_area_cmil"
CIRCULAR_MIL_MM2 = np.pi / 4 * 0.0254**2


def pick(current_A, length_both_ways_ft, *, drop_V, column, **more):
    """The smallest size by the circular-mil formula, and what governs it."""
    drop = conductors.drop_circular_mil_V(
        np.asarray(current_A)[..., None],
        length_one_way_m=np.asarray(length_both_ways_ft)[..., None] * FOOT_M / 2,
        area_cmil=AREAS.numbers(column),
        k_ohm_cmil_per_ft=K,
    )
    choice = sizing.smallest_size({"drop": 1 - drop / drop_V, **more})
    return np.asarray(AREAS.text("size"))[choice.index], np.asarray(choice.names)[choice.governs]


def area_cmil(current_A, length_both_ways_ft, drop_V):
    return conductors.area_needed_cmil(
        current_A,
        length_one_way_m=length_both_ways_ft * FOOT_M / 2,
        allowed_drop_V=drop_V,
        k_ohm_cmil_per_ft=K,
    )


# -- voltage drop and area ---------------------------------------------------------------------


def test_area_for_3_percent_of_12_V():
    # Marine trade reference quoting the ABYC E-11 formula: 10 A, 11 ft out and 10 ft back; prints
    # that 12 AWG is enough. A 12 SAE is not: its area is below what is asked.
    assert area_cmil(10, 21, 0.36) == pytest.approx(6270.8, rel=1e-3)
    assert pick(10, 21, drop_V=0.36, column=AWG) == ("12", "drop")
    assert pick(10, 21, drop_V=0.36, column=SAE) == ("10", "drop")


def test_area_for_10_percent_of_12_V():
    # Sister page of the same reference: 16 AWG.
    assert area_cmil(10, 21, 1.2) == pytest.approx(1881, rel=1e-3)
    assert pick(10, 21, drop_V=1.2, column=AWG)[0] == "16"


def test_formula_by_itself_does_not_fail_the_awg_pick_where_a_chart_uses_sae_areas():
    # Look-up chart of a powerboat electrical handbook: 5 A, 20 ft each way, prints 10 AWG.
    assert area_cmil(5, 40, 0.36) == pytest.approx(5972.2, rel=1e-3)
    assert pick(5, 40, drop_V=0.36, column=SAE)[0] == "10"
    assert pick(5, 40, drop_V=0.36, column=AWG)[0] == "12"


def test_minimum_size_overrides_the_drop():
    # Standards body's member quiz, 2015: 0.8 A, 12 ft one way to a navigation light: 18 AWG in a
    # sheath, 16 AWG for a single conductor.
    assert area_cmil(0.8, 24, 0.36) == pytest.approx(573.3, rel=1e-3)
    mm2 = AREAS.numbers("AWG_area_mm2")
    sizes = AREAS.text("size")

    def least(size):
        return {"least area": mm2 / mm2[sizes.index(size)] - 1}

    assert pick(0.8, 24, drop_V=0.36, column=AWG, **least("18"))[0] == "18"
    assert pick(0.8, 24, drop_V=0.36, column=AWG, **least("16")) == ("16", "least area")


def test_drop_from_ohms_per_thousand_feet():
    # Electrician training page: 16 AWG, 4.99 ohm/kft (NFPA 70, chapter 9, Table 8), 100 ft one
    # way, 4 A: 4.0 V, 16.7 % of 24 V after rounding the volts first. Tolerance 0.01 V.
    ohm_per_kft = table("nec_ch9_table8_copper_75C").exact(
        "R75_uncoated_ohm_per_kft", size_AWG="16", stranding="7 strand"
    )
    drop = conductors.drop_V(
        4.0, length_one_way_m=100 * FOOT_M, ohm_per_m=ohm_per_kft / (1000 * FOOT_M)
    )
    assert drop == pytest.approx(3.992, abs=0.01)
    assert drop == printed("4.0")
    assert drop / 24 == pytest.approx(0.1663, abs=0.00005)


@pytest.mark.parametrize(
    ("ohm_per_ft", "feet_of_wire", "volts"),
    [
        pytest.param(0.00044, 107, 0.942, id="FAA AC 43.13-1B Table 11-7, 6 AWG"),
        # The circular rounds 3.555 up to 3.60, hence the tolerance of 0.05 V.
        pytest.param(0.00202, 88, 3.60, id="FAA AC 43.13-1B Table 11-7, 12 AWG"),
    ],
)
def test_drop_of_aircraft_wire(ohm_per_ft, feet_of_wire, volts):
    drop = conductors.drop_V(
        20.0, length_one_way_m=feet_of_wire * FOOT_M / 2, ohm_per_m=ohm_per_ft / FOOT_M
    )
    assert drop == pytest.approx(volts, abs=0.05)


def test_drop_metric():
    # A Swedish installer's page: 1.0 mm² at 20 ohm/km, 10 m of wire, 10 A: 2 V.
    drop = conductors.drop_physical_V(
        10.0,
        length_one_way_m=5.0,
        ohm_per_km_20C=20.0,
        temperature_coefficient_per_K=ALPHA,
        conductor_temp_C=20.0,
    )
    assert drop == pytest.approx(2.000, abs=0.0005)


def test_drop_by_the_metric_annex_for_each_listed_area():
    # ISO 10133 annex C constant over IEC 60228 areas: ohms of a kilometre, three or four digits.
    areas = table("iec60228_resistance_20C")
    constant = table("resistivity_constants").exact("value", name="ISO constant")
    volts = conductors.drop_metric_V(
        1.0,
        length_one_way_m=500.0,
        area_mm2=areas.numbers("area_mm2"),
        constant_ohm_mm2_per_m=constant,
    )
    assert volts == pytest.approx(areas.numbers("iso_0p0164_formula_ohm_per_km"), rel=5e-4)


def test_two_families_of_the_12_V_3_percent_chart():
    # Two republished versions of ABYC E-11's 12 V, 3 % chart: one follows the formula with AWG
    # areas (99 of 104 cells), the other with SAE minimum areas (93 of 104).
    chart = table("abyc_3pct_12V_lookup_two_families")
    feet, amperes = chart.numbers("round_trip_length_ft"), chart.numbers("current_A")
    by_awg, governs = pick(amperes, feet, drop_V=0.36, column=AWG)
    by_sae, _ = pick(amperes, feet, drop_V=0.36, column=SAE)
    assert len(chart) == 104
    assert set(governs) == {"drop"}
    assert np.count_nonzero(by_awg == np.asarray(chart.text("family_A_AWG"))) == 99
    assert np.count_nonzero(by_sae == np.asarray(chart.text("family_B_AWG"))) == 93
    assert area_cmil(amperes, feet, 0.36) == pytest.approx(chart.numbers("formula_cmil"), abs=0.5)


# -- resistance --------------------------------------------------------------------------------


def test_resistance_of_solid_gauges():
    # ASTM B258 areas with annealed copper; tables of the National Bureau of Standards print
    # 1.588 and 6.385 ohm/kft for 12 and 18 AWG.
    gauges = table("awg_geometry_computed")
    ohms = conductors.resistance_ohm(
        1000 * FOOT_M,
        area_mm2=gauges.numbers("area_mm2"),
        resistivity_20C_ohm_mm2_per_m=RHO,
        temperature_coefficient_per_K=ALPHA,
        conductor_temp_C=20.0,
    )
    by_size = dict(zip(gauges.text("size_AWG"), ohms, strict=True))
    assert by_size["12"] == pytest.approx(1.588, rel=5e-4)
    assert by_size["18"] == pytest.approx(6.385, rel=5e-4)


def test_resistance_at_75_C():
    # NFPA 70, chapter 9, Table 8, uncoated; stranded conductors are 2 % longer than they look.
    # Agreement found by hand: within 1.5 %.
    rows = table("nec_ch9_table8_copper_75C")
    lay = np.where(np.asarray(rows.text("stranding")) == "solid", 1.0, 1.02)
    ohms = lay * conductors.resistance_ohm(
        1000.0,
        area_mm2=rows.numbers("area_cmil") * CIRCULAR_MIL_MM2,
        resistivity_20C_ohm_mm2_per_m=RHO,
        temperature_coefficient_per_K=ALPHA,
        conductor_temp_C=75.0,
    )
    assert ohms == pytest.approx(rows.numbers("R75_uncoated_ohm_per_km"), rel=0.015)


def test_formula_constants_stand_for_copper_at_a_temperature():
    # The metric annex's constant is that of copper at 7.6 °C, ABYC's K at 29.3 °C.
    constants = table("resistivity_constants")
    for name in ("ABYC K", "ISO constant", "NEC K copper 75 C", "German practice 1/56"):
        copper = conductors.resistance_ohm(
            1.0,
            area_mm2=1.0,
            resistivity_20C_ohm_mm2_per_m=RHO,
            temperature_coefficient_per_K=ALPHA,
            conductor_temp_C=constants.exact("equivalent_copper_temperature_C", name=name),
        )
        row = constants.exact("equivalent_ohm_mm2_per_m", name=name)
        assert copper == pytest.approx(row, rel=3e-4)
    per_m = conductors.ohm_per_m_circular_mil(1 / CIRCULAR_MIL_MM2, k_ohm_cmil_per_ft=K)  # of 1 mm²
    assert per_m == pytest.approx(
        constants.exact("equivalent_ohm_mm2_per_m", name="ABYC K"), abs=5e-7
    )


# -- ampacity and derating ---------------------------------------------------------------------


def test_ampacity_of_four_conductors():
    # Trade magazine's question column on NFPA 70: 10 AWG at 90 °C, four conductors: 32 A.
    base = table("nec_310_16_copper").exact("ampacity_A_90C", size="10")
    rows = table("nec_ccc_adjustment")
    row = rows.band("current_carrying_conductors_min", "current_carrying_conductors_max", 4)
    factor = rows.numbers("factor")[row]
    assert conductors.ampacity_A(base, bundle_factor=factor) == pytest.approx(32, abs=1e-9)


@pytest.mark.parametrize(
    ("base", "bundle", "engine", "amperes"),
    [
        pytest.param(45, 0.70, 0.85, "26.8", id="12 AWG, 3 bundled, in an engine space"),
        pytest.param(80, 0.60, 1.00, "48", id="8 AWG, 4 to 6 bundled, outside"),
        pytest.param(445, 0.50, 0.85, "189.1", id="4/0 AWG, 7 to 24 bundled, in an engine space"),
    ],
)
def test_ampacity_as_a_cable_maker_prints_it(base, bundle, engine, amperes):
    found = conductors.ampacity_A(base, bundle_factor=bundle, engine_space_factor=engine)
    assert found == pytest.approx(float(amperes), abs=0.05)


def test_every_cell_of_the_bundled_ampacity_table():
    # ABYC E-11, 105 °C, as a cable maker republishes it, against 33 CFR 183.425, Table 5 and its
    # notes. The page rounds to 0.1 A, hence 0.05 A.
    page = table("abyc_105C_bundled_ampacity")
    base = table("cfr183_table5_ampacity")
    engine = table("cfr183_table5_note1_engine_space_factor").exact(
        "factor", insulation_rating_C="105"
    )
    bundles = table("cfr183_table5_note2_bundle_factor")
    cells, held = 0, "ampacity_A_at_insulation_105C"
    for words, count in (("1to2", 1), ("3", 3), ("4to6", 4), ("7to24", 7)):
        row = bundles.band("conductors_min", "conductors_max", count)
        for place, factor in (("outside", 1.0), ("inside", engine)):
            column = page.numbers(f"ampacity_A_{words}_conductors_{place}_engine_space")
            found = conductors.ampacity_A(
                np.asarray([base.exact(held, size_AWG=one) for one in page.text("size_AWG")]),
                engine_space_factor=factor,
                bundle_factor=bundles.numbers("factor")[row],
            )
            assert found == pytest.approx(column, abs=0.05 + 1e-9)
            cells += column.size
    assert cells == 112


def test_ambient_factors_of_the_electrical_code():
    # NFPA 70 (IRC 2021 Table E3705.2): each factor is the formula's at the top of its 5 °C band.
    rows = table("nec_ambient_factor_base30C")
    top = rows.numbers("ambient_to_C")
    for rated in (60, 75, 90):
        listed = rows.numbers(f"factor_{rated}C")
        given = ~np.isnan(listed)
        found = conductors.ambient_factor(top[given], table_ambient_C=30, rated_C=rated)
        assert found == pytest.approx(listed[given], abs=0.0065)


def test_engine_space_factors_are_a_50_C_ambient_but_for_one():
    # 33 CFR 183.425, Table 5, note 1: six of seven follow the formula to two digits (105 °C is
    # printed 0.85 for 0.856); 200 °C is printed 1.00, which no ambient above 30 °C gives.
    rows = table("cfr183_table5_note1_engine_space_factor")
    rated, listed = rows.numbers("insulation_rating_C"), rows.numbers("factor")
    found = conductors.ambient_factor(50.0, table_ambient_C=30.0, rated_C=rated)
    agree = rated != 200
    assert found[agree] == pytest.approx(listed[agree], abs=0.0065)
    assert found[~agree] < listed[~agree] - 0.05


def test_ambient_factors_of_another_base():
    # IEC 60092-352 practice: a 45 °C table carried to 50 °C for 85 °C cable, sqrt(35/40).
    found = conductors.ambient_factor(50.0, table_ambient_C=45.0, rated_C=85.0)
    assert found == printed("0.94")


# -- short-time duty ---------------------------------------------------------------------------


def test_arc_welder_branch():
    # NFPA 70, 630.11(A): 40 A at 50 % duty, no motor-generator: 28.4 A.
    rows = table("duty_nec_630_11_multiplier")
    multiplier = rows.exact("multiplier_nonmotor_generator", duty_cycle_percent="50")
    assert duty.nec_630_11_ampacity_A(40.0, multiplier=multiplier) == pytest.approx(28.4, abs=1e-9)


def test_welder_multipliers_are_the_thermal_model_of_short_cycles():
    # NFPA 70, 630.11(A): the column for other than motor-generators is the root of the duty, cut
    # or raised to two digits: 0.78 for 0.7746 at 60 % is the farthest off.
    rows = table("duty_nec_630_11_multiplier")
    share = rows.numbers("duty_cycle_percent") / 100
    factor = duty.intermittent_factor(share * 1.0, cycle_s=1.0, time_constant_s=1e5)
    assert 1 / factor == pytest.approx(rows.numbers("multiplier_nonmotor_generator"), abs=0.0055)


def test_motor_duty_of_the_electrical_code():
    # NFPA 70 (2008), Table 430.22(E): a 30-minute motor on short-time service takes 150 %.
    percent = table("duty_nec_430_22E_percent_of_nameplate").exact(
        "pct_of_nameplate_30_60min", service="short-time"
    )
    assert duty.nec_430_22E_ampacity_A(80.0, percent=percent) == pytest.approx(120.0)


def test_crane_duty_of_the_electrical_code():
    # NFPA 70 (2008), Table 610.14(A): 4 AWG, 90 °C, 30-minute motors 130 A; 15 minutes 1.12 times.
    base = table("duty_nec_610_14A_short_time_ampacity").exact("ampacity_A_90C_30min", size_AWG="4")
    assert base == 130
    assert duty.nec_610_14A_ampacity_15min_A(base, multiple=1.12) == printed("145.6")


# -- short circuit and withstand ---------------------------------------------------------------


def test_bank_fault_current():
    # Guide to DC distribution: 110 cells of 0.5 milliohm, 240 V: 55 milliohm, 4.37 kA; four such
    # strings 17.5 kA. Tolerance 0.5 % for its rounding.
    one = fault.bank_resistance_ohm(0.0005, cells_in_series=110, strings_in_parallel=1)
    assert one == pytest.approx(0.055, abs=0.0005)
    assert fault.prospective_fault_A(240.0, bank_ohm=one) == pytest.approx(4370, rel=5e-3)
    four = fault.bank_resistance_ohm(0.0005, cells_in_series=110, strings_in_parallel=4)
    assert fault.prospective_fault_A(240.0, bank_ohm=four) == pytest.approx(17500, rel=5e-3)


def test_bank_fault_current_by_rule_of_thumb():
    # Same guide: k = 10 for a string of 500 Ah: 5 kA, 15 % above its own answer.
    rough = fault.fault_from_capacity_A(500.0, amperes_per_Ah=10.0)
    assert rough == pytest.approx(5000)
    assert rough / 4363.6 == pytest.approx(1.15, abs=0.005)


def test_protective_conductor_by_the_adiabatic_equation():
    # Textbook on basic electrical installation work, protective conductors, example 1: 230 V over
    # 1.15 ohm, 0.4 s, k = 115: 1.10 mm².
    area = withstand.adiabatic_area_mm2(230 / 1.15, time_s=0.4, k_A_sqrt_s_per_mm2=115.0)
    assert area == printed("1.10")


@pytest.mark.parametrize(
    ("k", "area", "millions"),
    [
        pytest.param(115, 2.5, "0.0826", id="PVC 2.5 mm²"),
        pytest.param(115, 10, "1.3225", id="PVC 10 mm²"),
        pytest.param(143, 1.5, "0.0460", id="XLPE 1.5 mm²"),
    ],
)
def test_joule_integral_of_the_installation_guide(k, area, millions):
    # Electrical Installation Guide, figure G53; the guide cuts digits off, hence one whole unit.
    found = withstand.withstand_A2s(area, k_A_sqrt_s_per_mm2=k) / 1e6
    assert found == pytest.approx(float(millions), abs=1e-4)


@pytest.mark.parametrize(
    ("area", "time", "kiloamperes"),
    [
        pytest.param(50, 1.0, "7.3", id="50 mm², 1 s"),
        pytest.param(16, 0.2, "5.2", id="16 mm², 0.2 s"),
    ],
)
def test_fault_rating_of_ships_cable(area, time, kiloamperes):
    # Data sheet of cable to IEC 60092, 85 to 250 °C, k = 146.
    found = np.sqrt(withstand.withstand_A2s(area, k_A_sqrt_s_per_mm2=146.0) / time)
    assert found / 1000 == printed(kiloamperes)


def test_adiabatic_factors():
    # IEC 60364-5-54 and others, as the table says for each; 226 and 234.5 are IEC 60949's.
    rows = table("adiabatic_k_copper")
    hot, cold = (rows.numbers(column) + COPPER_ZERO for column in ("final_C", "initial_C"))
    found = COPPER_K * np.sqrt(np.log(hot / cold))
    assert found == pytest.approx(rows.numbers("k_formula_A_sqrt_s_per_mm2"), abs=0.05 + 1e-9)
    printed_k = rows.numbers("k_published_A_sqrt_s_per_mm2")
    given = ~np.isnan(printed_k)
    assert np.count_nonzero(given) == 7
    assert found[given] == pytest.approx(printed_k[given], abs=0.5)


def test_interrupting_capacity_by_cranking_current():
    # ABYC E-11, Table V-A, as republished: two 500 A batteries in parallel on 12 V: 3000 A.
    connected = fault.parallel_cranking_A(500.0, strings_in_parallel=2)
    assert connected == 1000
    rows = table("abyc_dc_interrupting_capacity").where(system_low_V="12")
    row = rows.band("bank_CCA_min_A", "bank_CCA_max_A", connected)
    assert rows.numbers("main_breaker_AIC_A")[row] == 3000


# -- rating and placement of protection --------------------------------------------------------


def test_device_rules_of_the_coast_guard():
    # 33 CFR 183.455(c): 12 AWG at 105 °C is 45 A. Below 50 V 150 % of it; from 50 V the value, or
    # the next standard size where the value is none (NFPA 70, 240.6(A)): here 38.25 A takes 40 A.
    base = table("cfr183_table5_ampacity").exact("ampacity_A_at_insulation_105C", size_AWG="12")
    rows = table("standard_device_ratings").where(instrument="NFPA 70 240.6(A)")
    standard = rows.numbers("rating_A")
    assert protection.greatest_device_A(base, multiple=1.5) == 67.5
    assert protection.greatest_standard_A(base, standard_A=standard, most_multiple=1.5) == 45
    reduced = conductors.ampacity_A(base, engine_space_factor=0.85)
    assert protection.greatest_standard_A(reduced, standard_A=standard, most_multiple=1.5) == 40


def rules(*names):
    rows = table("ocpd_placement_rules")
    distance = {}
    for name in names:
        row = rows.row(rule_id=name)
        inches, mm = row["max_distance_in"], row["max_distance_mm"]
        distance[name] = float(inches) * INCH_M if inches else float(mm or 0) / 1000
    return placement.allowances(distance)


def test_cranking_circuit_needs_no_protection():
    # ABYC E-11 (2015), standards body's member quiz: 36 in to the switch, 40 in on to the starter:
    # no overcurrent protection required.
    found = placement.place(
        76 * INCH_M,
        allowed=rules("abyc_7", "abyc_40", "abyc_72", "abyc_crank"),
        facts={"cranking": True, "from_battery": True, "sheathed": False},
    )
    assert (found.verdict, found.rule_id) == ("meets", "abyc_crank")


@pytest.mark.parametrize(
    ("metres", "inside", "verdict"),
    [
        pytest.param(1.8, False, "meets", id="at 1.8 m"),
        pytest.param(1.81, False, "fails", id="beyond"),
        pytest.param(1.81, True, "meets", id="inside the charger"),
        pytest.param(1.81, None, "conditional", id="not noted"),
    ],
)
def test_charger_output(metres, inside, verdict):
    # ISO 13297:2020, 12.3: inside the charger, or within 1.8 m of it.
    found = placement.place(
        metres,
        allowed=rules("iso_1800"),
        facts={"charging_source": True, "inside_source": inside, "self_limiting": False},
    )
    assert found.verdict == verdict


def test_blade_fuse_gates():
    # ISO 8820-3 type C, from memory: at twice its rating 5 s at most, at six times 0.1 s. The band
    # is not interpolated, and below the first gate with a longest time it may never open.
    rows = table("fuse_blade_time_current")
    listed = ~np.isnan(rows.numbers("opening_time_max_s"))
    longest = clearing.longest_opening_s(
        np.array([1.3, 2.0, 3.0, 9.0]) * 30.0,
        curve_current_A=rows.numbers("percent_of_rating")[listed] / 100,
        most_s=rows.numbers("opening_time_max_s")[listed],
        rating_A=30.0,
    )
    assert longest.tolist() == pytest.approx([np.inf, 5.0, 5.0, 0.1])


def test_pull_forces_in_both_units():
    # ABYC E-11, Table XVI, as republished: pounds-force and newtons side by side.
    rows = table("crimp_tensile_min")
    pounds, newtons = rows.numbers("ABYC_E11_tableXVI_lbf_1min"), rows.numbers("ABYC_N")
    given = ~np.isnan(pounds)
    assert np.count_nonzero(given) > 10
    assert pounds[given] * POUND_FORCE_N == pytest.approx(newtons[given], abs=0.5)
