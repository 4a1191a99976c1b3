"""Time of a bank through time: one bank for a year, and 4,096 samples for 72 h, 10 min steps.

Run by hand: ``python tests/benchmarks/bench_bank.py``. Where PyBaMM is installed, the same 20 h
discharge is compared with its simplest lead-acid model, setting up left out on both sides. The
kinetic model has it in one exact step; step by step with the limits of charging it is slower, and
that ratio stands in the table too.
"""

import time

import numpy as np

from elec.calc.batteries import kinetic, simulation

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

    return best_of(3, run)


def step(charge, *, model, current_A, time_h):
    """Charge after a steady current for a time, exactly."""
    a, b, d = kinetic.coefficients(model, time_h=time_h)
    available = a * charge.available_Ah + b * charge.total_Ah - d * current_A
    return kinetic.Charge(available, charge.total_Ah - current_A * time_h - available)


def discharges():
    """Times of one 20 h discharge at a steady current, ours and the reference's, in seconds."""
    import pybamm

    reference = pybamm.Simulation(
        pybamm.lead_acid.LOQS(),
        parameter_values=pybamm.ParameterValues("Sulzer2019"),
        C_rate=1 / 20,
    )
    reference.build()
    seconds = 20 * 3600
    every_10_min = np.linspace(0, seconds, 121)
    full = kinetic.rested(MODEL, total_Ah=MODEL.total_Ah)
    many = kinetic.scaled(MODEL, factor=np.linspace(0.5, 1.0, 4096))
    full_many = kinetic.rested(many, total_Ah=many.total_Ah)
    hours = every_10_min[1:] / 3600
    load = np.full(120, 5.0)

    def stepped():
        simulation.simulate(MODEL, rated_Ah=100.0, load_A=load, source_A=0 * load, **KIND)

    def read():
        solution = reference.solve([0, seconds], t_interp=every_10_min)
        return solution["Battery voltage [V]"].entries

    end = best_of(50, lambda: reference.solve([0, seconds]))
    states = best_of(50, read)
    once = best_of(500, lambda: step(full, model=MODEL, current_A=5.0, time_h=20.0))
    each = best_of(500, lambda: step(full, model=MODEL, current_A=5.0, time_h=hours))
    batch = best_of(50, lambda: step(full_many, model=many, current_A=5.0, time_h=20.0))
    return [
        ("state at the end, one exact step", once, end),
        ("120 states, closed form", each, states),
        ("120 states, step by step with limits", best_of(50, stepped), states),
        ("state at the end, each of 4,096 banks", batch / 4096, end),
    ]


def main():
    print(f"{'one bank, one year':40s} {samples_run(1, 8760):6.2f} s")
    print(f"{'4,096 samples, 72 h':40s} {samples_run(4096, 72):6.2f} s")
    try:
        rows = discharges()
    except ImportError:
        print("20 h discharge: PyBaMM is not installed, not compared")
        return
    print("\n20 h discharge                             ours, us  PyBaMM LOQS, us   ratio")
    for name, ours, reference in rows:
        print(f"{name:40s} {ours * 1e6:10.2f} {reference * 1e6:16.0f} {reference / ours:7.0f}")


if __name__ == "__main__":
    main()
