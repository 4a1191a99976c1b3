"""Time of couples: 12 metals on one bond over 4,096 samples, and all pairs of a series.

Run by hand: ``python tests/benchmarks/bench_bond.py``. Wanted: 2 s and 1 s at most.
"""

import time

import numpy as np

from elec.calc.metals.galvanic import potential_difference_V
from elec.calc.metals.mixed_potential import Reaction, bond

METALS, SAMPLES, ROWS = 12, 4096, 180


def main():
    rng = np.random.default_rng(0)
    shape = (SAMPLES, METALS)
    potential = np.linspace(-1.05, 0.0, METALS) + rng.normal(0.0, 0.02, shape)
    density = 10 ** rng.uniform(-3.5, -1.5, shape)
    reactions = [
        Reaction(potential, density, rng.uniform(0.04, 0.10, shape)),
        Reaction(
            potential, density, -rng.uniform(0.10, 0.16, shape), rng.uniform(0.05, 0.40, shape)
        ),
    ]
    area = 10 ** rng.uniform(-2.0, 0.5, shape)
    cases = {
        "no resistance": 0.0,
        "0 to 2 ohm": rng.uniform(0.0, 2.0, shape),
        "1 µohm to 1 kohm": 10 ** rng.uniform(-6.0, 3.0, shape),
    }
    for name, resistance in cases.items():
        start = time.perf_counter()
        settled = bond(reactions, area_m2=area, resistance_ohm=resistance)
        took = time.perf_counter() - start
        off = np.abs(settled.net_A.sum(axis=-1) / settled.dissolving_A.sum(axis=-1)).max()
        print(f"bond, {name}: {took:.2f} s, out of balance by {off:.0e} at most")

    low = rng.uniform(-1.6, 0.2, ROWS)
    high = low + rng.uniform(0.0, 0.2, ROWS)
    start = time.perf_counter()
    potential_difference_V(low[:, None], a_high_V=high[:, None], b_low_V=low, b_high_V=high)
    print(f"all pairs of {ROWS} rows: {time.perf_counter() - start:.4f} s")


if __name__ == "__main__":
    main()
