"""Pure calculations, a folder a subject: cables, network, ac, batteries, metals.

A module is had from here by its own name too: ``from elec.calc import conductors``.
"""

from importlib import import_module
from pkgutil import iter_modules
from typing import Any


def __getattr__(name: str) -> Any:
    """Return the module of that name, whichever subject it stands in."""
    if not name.startswith("_"):
        for subject in iter_modules(__path__, f"{__name__}."):
            if subject.ispkg:
                package = import_module(subject.name)
                if name in {one.name for one in iter_modules(package.__path__)}:
                    return import_module(f"{subject.name}.{name}")
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
