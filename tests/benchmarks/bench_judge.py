"""Time of the judge: 1,000 requirements of six unsettled inputs, turning points included.

Run by hand: ``python tests/benchmarks/bench_judge.py``.
"""

import random
import time

from elec.judge import Input, Requirement, judge


def drop_fraction(current_A, length_m, area_mm2, temperature_C, volts_V, factor):
    resistivity = 0.0172 * (1 + 0.0039 * (temperature_C - 20))
    return 2 * current_A * factor * length_m * resistivity / area_mm2 / volts_V, 0.03


CASES = {
    "open, wide": (0.20, 0.7, 1.4),  # no input decides alone
    "open, close": (0.02, 0.98, 1.02),  # most inputs decide alone over part of their range
    "adequate": (0.20, 5.0, 6.0),
}


def requirement(rng, spread, least, most):
    def about(name, middle, worse):
        return Input.between(
            name, middle * (1 - spread), middle, middle * (1 + spread), worse=worse
        )

    inputs = (
        about("current_A", 60.0, "higher"),
        Input.between("length_m", 4.8, 6.0, 7.2, worse="higher"),
        about("area_mm2", 38.0 * rng.uniform(least, most), "lower"),
        about("temperature_C", 45.0, "higher"),
        about("volts_V", 12.0, "lower"),
        about("factor", 1.0, "higher"),
    )
    return Requirement(drop_fraction, inputs, "at most")


def main():
    rng = random.Random(1)
    print(
        f"{'case':12s} {'requirements':>12s} {'ms each':>8s} {'points each':>11s} {'ends each':>9s}"
    )
    for name, case in CASES.items():
        batch = [requirement(rng, *case) for _ in range(1000)]
        judge(batch[0])
        start = time.process_time()
        rulings = [judge(entry) for entry in batch]
        spent = time.process_time() - start
        points = sum(ruling.points for ruling in rulings) / len(batch)
        ends = sum(
            len(point.adequate_if) + len(point.inadequate_if)
            for ruling in rulings
            for point in ruling.turns_on
        ) / len(batch)
        print(f"{name:12s} {len(batch):12d} {spent:8.3f} {points:11.0f} {ends:9.1f}")


if __name__ == "__main__":
    main()
