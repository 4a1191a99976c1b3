"""Time of the judge: 1,000 requirements of six unsettled inputs, turning points included.

Run by hand: ``python tests/benchmarks/bench_judge.py``.
"""

import random
import time

import numpy as np

from elec.judge import Input, Requirement, judge


def drop_fraction(current_A, length_m, area_mm2, temperature_C, volts_V, factor):
    resistivity = 0.0172 * (1 + 0.0039 * (temperature_C - 20))
    return 2 * current_A * factor * length_m * resistivity / area_mm2 / volts_V, 0.03


def requirement(rng, open_verdict):
    def about(name, middle, worse):
        return Input.between(name, middle * 0.8, middle, middle * 1.2, worse=worse)

    area = 2 * 60 * 6 * 0.02 / 12 / 0.03 * (rng.uniform(0.7, 1.4) if open_verdict else 5)
    inputs = (
        about("current_A", 60.0, "higher"),
        about("length_m", 6.0, "higher"),
        about("area_mm2", area, "lower"),
        about("temperature_C", 45.0, "higher"),
        about("volts_V", 12.0, "lower"),
        about("factor", 1.0, "higher"),
    )
    return Requirement(drop_fraction, inputs, "at most")


def main():
    rng = random.Random(1)
    print(f"{'verdict':14s} {'requirements':>12s} {'ms each':>8s} {'points each':>11s}")
    for open_verdict in (True, False):
        batch = [requirement(rng, open_verdict) for _ in range(1000)]
        judge(batch[0])
        start = time.perf_counter()
        rulings = [judge(entry) for entry in batch]
        spent = time.perf_counter() - start
        (verdict,) = {ruling.verdict for ruling in rulings}
        points = np.mean([ruling.points for ruling in rulings])
        print(f"{verdict:14s} {len(batch):12d} {spent:8.3f} {points:11.0f}")


if __name__ == "__main__":
    main()
