"""Checks of a boat's electrical systems, traceable to published tables.

The library is imported module by module (``from elec.calc import conductors``); importing the
package itself loads nothing heavy.
"""

__version__ = "0.1.0"
__all__ = ["__version__"]
