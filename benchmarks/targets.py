"""What was aimed at, what was reached, and why not where it was not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from benchmarks.speed import FOUR, THREE, line
from benchmarks.tables import Table, three

MOST_BENT = 0.10  # largest distance from a straight line that still counts as linear


@dataclass(frozen=True, kw_only=True)
class Target:
    """One aim: `reached` must be at most (or at least) `aim`, both in `unit`."""

    key: str
    words: str
    aim: float
    reached: float
    unit: str
    least: bool = False

    @property
    def met(self) -> bool:
        """Tell whether it is reached."""
        return self.reached >= self.aim if self.least else self.reached <= self.aim


def targets(found: dict[str, Any]) -> list[Target]:
    """Return all aims for which the results hold a figure: the least of many repetitions.

    In milliseconds and as ratios: processor time, which a busy machine hardly changes; in seconds: by the clock.
    """
    return [*_of_speed(found), *_of_rivals(found), *_of_many(found), *_of_scaling(found), *_of_start(found)]


def _of_speed(found: dict[str, Any]) -> list[Target]:
    if "speed" not in found:
        return []
    by_name = {row["plan"]: row for row in found["speed"]["plans"]}
    four, other = by_name[FOUR], by_name[THREE]
    aims = (
        ("run-4", "compiled run with its report, 4 plates", 6.0, four["run_and_report"]),
        ("run-3", "compiled run with its report, 3 plates", 4.0, other["run_and_report"]),
        ("predict", "`predict(plan)` as a whole, demo plan", 8.0, four["predict"]),
        ("fresh", "the same at a pressure not seen before", 8.0, four["fresh"]),
    )
    return [
        Target(key=key, words=words, aim=aim, reached=1e3 * times["cpu"], unit="ms") for key, words, aim, times in aims
    ]


def _of_rivals(found: dict[str, Any]) -> list[Target]:
    if "rivals" not in found:
        return []
    rows = {row["name"]: row for row in found["rivals"][0]["duel"]}
    aims = (("bdf", "SciPy BDF", 25.0), ("cvode", "CVODE", 5.0))
    return [
        Target(
            key=key, words=f"times as fast as {name}, both within 5e-5 of the distilled ethanol", aim=aim,
            reached=rows[name]["cpu"] / rows["engine"]["cpu"], unit="×", least=True,
        )
        for key, name, aim in aims if name in rows
    ]  # fmt: skip


def _of_many(found: dict[str, Any]) -> list[Target]:
    if "many" not in found:
        return []
    way = found["many"]["ways"][0]
    words = f"{way['count']} different runs, 3 plates, both cores"
    return [
        Target(key="many", words=words, aim=2.5, reached=way["time"], unit="s"),
        Target(key="memory", words="memory that these add", aim=300.0, reached=way["grown"] / 1e6, unit="MB"),
    ]


def _of_scaling(found: dict[str, Any]) -> list[Target]:
    if "scaling" not in found:
        return []
    rows = {row["n"]: row for row in found["scaling"]["plates"]}
    ratio = rows[8]["run"]["cpu"] / rows[4]["run"]["cpu"]
    bent = line(found["scaling"]["lengths"])[2]
    return [
        Target(key="plates", words="time at 8 plates over that at 4, compiled run", aim=2.2, reached=ratio, unit="×"),
        Target(
            key="linear", words="largest distance of time against length from a straight line", aim=100 * MOST_BENT,
            reached=100 * bent, unit="% of the time",
        ),
    ]  # fmt: skip


def _of_start(found: dict[str, Any]) -> list[Target]:
    if "start" not in found:
        return []
    start = found["start"]
    aims = (
        ("first", "first `predict --json`, nothing compiled yet", 25.0, start["first"]),
        ("json", "later `predict --json`, whole command", 1.5, start["json"]),
        ("out", "later `predict --out`, all files", 5.0, start["out"]),
    )
    return [
        Target(key=key, words=words, aim=aim, reached=min(times)[0], unit="s")
        for key, words, aim, times in aims
        if times
    ]


def table(found: dict[str, Any]) -> Table:
    """Return aims against what was reached."""
    rows = [
        (
            aim.words,
            f"{'≥' if aim.least else '≤'} {aim.aim:g} {aim.unit}",
            f"{three(aim.reached)} {aim.unit}",
            "yes" if aim.met else "**no**",
        )
        for aim in targets(found)
    ]
    return Table(title="Aims", columns=("what", "aim", "reached", "met"), rows=rows)


def reasons(found: dict[str, Any]) -> list[str]:
    """Return one sentence for each aim that is not reached, from the figures of the same run."""
    return [f"**{aim.words[0].upper()}{aim.words[1:]}**: {_why(aim, found)}" for aim in targets(found) if not aim.met]


def _why(aim: Target, found: dict[str, Any]) -> str:
    if aim.key in ("run-4", "run-3"):
        row = {row["plan"]: row for row in found["speed"]["plans"]}[FOUR if aim.key == "run-4" else THREE]
        tried = row["steps"] + row["rejected"]
        each = row["run"]["cpu"] / tried
        report = row["run_and_report"]["cpu"] - row["run"]["cpu"]
        words = f"{tried} steps are tried, {row['rejected']} of them in vain, at {three(1e6 * each)} µs each"
        measured = {result["plan"]: result["calls"]["rates"] for result in found.get("rivals", ())}
        if row["plan"] in measured:
            rates = measured[row["plan"]]
            words += f", of which six evaluations of the rates are {three(6e6 * rates)} µs"
        return f"{words}; writing the report takes {three(1e3 * report)} ms."
    if aim.key in ("predict", "fresh"):
        return f"of it {_shares(found['speed']['parts'], 'ms')}."
    if aim.key in ("bdf", "cvode"):
        rows = {row["name"]: row for row in found["rivals"][0]["duel"]}
        engine, rival = rows["engine"], rows["SciPy BDF" if aim.key == "bdf" else "CVODE"]
        return (
            f"{three(1e3 * engine['cpu'])} ms against {three(1e3 * rival['cpu'])} ms. The rival's setting is off by "
            f"{rival['worst']:.1e} in its worst fraction, the engine's by {engine['worst']:.1e}."
        )
    if aim.key == "many":
        way = found["many"]["ways"][0]
        return (
            f"{three(way['cpu'])} s of processor, so at least {three(way['cpu'] / found['machine']['cores'])} s by the "
            f"clock. One prediction's parts, alone on a core: {_shares(found['many']['parts'], 'ms')}."
        )
    if aim.key == "plates":
        rows = {row["n"]: row for row in found["scaling"]["plates"]}
        four, eight = (rows[n]["steps"] + rows[n]["rejected"] for n in (4, 8))
        each = (rows[8]["run"]["cpu"] / eight) / (rows[4]["run"]["cpu"] / four)
        return f"a step costs {three(each)} times as much, and {eight} are tried where {four} were."
    if aim.key == "out":
        start = found["start"]
        return f"`--json` alone takes {three(min(start['json'])[0])} s; the rest is spent on {start['files']} files."
    if aim.key == "json":
        least = three(min(found["start"]["version"])[0])
        return f"`middlerun version` takes {least} s; the rest is libraries and the run."
    if aim.key == "first":
        first, second = found["start"]["first"][0], found["start"]["second"][0]
        return (
            f"{three(first[1])} s of processor, {three(second[1])} s once compiled: the difference is compilation; by "
            f"the clock {three(first[0])} s and {three(second[0])} s."
        )
    return "see the table below."


def _shares(parts: list[dict[str, Any]], unit: str) -> str:
    ranked = sorted(parts, key=lambda part: -part["time"])[:5]
    return ", ".join(f"{part['part']} {three(1e3 * part['time'])} {unit}" for part in ranked)
