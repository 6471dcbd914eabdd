"""From results to tables, and to docs/benchmarks.md."""

from __future__ import annotations

from typing import Any

from benchmarks import targets
from benchmarks.accuracy import ENGINE
from benchmarks.plans import ROOT
from benchmarks.speed import line
from benchmarks.tables import Table, ms, small, three

PAGE = ROOT / "docs" / "benchmarks.md"
PICTURES = [ROOT / "docs" / "pictures" / f"error-against-time.{kind}" for kind in ("svg", "png")]

_HEAD = """# Benchmarks

Written by `python -m benchmarks --page` (`make bench` prints the same tables), all in one run. Machine: {machine}.
Jobs that wanted a core meanwhile, this one included: {load}.

Unless a table says otherwise, a time is the **least** of many repetitions, warm, on one core; rivals and engine take
turns, so that a busy spell hits both. Ratios, and aims in milliseconds, are of processor time: other jobs hardly
change it, and on a machine that does nothing else it is the time by the clock. Aims in seconds are by the clock.
"""

_RIVALS = """## Against other solvers

All solvers get the same compiled right-hand side, the same phases from the same packed numbers, and the same ends,
which they locate as events. The engine's time is its compiled integration alone, and in it a row of the report after
every step; the rivals write no report and their set-up is not timed. Their tolerances are for the same states with the
same scales; those of the settings are relative, absolute ones are a share of them times these scales. Each rival is
shown at the fastest of its settings that succeeded within 5e-5 of all distilled ethanol; with a * at the fastest that
keeps within 5e-5 in every fraction too. The engine is shown at its default, and with a * likewise.
"""

_CALLS = """### What calling back into Python costs

CVODE calls back into Python for each evaluation of the rates and each look at the ends, by way of functions that only
hand arrays to compiled code: {rates_from_python} and {ends_from_python} µs a call, of which {rates} and {ends} µs are
the compiled work. For its {evaluations} evaluations and {looks} looks that is {lost} ms of its {time} ms; if calling
back cost nothing, it would still take {ratio} times as long as the engine.
"""

_PICTURE = """### Error against time

![Time against error for the engine, CVODE and SciPy's solvers](pictures/error-against-time.svg)

Each mark is a setting, each line joins the settings of a solver that no other of its own beats in both. Settings that
failed are not shown: {failed} of {count}. Here the engine's time is with packing and report.
"""


def tables(found: dict[str, Any]) -> dict[str, list[Table]]:
    """Return all tables by section."""
    makers = {"speed": _speed, "rivals": _rivals, "many": _many, "scaling": _scaling, "start": _start}
    return {section: maker(found[section]) for section, maker in makers.items() if section in found}


def page(found: dict[str, Any]) -> str:
    """Return the page; needs the results of all sections."""
    shown = {section: "\n".join(table.markdown() for table in group) for section, group in tables(found).items()}
    missed = targets.reasons(found)
    below = ["Not reached:", "", *(f"- {reason}" for reason in missed)] if missed else ["All are reached."]
    parts = [
        _HEAD.format(machine=machine_line(found["machine"]), load=loads(found["load"])),
        targets.table(found).markdown().replace("### ", "## "),
        "\n".join(below) + "\n",
        "## The demo plan\n",
        shown["speed"],
        _RIVALS,
        shown["rivals"],
        strict(found["rivals"][0]),
        calls(found["rivals"][0]),
        _PICTURE.format(**_failed(found["rivals"][0])),
        "## A thousand runs\n",
        shown["many"],
        "## How time grows\n",
        shown["scaling"],
        "## From the shell\n",
        shown["start"],
    ]
    return "\n".join(part.rstrip("\n") + "\n" for part in parts)


def machine_line(machine: dict[str, Any]) -> str:
    """Return one line on the machine."""
    libraries = ", ".join(f"{name} {version}" for name, version in machine["libraries"].items())
    return f"{machine['cores']} cores, {machine['kind']}, {machine['system']}, Python {machine['python']}, {libraries}"


def loads(load: dict[str, float | None]) -> str:
    """Return how busy the machine was."""
    known = [value for value in load.values() if value is not None]
    return f"{min(known):g} to {max(known):g} (mean of a minute)" if known else "not known"


def calls(result: dict[str, Any]) -> str:
    """Return what calling back into Python costs the rival."""
    rows = {row["name"]: row for row in result["duel"]}
    if "CVODE" not in rows:
        return ""
    cost, rival, engine = result["calls"], rows["CVODE"], rows["engine"]
    lost = rival["evaluations"] * (cost["rates_from_python"] - cost["rates"])
    lost += rival["looks"] * (cost["ends_from_python"] - cost["ends"])
    return _CALLS.format(
        **{name: three(1e6 * value) for name, value in cost.items()},
        **{name: rival[name] for name in ("evaluations", "looks")},
        lost=ms(lost), time=ms(rival["cpu"]), ratio=three((rival["cpu"] - lost) / engine["cpu"]),
    )  # fmt: skip


def strict(result: dict[str, Any]) -> str:
    """Return how the solvers stand when every fraction must be within the limit."""
    rows = {row["name"]: row for row in result["duel"]}
    names = [name for name in ("CVODE", "SciPy BDF", "SciPy LSODA") if f"{name} *" in rows and "engine *" in rows]
    if not names:
        return ""
    ratios = ", ".join(f"{name} {three(rows[name + ' *']['cpu'] / rows['engine *']['cpu'])}" for name in names)
    return (
        f"At its default the engine is off by {small(rows['engine']['worst'])} in the worst fraction of the "
        f"{result['plan']}. With all fractions within {result['good']:g} (the rows with *), the rivals take so many "
        f"times the engine's time: {ratios}.\n"
    )


def _failed(result: dict[str, Any]) -> dict[str, int]:
    return {"failed": sum(bool(row["failure"]) for row in result["grid"]), "count": len(result["grid"])}


def _speed(result: dict[str, Any]) -> list[Table]:
    rows = []
    for row in result["plans"]:
        size = f"{three(row['hours'])} h, {row['states']} states, {row['steps']} steps + {row['rejected']} rejected"
        for key, words in (
            ("run", "compiled run"),
            ("run_and_report", f"the same with its report, {row['rows']} rows"),
            ("predict", "`predict(plan)`"),
            ("fresh", "`predict(plan)` at a fresh pressure each time"),
        ):
            times = row[key]
            rows.append((row["plan"], words, ms(times["min"]), ms(times["median"]), ms(times["cpu"]), size))
            size = ""
    columns = ("plan", "what", "least, ms", "median, ms", "processor, ms", "size")
    parts = [(part["part"], ms(part["time"])) for part in result["parts"]]
    return [
        Table(title="Times", columns=columns, rows=rows, note=f"{result['plans'][0]['run']['n']} repetitions each."),
        Table(title="Where the time of `predict(plan)` goes, 4 plates", columns=("part", "processor, ms"), rows=parts),
    ]


def _rivals(results: list[dict[str, Any]]) -> list[Table]:
    found = []
    for result in results:
        engine = {row["name"]: row for row in result["duel"]}["engine"]
        rows = [
            (
                row["name"], row["setting"], ms(row["cpu"]), ms(row["median"]), small(row["total"]),
                small(row["worst"]), three(row["ends"]), str(row["evaluations"]), three(row["cpu"] / engine["cpu"]),
            )
            for row in result["duel"]
        ]  # fmt: skip
        columns = (
            "solver", "tolerance", "ms", "median, ms", "error, all ethanol", "worst fraction", "phase ends, s",
            "rates / steps", "times the engine's",
        )  # fmt: skip
        note = (
            f"{result['states']} states, {three(result['hours'])} h simulated. Last but one: evaluations of the rates; "
            "for the engine, steps tried."
        )
        found.append(Table(title=result["plan"], columns=columns, rows=rows, note=note))
        own = [row for row in result["grid"] if row["solver"] == ENGINE]
        rows = [
            (row["setting"], ms(row["cpu"]), str(row["evaluations"]), small(row["total"]), small(row["worst"]),
             three(row["ends"]))
            for row in own if not row["failure"]
        ]  # fmt: skip
        columns = ("tolerance", "ms", "steps tried", "error, all ethanol", "worst fraction", "phase ends, s")
        title = f"The engine at other tolerances, with packing and report: {result['plan']}"
        found.append(Table(title=title, columns=columns, rows=rows))
        if result["checks"]:
            rows = [
                (row["solver"], small(row["total"]), small(row["worst"]), small(row["ends"]))
                for row in result["checks"]
            ]
            columns = ("solver", "all ethanol", "worst fraction", "phase ends, s")
            title = f"The reference (SciPy Radau at 1e-10) and others at their tightest: {result['plan']}"
            found.append(Table(title=title, columns=columns, rows=rows))
        if result["solvers"]:
            rows = [
                (row["setting"], ms(row["cpu"]), small(row["worst"]), str(row["evaluations"]))
                if not row["failure"] else (row["setting"], "failed", "", "")
                for row in result["solvers"]
            ]  # fmt: skip
            note = (
                "Relative tolerance 1e-5. Every stage depends on all stages below it, because vapour passes through "
                "them in no time: neither a band nor sparsity helps, so dense is what is compared."
            )
            columns = ("linear solver", "ms", "worst fraction", "evaluations")
            found.append(Table(title="CVODE's linear solvers at one setting", columns=columns, rows=rows, note=note))
    return found


def _many(result: dict[str, Any]) -> list[Table]:
    rows = [
        (
            row["words"], three(row["time"]), three(row["cpu"]), three(row["grown"] / 1e6), three(row["peak"] / 1e6),
            ms(row["cpu"] / row["count"]),
        )
        for row in result["ways"]
    ]  # fmt: skip
    columns = ("way", "by the clock, s", "processor, s", "memory added, MB", "whole process, MB", "processor a run, ms")
    way = result["ways"][0]
    floor = three(way["cpu"] / 2)
    note = (
        f"{way['count']} runs of the library's 3-plate still; charge, strength, heaters, hold, water, "
        "room and pressure all differ. Best of three processes each; memory: the most seen, the worst of the three. "
        f"Two cores that did nothing else could share the first way's processor time: {floor} s."
    )
    parts = [(part["part"], ms(part["time"])) for part in result["parts"]]
    return [
        Table(title="Ways to do it", columns=columns, rows=rows, note=note),
        Table(
            title="Where the time of one such run goes, alone on a core", columns=("part", "processor, ms"), rows=parts
        ),
    ]


def _scaling(result: dict[str, Any]) -> list[Table]:
    def rows(found: list[dict[str, Any]], first: dict[str, Any], name: str) -> list[tuple[str, ...]]:
        return [
            (
                f"{row['n']} {name}", three(row["hours"]), str(row["steps"]), str(row["rejected"]),
                ms(row["run"]["cpu"]), ms(row["predict"]["cpu"]), three(row["run"]["cpu"] / first["run"]["cpu"]),
                three(1e6 * row["run"]["cpu"] / (row["steps"] + row["rejected"])),
            )
            for row in found
        ]  # fmt: skip

    plates, lengths = result["plates"], result["lengths"]
    four = next(row for row in plates if row["n"] == 4)
    start, slope, bent = line(lengths)
    columns = ("what", "simulated, h", "steps", "rejected", "compiled run, ms", "`predict`, ms", "ratio", "µs a step")
    note = (
        f"Heating up, then cycles of ten minutes at 6 kW and ten at 4 kW under total reflux. A line through them: "
        f"{ms(start)} ms and {ms(slope)} ms for each simulated hour; the farthest is {three(100 * bent)} % from it."
    )
    return [
        Table(
            title="Plates, demo plan", columns=columns, rows=rows(plates, four, "plates"), note="Ratio: to four plates."
        ),
        Table(title="Length", columns=columns, rows=rows(lengths, lengths[0], "cycles"), note=note),
    ]


def _start(result: dict[str, Any]) -> list[Table]:
    rows = []
    for key, words in (
        ("first", "`predict --json`, first after an installation: compiles"),
        ("second", "the same once more"),
        ("json", "`predict --json`, later"),
        ("out", f"`predict --out`, later: {result['files']} files"),
        ("version", "`version`: what any command costs"),
    ):
        times = sorted(result[key])
        if times:
            middle = times[len(times) // 2][0]
            rows.append(
                (words, three(times[0][0]), three(middle), three(min(cpu for _, cpu in times)), str(len(times)))
            )
    columns = ("command", "least, s", "median, s", "processor, s", "repetitions")
    return [Table(title="Whole commands, by the clock", columns=columns, rows=rows)]
