"""Pure calculations, a folder a subject: cables, network, ac, batteries, metals.

A module is had from here by its own name too: ``from elec.calc import conductors``.

What holds for all of them: floats or arrays that broadcast go in, and the same come out, in the
unit that stands in brackets at the end of the first sentence. Every argument is checked. An
`InputError` names the one that is not finite, does not fit the others in shape, or lies outside
the range that its line gives; where it gives none, below zero, or at zero where that means
nothing (a length, a voltage that divides). Potentials and temperatures may have any sign.
"""

from importlib import import_module
from pkgutil import iter_modules
from typing import Any


def __getattr__(name: str) -> Any:
    """Return the subject of that name, or the module, whichever subject it stands in."""
    if not name.startswith("_"):
        for subject in iter_modules(__path__):
            if name == subject.name:
                return import_module(f"{__name__}.{name}")
            within = iter_modules([f"{path}/{subject.name}" for path in __path__])
            if name in {one.name for one in within}:
                return import_module(f"{__name__}.{subject.name}.{name}")
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
