"""Time of a million cable judgements, ampacity and drop of every listed size, beside bare numpy.

Run by hand: ``python tests/benchmarks/bench_cable.py``. Both are held to the same answer, and the
seconds are of the processor, of one core.
"""

import os

os.environ.update(dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"))

import time

import numpy as np

from elec.calc.cables import conductors, sizing
from elec.checks.basis import basis_of
from elec.published import table

SAMPLES = 1_000_000
BASIS = basis_of("us")
rng = np.random.default_rng(1)
current = rng.uniform(1, 300, SAMPLES)
length = rng.uniform(1, 30, SAMPLES)
allowed = rng.choice([0.36, 0.72, 1.2, 2.4], SAMPLES)
ampacity = BASIS.ampacity_A[:, BASIS.insulation_C.index(105)]
ohm_per_m = conductors.ohm_per_m_circular_mil(
    BASIS.area_cmil,
    k_ohm_cmil_per_ft=table("resistivity_constants").exact("value", name="ABYC K"),
)


def ours():
    drop = conductors.drop_V(
        current[:, None], length_one_way_m=length[:, None], ohm_per_m=ohm_per_m
    )
    margins = {"ampacity": 1 - current[:, None] / ampacity, "drop": 1 - drop / allowed[:, None]}
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
ratio = best["ours"] / best["bare"]
print("| a million runs, 15 sizes each | s | bare numpy, s | ratio | target |")
print("|---|---:|---:|---:|---|")
print(
    f"| ampacity, drop, smallest size | {best['ours']:.2f} | {best['bare']:.2f} | {ratio:.2f} | "
    "at most 2 s and 3 |"
)
