"""The one judge: a requirement over what is possible in, a verdict and what it turns on out.

A check hands over a pure function that returns a value and its limit, together with the range in
which each of its inputs lies. The verdict covers the whole of those ranges, never their middle.
"""

from __future__ import annotations

from elec.judge.records import (
    HOLDS_WITHIN,
    Input,
    Requirement,
    Ruling,
    Sense,
    Span,
    TurningPoint,
    Verdict,
)
from elec.judge.ruling import MARGIN, holds, judge

__all__ = [
    "HOLDS_WITHIN",
    "MARGIN",
    "Input",
    "Requirement",
    "Ruling",
    "Sense",
    "Span",
    "TurningPoint",
    "Verdict",
    "holds",
    "judge",
]
