"""Repeat, alternate, keep the least: timing on a machine that may be doing other things."""

from __future__ import annotations

import gc
import os
import platform
import statistics
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from importlib.metadata import version


@dataclass
class Times:
    """Times of one piece of work, s: by the clock, and of its thread's processor."""

    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)

    def add(self, work: Callable[[], object]) -> None:
        """Do the work once and keep its times."""
        cpu, wall = time.thread_time(), time.perf_counter()
        work()
        self.wall.append(time.perf_counter() - wall)
        self.cpu.append(time.thread_time() - cpu)

    def summary(self) -> dict[str, float]:
        """Return least and median, s."""
        return {
            "min": min(self.wall), "median": statistics.median(self.wall), "cpu": min(self.cpu), "n": len(self.wall),
        }  # fmt: skip


def alternate(works: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, Times]:
    """Do all pieces of work in turn, `rounds` times, so that a busy spell of the machine hits all of them alike."""
    times = {name: Times() for name in works}
    for work in works.values():
        work()
    gc.collect()
    gc.disable()
    try:
        for _ in range(rounds):
            for name, work in works.items():
                times[name].add(work)
    finally:
        gc.enable()
    return times


def machine() -> dict[str, object]:
    """Return what the figures depend on, without naming a model."""
    names = ("numpy", "numba", "scipy", "scikit-sundae")
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    kind = {"x86_64": "x86-64", "amd64": "x86-64"}.get(platform.machine().lower(), platform.machine())
    return {
        "cores": cores, "kind": kind, "system": platform.system(), "python": platform.python_version(),
        "libraries": {name: version(name) for name in names}, "date": time.strftime("%Y-%m-%d"),
    }  # fmt: skip


def load() -> float | None:
    """Return how many jobs wanted a core in the last minute, or None where the system does not say."""
    return round(os.getloadavg()[0], 1) if hasattr(os, "getloadavg") else None
