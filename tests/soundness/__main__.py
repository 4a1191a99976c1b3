"""Prove by machine that nothing unread is taken for safe: ``python -m tests.soundness``.

``python -m tests.soundness bank.chemistry`` tries one key, ``python -m tests.soundness bank`` one
record. Prints the holes and the figures; ends with 1 if there is any hole.
"""

from __future__ import annotations

import sys
import time
import tomllib
from collections import Counter
from pathlib import Path

from .unread import holes

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.toml"))


def main(only: str = "") -> int:
    """Try every field of every example boat; print each hole once, and how many there are."""
    start, kinds = time.perf_counter(), Counter[str]()
    for path in EXAMPLES:
        for hole in holes(tomllib.loads(path.read_text(encoding="utf-8")), only):
            kinds[hole.kind] += 1
            print(f"{path.stem}: {hole}", flush=True)
    counted = ", ".join(f"{kind} {count}" for kind, count in sorted(kinds.items())) or "none"
    print(f"holes: {counted}; {time.perf_counter() - start:.0f} s")
    return 1 if kinds else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
