"""Warnings: limits that a predicted run would break. One function a check; a new file of checks is found by itself.

Takes: a run without its warnings. Gives: codes with times and values; their words are in `plan/catalogue`. Never: stops
anything. A forecast is no safety device: relief valves, vents and interlocks protect, and the local code decides.

A module of checks has `CHECKS`, a tuple of functions that take a `View` and yield `Warning`s.
"""

from __future__ import annotations

import functools
import importlib
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import replace

from middlerun.plan.check import Prepared
from middlerun.plan.result import Run, Warning
from middlerun.plan.warnings.view import View

__all__ = ["Check", "View", "all_checks", "find_warnings", "with_warnings"]

Check = Callable[[View], Iterator[Warning]]
_ORDER = ("high", "medium", "low")


@functools.cache
def all_checks() -> tuple[Check, ...]:
    """Return every check of every module in this folder, in the order of the modules' names."""
    found: list[Check] = []
    for module in sorted(pkgutil.iter_modules(__path__), key=lambda entry: entry.name):
        found += getattr(importlib.import_module(f"{__name__}.{module.name}"), "CHECKS", ())
    return tuple(found)


def find_warnings(run: Run, prepared: Prepared | None = None) -> tuple[Warning, ...]:
    """Return the warnings of a run: high priority first, then by time; `run.warnings` is not looked at."""
    from middlerun.plan.words import catalogue_entry

    view = View.of(run, prepared)
    found = [warning for check in all_checks() for warning in check(view)]
    return tuple(
        sorted(
            found,
            key=lambda w: (_ORDER.index(catalogue_entry(w.code).priority), -1.0 if w.time is None else w.time, w.code),
        )
    )


def with_warnings(run: Run, prepared: Prepared | None = None) -> Run:
    """Return the run with its warnings."""
    return replace(run, warnings=find_warnings(run, prepared))
