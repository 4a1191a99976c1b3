"""Time of what runs together: all minimal overload sets of 24 loads and of 40, and leg balance.

Run by hand: ``python tests/benchmarks/bench_together.py``. Wanted: 1 s for 24 loads on two legs,
10 s for 40. Where the sets of 40 loads are too many to hold, the list is cut and says so.
"""

import time

import numpy as np

from elec.calc.balance import balanced_legs, fewest_moves
from elec.calc.together import largest_fits, minimal_overloads


def mixed(count, seed=1):
    """A third of the loads line to line, the rest on one leg or the other."""
    rng = np.random.default_rng(seed)
    amps, kind = np.round(rng.uniform(2, 15, count), 1), rng.integers(0, 3, count)
    return np.column_stack([amps * (kind != 1), amps * (kind != 0)])


def main():
    rng = np.random.default_rng(0)
    for count in (24, 40):
        cases = {
            "mixed": mixed(count),
            "all line to line": np.repeat(np.round(rng.uniform(2, 15, (count, 1)), 1), 2, axis=1),
            "all alike": np.full((count, 2), 5.0),
        }
        for name, loads in cases.items():
            for limit in (50.0, loads[:, 0].sum() / 2):
                start = time.perf_counter()
                found = minimal_overloads(loads, limit_A=limit)
                took = time.perf_counter() - start
                whole = "all" if found.complete else f"all of up to {found.complete_to} loads"
                print(
                    f"{count} loads, {name}, {limit:.0f} A: {len(found)} sets, {whole}, "
                    f"{took:.2f} s"
                )
                start = time.perf_counter()
                fits = largest_fits(loads, limit_A=limit)
                took = time.perf_counter() - start
                print(f"    {len(fits)} sets that fit, {took:.2f} s")
    for legs in (2, 3):
        loads = np.round(rng.uniform(1, 15, 24), 1)
        start = time.perf_counter()
        best = balanced_legs(loads, fixed_A=np.zeros(legs))
        middle = time.perf_counter()
        fewest_moves(loads, leg_now=np.zeros(24, dtype=int), fixed_A=np.zeros(legs), slack=0.02)
        end = time.perf_counter()
        print(
            f"24 loads on {legs} legs: worst {best.worst_A:.1f} A, bound {best.bound_A:.1f} A, "
            f"{middle - start:.2f} s; moves {end - middle:.2f} s"
        )


if __name__ == "__main__":
    main()
