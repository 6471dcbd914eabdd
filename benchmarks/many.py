"""A thousand different runs of a 3-plate still: time and memory, each way in a process of its own.

`python -m benchmarks.many WAY COUNT` measures one way and prints it as JSON; `measure` starts them all, one by one.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import psutil

from benchmarks.inside import parts
from benchmarks.plans import ROOT, different
from middlerun.column import Day, simulate_run
from middlerun.plan import Plan, predict
from middlerun.plan.check import prepare
from middlerun.plan.engine import pot_charge, predict_many

EVERY = 300.0  # s between rows where the runs are wanted for their outcome
WAYS = {
    "many": f"`predict_many`, a row every {EVERY:.0f} s",
    "full": "`predict_many`, a row every 10 s",
    "one": f"`predict` in a loop on one core, a row every {EVERY:.0f} s",
    "bare": f"`simulate_run` in threads, only phases kept, a row every {EVERY:.0f} s",
}


def _bare(plan: Plan) -> tuple[float, ...]:
    known = prepare(plan)
    day = Day(pressure=known.pressure, room=plan.weather.room, water=plan.weather.water)
    outcome = simulate_run(known.still, pot_charge(known.charge), day, known.settings, every=plan.report_every)
    return tuple(phase.ethanol for phase in outcome.phases)


def _in_threads(plans: list[Plan]) -> list[tuple[float, ...]]:
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        return list(pool.map(_bare, plans))


def _way(name: str) -> tuple[float, Callable[[list[Plan]], list[object]]]:
    ways: dict[str, tuple[float, Callable[[list[Plan]], list[object]]]] = {
        "many": (EVERY, predict_many),
        "full": (10.0, predict_many),
        "one": (EVERY, lambda plans: [predict(plan) for plan in plans]),
        "bare": (EVERY, _in_threads),
    }
    return ways[name]


class _Watch:
    """The most memory, bytes, that this process holds while it is open."""

    def __enter__(self) -> _Watch:
        self._process, self._stop = psutil.Process(), threading.Event()
        self.start = self.most = self._process.memory_info().rss
        self._thread = threading.Thread(target=self._look, daemon=True)
        self._thread.start()
        return self

    def _look(self) -> None:
        while not self._stop.wait(0.02):
            self.most = max(self.most, self._process.memory_info().rss)

    def __exit__(self, *error: object) -> None:
        self._stop.set()
        self._thread.join()
        self.most = max(self.most, self._process.memory_info().rss)


def one_way(name: str, count: int) -> dict[str, object]:
    """Measure one way in this process: s by the clock, s of processor, memory in bytes."""
    every, work = _way(name)
    plans = different(count, every)
    work(plans[:2])
    with _Watch() as watch:
        wall, cpu = time.perf_counter(), time.process_time()
        results = work(plans)
        wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    assert len(results) == count
    return {
        "way": name, "words": WAYS[name], "count": count, "time": wall, "cpu": cpu, "grown": watch.most - watch.start,
        "peak": watch.most,
    }  # fmt: skip


def measure(*, quick: bool = False) -> dict[str, object]:
    """Measure all ways in turn, the first of them three times, and where the time of one prediction goes."""
    count, rounds = (40, 1) if quick else (1000, 3)
    found: dict[str, dict[str, object]] = {}
    for _ in range(rounds):
        for name in ("many",) if quick else WAYS:
            command = [sys.executable, "-m", "benchmarks.many", name, str(count)]
            row = json.loads(subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stdout)
            if name not in found or row["time"] < found[name]["time"]:
                found[name] = row | {"grown": max(row["grown"], found.get(name, row)["grown"])}
    plans = iter(different(5 if quick else 60, EVERY) * 2)
    return {"ways": list(found.values()), "parts": parts(lambda: predict(next(plans)), 10 if quick else 60)}


if __name__ == "__main__":
    print(json.dumps(one_way(sys.argv[1], int(sys.argv[2]))))
