"""numpy and scipy, imported when one of their names is first used.

Importing both takes half a second, which pages that show no evidence should not wait for. Every
other file imports them from here, at its top.
"""

from importlib import import_module
from typing import TYPE_CHECKING

__all__ = ["ArrayLike", "Bools", "Floats", "Integers", "np", "optimize", "special"]

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray
    from scipy import optimize, special

    Bools = NDArray[np.bool_]
    Floats = NDArray[np.float64]
    Integers = NDArray[np.int64]
else:
    ArrayLike = Bools = Floats = Integers = object  # named in annotations only

    class _Module:
        """Stands for a module until one of its names is asked for."""

        def __init__(self, name: str) -> None:
            self._name = name

        def __getattr__(self, name: str) -> object:
            found = getattr(import_module(self._name), name)
            setattr(self, name, found)
            return found

    np = _Module("numpy")
    optimize, special = _Module("scipy.optimize"), _Module("scipy.special")
