"""Look inside a prediction without changing it: the compiled calls with their arguments, and where the time goes."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import numpy as np

from middlerun.column import model
from middlerun.plan import engine

_LARGE = 200_000  # numbers; larger arrays are outputs only and need not be put back
COMPILED = ("simulate", "resample", "finish")
PARTS = (
    (engine, "prepare", "checks, still and phases to numbers"),
    (model, "pack", "numbers to the kernel's arrays"),
    (model, "build_table", "equilibrium table for the day's pressure"),
    (model, "simulate", "compiled: the run itself"),
    (model, "resample", "compiled: even grid of the report"),
    (model, "finish", "compiled: series for people"),
    (engine, "_fractions", "fractions"),
    (engine, "_totals", "totals"),
    (engine, "with_warnings", "warnings"),
)
REST = "all else"


@contextmanager
def _patched(places: Sequence[tuple[Any, str]], wrap: Callable[[str, Any], Any]) -> Iterator[None]:
    kept = [(module, name, getattr(module, name)) for module, name in places]
    try:
        for module, name, old in kept:
            setattr(module, name, wrap(name, old))
        yield
    finally:
        for module, name, old in kept:
            setattr(module, name, old)


def compiled_calls(run: Callable[[], object]) -> dict[str, Callable[[], object]]:
    """Run once and return the compiled calls that it made, by name, each ready to be made again as it was.

    Arguments that a call changes are put back before each call by `again`, outside what is timed.
    """
    calls: dict[str, tuple[Any, tuple[Any, ...], list[Any]]] = {}

    def wrap(name: str, old: Any) -> Any:
        def kept(*arguments: Any) -> Any:
            small = [a.copy() if isinstance(a, np.ndarray) and a.size < _LARGE else None for a in arguments]
            copies = tuple(a.copy() if isinstance(a, np.ndarray) else a for a in arguments)
            calls[name] = (old, copies, small)
            return old(*arguments)

        return kept

    with _patched([(model, name) for name in COMPILED], wrap):
        run()
    return {name: _Again(*calls[name]) for name in COMPILED}


class _Again:
    """A call that can be made again: `put_back` restores its arguments."""

    def __init__(self, function: Any, arguments: tuple[Any, ...], start: list[Any]) -> None:
        self.function, self.arguments, self.start = function, arguments, start

    def put_back(self) -> None:
        for array, kept in zip(self.arguments, self.start, strict=True):
            if kept is not None:
                array[...] = kept

    def __call__(self) -> object:
        return self.function(*self.arguments)


def parts(work: Callable[[], object], repeats: int) -> list[dict[str, object]]:
    """Return the least processor time, s, of each part of a prediction in the order of `PARTS`, and of the rest."""
    spent: dict[str, float] = {}
    least: dict[str, float] = {}

    def wrap(name: str, old: Any) -> Any:
        def timed(*arguments: Any, **named: Any) -> Any:
            start = time.thread_time()
            try:
                return old(*arguments, **named)
            finally:
                spent[name] = spent.get(name, 0.0) + time.thread_time() - start

        return timed

    with _patched([(module, name) for module, name, _ in PARTS], wrap):
        for _ in range(repeats):
            spent.clear()
            start = time.thread_time()
            work()
            spent[REST] = time.thread_time() - start - sum(spent.values())
            for name, value in spent.items():
                least[name] = min(value, least.get(name, value))
    words = {name: label for _, name, label in PARTS} | {REST: REST}
    return [{"part": words[name], "time": least[name]} for name in (*(n for _, n, _ in PARTS), REST) if name in least]
