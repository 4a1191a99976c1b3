"""Time of what runs together: all minimal overload sets of 24 loads and of 40, and leg balance.

Run by hand: ``python tests/benchmarks/bench_together.py``. Wanted: 1 s for 24 loads on two legs,
10 s for 40. Where the sets of 40 loads are too many to hold, the list is cut and says so.
"""

import math
import time

import numpy as np

from elec.calc.ac.balance import balanced_legs, fewest_moves
from elec.calc.ac.together import Draws, largest_fits, overloads_in_range

UNREAD = np.tile([-math.acos(0.8), 0.0], (2, 1))


def one_kind(name, count, seed):
    """Currents of a list of loads on two legs, amps or phasors."""
    rng = np.random.default_rng(seed)
    amps, leg = np.round(rng.uniform(1, 15, (count, 1)), 1), rng.integers(0, 3, count)
    if name == "as aboard":
        large, small = round(count * 0.3), round(count * 0.45)
        amps[:large] = np.round(rng.uniform(8, 15, (large, 1)), 1)
        amps[large : large + small] = rng.choice([0.5, 1, 1.5, 2], (small, 1))
        amps[large + small :] = 12.5
    if name == "all alike":
        amps[:] = 5.0
    if name == "to neutral":
        leg = rng.integers(0, 2, count)
    on_legs = amps * np.column_stack([leg != 1, leg != 0])
    if name == "two unrelated values":
        return np.round(rng.uniform(1, 15, (count, 2)), 1)
    if name == "phasors":
        factor = rng.uniform(0.7, 1, (count, 1))
        return on_legs * (factor - 1j * np.sqrt(1 - factor**2))
    return on_legs


def ends(on_legs, seed):
    """The same loads, half of them of power factors not read and of currents within 20 %."""
    unread = np.random.default_rng(seed).random((len(on_legs), 1)) < 0.5
    exact, some = np.where(unread, 0, on_legs) + 0j, np.where(unread, on_legs, 0)
    return Draws(exact, 0.8 * some, UNREAD), Draws(exact, 1.2 * some, UNREAD)


def timed(find):
    start = time.perf_counter()
    found = find()
    return found, time.perf_counter() - start


def main():
    kinds = ("to neutral", "mixed", "as aboard", "all alike", "two unrelated values", "phasors")
    for count in (24, 40):
        for name in (*kinds, "ranges"):
            worst, slowest_fit, cut = 0.0, 0.0, []
            for seed in range(20 if count == 24 else 3):
                loads = one_kind(name, count, seed)
                for share in (0.3, 0.5, 0.7):
                    limit = abs(loads).sum(axis=0).max() * share
                    ranged = name == "ranges"
                    low, high = ends(loads, seed) if ranged else (loads, loads)
                    limits = {"limit_low_A": limit, "limit_high_A": limit}
                    both, took = timed(
                        lambda low=low, high=high, limits=limits: overloads_in_range(
                            low, high_A=high, **limits
                        )
                    )
                    found = both.possibly if ranged else both.surely
                    _, fit = timed(
                        lambda loads=loads, limit=limit: largest_fits(loads, limit_A=limit)
                    )
                    worst, slowest_fit = max(worst, took), max(slowest_fit, fit)
                    if not found.complete:
                        cut.append(found.complete_to)
            whole = f"{len(cut)} lists cut, at {min(cut)} loads or more" if cut else "all whole"
            print(
                f"{count} loads, {name}: {worst:.2f} s at most, fits {slowest_fit:.2f} s; {whole}"
            )
    rng = np.random.default_rng(0)
    for legs in (2, 3):
        loads = np.round(rng.uniform(1, 15, 24), 1)
        best, first = timed(
            lambda loads=loads, legs=legs: balanced_legs(loads, fixed_A=np.zeros(legs))
        )
        now = {"leg_now": np.zeros(24, dtype=int), "fixed_A": np.zeros(legs), "slack": 0.02}
        _, then = timed(lambda loads=loads, now=now: fewest_moves(loads, **now))
        print(
            f"24 loads on {legs} legs: worst {best.worst_A:.1f} A, bound {best.bound_A:.1f} A, "
            f"{first:.2f} s; moves {then:.2f} s"
        )


if __name__ == "__main__":
    main()
