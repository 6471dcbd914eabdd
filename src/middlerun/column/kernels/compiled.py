"""The one decorator of the kernels, and where their compiled code is kept.

Numba's disk cache looks only at the file that holds a function, not at the files it calls into. So the cache
folder is named by a hash of all kernel files and of what they import from: an edit anywhere means a new folder.
"""

from __future__ import annotations

import hashlib
import os
import sys
from importlib import import_module
from pathlib import Path
from typing import Any

import numba

_HERE = Path(__file__).parent
_ALSO = ("middlerun.substances._scalar", "middlerun.substances.equilibrium_table")


def fingerprint() -> str:
    """Return a hash of every kernel file, of the physics files compiled into them, and of the compiler."""
    digest = hashlib.sha256(f"{numba.__version__} {sys.version}".encode())
    files = [*sorted(_HERE.glob("*.py")), *(Path(str(import_module(name).__file__)) for name in _ALSO)]
    data = Path(str(import_module("middlerun.substances").__file__)).parent / "data"
    for file in [*files, *sorted(data.glob("*.toml"))]:
        digest.update(file.name.encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def cache_folder() -> Path:
    """Return the folder that holds the compiled kernels of exactly these sources."""
    base = os.environ.get("MIDDLERUN_CACHE")
    if base is None:
        base = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA") or str(Path.home() / ".cache")
        base = os.path.join(base, "middlerun")
    return Path(base) / f"kernels-{fingerprint()}"


def jit(function: Any) -> Any:
    """Compile on first call, keep on disk, release the interpreter lock.

    Fused multiply-add and reciprocals are allowed (rounding only); NaN and infinity keep their meaning.
    """
    config: Any = numba.config
    before = config.CACHE_DIR
    config.CACHE_DIR = str(_FOLDER)
    try:
        return numba.njit(cache=True, nogil=True, error_model="numpy", fastmath={"contract", "arcp", "nsz"})(function)
    finally:
        config.CACHE_DIR = before


_FOLDER = cache_folder()
