"""Time of a bank through time: one bank for a year, and 4,096 samples for 72 h, 10 min steps.

Run by hand: ``python tests/benchmarks/bench_bank.py``. Where PyBaMM is installed, a 20 h discharge
is compared with its simplest lead-acid model, setting up left out on both sides.
"""

import time

import numpy as np

from elec.calc import kinetic, simulation

STEP_H = 1 / 6
MODEL = kinetic.identify([1.0, 10.0, 20.0], capacity_Ah=[60.0, 93.0, 100.0])
KIND = {
    "step_h": STEP_H,
    "efficiency": simulation.ChargeEfficiency(0.95, 0.8, 0.55),
    "acceptance": simulation.Acceptance(120.0, 0.0),
}


def best_of(number, run):
    """Shortest of several runs, in seconds."""
    times = []
    for _ in range(number):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def samples_run(samples, hours):
    rng = np.random.default_rng(1)
    steps = round(hours / STEP_H)
    factor = rng.uniform(0.5, 1.0, samples)
    load = rng.uniform(0.0, 8.0, (samples, steps))
    source = np.where(np.arange(steps) // 6 % 24 < 3, 45.0, 0.0)

    def run():
        trace = simulation.simulate(
            kinetic.scaled(MODEL, factor=factor),
            rated_Ah=100.0 * factor,
            load_A=load,
            source_A=source,
            **KIND,
        )
        simulation.lowest(trace)
        simulation.hours_to_level_h(trace, state_of_charge=0.5)
        simulation.hours_carried_h(trace)

    return best_of(3, run)


def discharge_ratio():
    """How many times faster a 20 h discharge is than the simplest porous-electrode model."""
    import pybamm

    reference = pybamm.Simulation(
        pybamm.lead_acid.LOQS(),
        parameter_values=pybamm.ParameterValues("Sulzer2019"),
        C_rate=1 / 20,
    )
    reference.build()
    load = np.full(120, 5.0)

    def ours():
        simulation.simulate(MODEL, rated_Ah=100.0, load_A=load, source_A=0 * load, **KIND)

    return best_of(5, lambda: reference.solve([0, 20 * 3600])) / best_of(5, ours)


def main():
    print(f"{'one bank, one year':30s} {samples_run(1, 8760):6.2f} s")
    print(f"{'4,096 samples, 72 h':30s} {samples_run(4096, 72):6.2f} s")
    try:
        print(f"{'20 h discharge, PyBaMM LOQS':30s} {discharge_ratio():6.0f} times slower")
    except ImportError:
        print("20 h discharge: PyBaMM is not installed, not compared")


if __name__ == "__main__":
    main()
