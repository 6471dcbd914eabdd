"""Middlerun: predict a batch distillation run of your own still.

>>> import middlerun
>>> middlerun.__version__
'0.1.0'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"
__all__ = ["__version__", "load_plan", "predict"]

if TYPE_CHECKING:
    from middlerun.plan import load_plan, predict


def __getattr__(name: str) -> Any:
    """Import the two front doors only when asked for: a command loads what it uses."""
    if name in ("load_plan", "predict"):
        from middlerun import plan

        return getattr(plan, name)
    raise AttributeError(f"module 'middlerun' has no attribute {name!r}")
