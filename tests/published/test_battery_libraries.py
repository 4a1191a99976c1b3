"""Batteries and sun against open reference libraries, where they are installed.

They are no dependency of the package: each test is skipped without its library.
"""

import numpy as np
import pytest

from elec.calc.batteries import charging, kinetic, timetable


def assert_empties(model, current, *, hours, within_h):
    """A current empties the full bank in a time, give or take: less does if longer, more if not."""
    ends = np.array([hours + within_h, hours - within_h])
    least, most = kinetic.capacity_in_Ah(model, time_h=ends) / ends
    assert least <= current <= most


def test_discharge_at_a_rate_between_the_ratings(two_wells):
    # NREL-PySAM 7.1 BatteryStateful, same three ratings, steps of one minute (0.56 Ah each):
    # 67.6 Ah at 33.3 A.
    assert_empties(two_wells, 33.3, hours=67.6 / 33.3, within_h=1 / 60)


def test_run_times_of_pysam(two_wells):
    stateful = pytest.importorskip("PySAM.BatteryStateful")
    for current in (5.0, 9.3, 33.3, 60.0):
        battery = stateful.default("LeadAcid")
        cell, pack = battery.ParamsCell, battery.ParamsPack
        cell.chem = 0
        cell.leadacid_q20, cell.leadacid_q10, cell.leadacid_qn, cell.leadacid_tn = 100, 93, 60, 1
        cell.Qfull = 100
        cell.initial_SOC, cell.maximum_SOC, cell.minimum_SOC = 100, 100, 0
        pack.nominal_energy, pack.nominal_voltage, pack.h = 1.2, 12, 1e6
        pack.cap_vs_temp = [[-40, 100], [60, 100]]
        battery.Controls.control_mode = 0
        battery.Controls.dt_hr = 1 / 60
        battery.Controls.input_current = current
        battery.setup()
        steps = 0
        while steps < 60 * 30:
            battery.execute(0)
            if current * 0.999 > battery.StatePack.I:
                break
            steps += 1
        assert_empties(two_wells, current, hours=steps / 60, within_h=2 / 60)


def test_shape_of_a_porous_electrode_model(two_wells):
    # Shape only: capacity falls with rate, and more steeply the harder it is worked. The model is
    # of one fresh test battery, milder than trade batteries.
    pybamm = pytest.importorskip("pybamm")
    values = pybamm.ParameterValues("Sulzer2019")
    hours = np.array([1.0, 5.0, 20.0])
    capacity = []
    for n in hours:
        simulation = pybamm.Simulation(
            pybamm.lead_acid.Full(), parameter_values=values, C_rate=1 / n
        )
        solution = simulation.solve([0, 7200 * n])
        capacity.append(solution["Discharge capacity [A.h]"].entries[-1])
    ours = kinetic.capacity_in_Ah(two_wells, time_h=hours)
    for given in (np.array(capacity), ours):
        assert np.all(np.diff(given) > 0)
        local = np.diff(np.log(given)) / np.diff(np.log(hours))
        assert local[0] > local[1] > 0


# Clear sky on a flat panel at sea level, turbidity 3.0 (pvlib 0.16, Ineichen): kWh/m2 in the day.
@pytest.mark.parametrize(
    ("latitude", "day", "printed"),
    [
        (18, "2025-12-21", 5.17),
        (35, "2025-03-21", 6.16),
        (45, "2025-06-21", 8.39),
        (55, "2025-12-21", 0.55),
    ],
)
@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear is deprecated")
def test_half_sine_day_against_pvlib(latitude, day, printed):
    location = pytest.importorskip("pvlib.location")
    pandas = pytest.importorskip("pandas")
    times = pandas.date_range(day, periods=24 * 60, freq="1min", tz="UTC")
    place = location.Location(latitude, 0.0, altitude=0, tz="UTC")
    sky = place.get_clearsky(times, model="ineichen", linke_turbidity=3.0)["ghi"].to_numpy()
    energy = sky.sum() / 60 / 1000
    assert energy == pytest.approx(printed, abs=0.01)

    light = np.flatnonzero(sky > 0) / 60
    total = charging.solar_charge_Ah(1000.0, peak_sun_h=energy, system_fraction=1.0, voltage_V=1.0)
    arch = timetable.arch_A(
        float(total), rise_h=light[0], set_h=light[-1], total_h=24.0, step_h=1 / 60
    )
    # At no hour is the charge since sunrise off by more than a twentieth of the day's.
    assert np.abs(np.cumsum(arch - sky)).max() / 60 < 0.05 * total
