"""Time of sizing: a million runs against fifteen sizes, ampacity and drop, beside bare numpy.

Run by hand: ``python tests/benchmarks/bench_sizing.py``.
"""

import time

import numpy as np

from elec.calc import sizing

SAMPLES, SIZES = 1_000_000, 15
rng = np.random.default_rng(1)
current = rng.uniform(1, 300, SAMPLES)
length = rng.uniform(1, 30, SAMPLES)
allowed = rng.choice([0.36, 0.72, 1.2], SAMPLES)
ampacity = np.geomspace(20, 445, SIZES)
ohm_per_m = np.geomspace(0.02, 0.00016, SIZES)


def ours():
    margins = sizing.run_margins(
        current,
        length_one_way_m=length,
        allowed_drop_V=allowed,
        ampacity_A=ampacity,
        ohm_per_m=ohm_per_m,
    )
    return sizing.smallest_size(margins).index


def bare():
    drop = 1 - (2 * current * length / allowed)[:, None] * ohm_per_m
    heat = 1 - current[:, None] / ampacity
    holds = (drop >= -1e-9) & (heat >= -1e-9)
    return np.where(holds.any(axis=-1), holds.argmax(axis=-1), -1)


assert np.array_equal(ours(), bare())
best = {}
for function in (ours, bare) * 5:
    start = time.process_time()
    function()
    taken = time.process_time() - start
    best[function.__name__] = min(taken, best.get(function.__name__, taken))
print(f"a million runs: {best['ours']:.2f} s, {best['ours'] / best['bare']:.1f} x bare numpy")
