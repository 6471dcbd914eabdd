"""The demo plan on one core, warm: the compiled run alone, the whole prediction, unseen pressures; more plates."""

from __future__ import annotations

import dataclasses
import random

import numpy as np

from benchmarks.inside import compiled_calls, parts
from benchmarks.plans import at_pressure, demo, lasting, with_plates
from benchmarks.timing import Times
from middlerun.plan import Plan, predict

FOUR, THREE = "demo plan, 4 plates", "demo plan with 3 plates"
LENGTHS = (2, 4, 8, 16, 32)  # cycles of twenty minutes


def measure(*, quick: bool = False) -> dict[str, object]:
    """Measure both plans in turn, and where the time of the first goes."""
    repeats = 10 if quick else 200
    plans = {FOUR: demo(), THREE: with_plates(demo(), 3)}
    rows = []
    for name, plan in plans.items():
        rows.append({"plan": name, **_sizes(plan)} | {key: t.summary() for key, t in _times(plan, repeats).items()})
    return {"plans": rows, "parts": parts(lambda: predict(plans[FOUR]), repeats)}


def _times(plan: Plan, repeats: int) -> dict[str, Times]:
    """Return times of the compiled run, of it with its report, of `predict`, and of `predict` at fresh pressures."""
    calls = compiled_calls(lambda: predict(plan))
    rng = random.Random(11)
    times = {key: Times() for key in ("run", "report", "predict", "fresh")}
    for _ in range(3):
        predict(plan)
    for _ in range(repeats):
        for call in calls.values():
            call.put_back()
        times["run"].add(calls["simulate"])
        times["report"].add(lambda: (calls["resample"](), calls["finish"]()))
        times["predict"].add(lambda: predict(plan))
        elsewhere = at_pressure(plan, rng.uniform(88e3, 104e3))
        times["fresh"].add(lambda elsewhere=elsewhere: predict(elsewhere))
    both = Times(
        wall=[a + b for a, b in zip(times["run"].wall, times["report"].wall, strict=True)],
        cpu=[a + b for a, b in zip(times["run"].cpu, times["report"].cpu, strict=True)],
    )
    return {"run": times["run"], "run_and_report": both, "predict": times["predict"], "fresh": times["fresh"]}


def _sizes(plan: Plan) -> dict[str, object]:
    steps, rejected, states = _steps(plan)
    run = predict(plan)
    return {
        "hours": run.totals["duration"] / 3600.0, "rows": len(run.series["time"]), "states": states, "steps": steps,
        "rejected": rejected,
    }  # fmt: skip


def _steps(plan: Plan) -> tuple[int, int, int]:
    calls = compiled_calls(lambda: predict(plan))
    calls["simulate"].put_back()
    calls["simulate"]()
    counts, state = calls["simulate"].arguments[-1], calls["simulate"].arguments[0]
    return int(counts[1] - counts[2]), int(counts[2]), len(state)


def scaling(*, quick: bool = False) -> dict[str, object]:
    """Measure how time grows with plates, and with the length of a run whose second half is as lively as its first."""
    rounds = 5 if quick else 60
    plates = _compared({n: with_plates(demo(), n) for n in ((4, 8) if quick else (2, 3, 4, 6, 8))}, rounds)
    lengths = LENGTHS[:3] if quick else LENGTHS
    long = {n: dataclasses.replace(lasting(demo(), n), report_every=10.0) for n in lengths}
    return {"plates": plates, "lengths": _compared(long, rounds)}


def _compared(plans: dict[int, Plan], rounds: int) -> list[dict[str, object]]:
    calls = {n: compiled_calls(lambda plan=plan: predict(plan)) for n, plan in plans.items()}
    run, whole = {n: Times() for n in plans}, {n: Times() for n in plans}
    for _ in range(rounds):
        for n, plan in plans.items():
            for call in calls[n].values():
                call.put_back()
            run[n].add(calls[n]["simulate"])
            whole[n].add(lambda plan=plan: predict(plan))
    return [
        {"n": n, **_sizes(plan), "run": run[n].summary(), "predict": whole[n].summary()} for n, plan in plans.items()
    ]


def line(rows: list[dict[str, object]]) -> tuple[float, float, float]:
    """Return start (s), slope (s per simulated hour) and largest relative distance of the times from that line."""
    hours = np.array([row["hours"] for row in rows])
    times = np.array([row["run"]["cpu"] for row in rows])
    slope, start = np.polyfit(hours, times, 1)
    return float(start), float(slope), float(np.abs((start + slope * hours) / times - 1.0).max())
