"""Measure everything: `python -m benchmarks [--page | --kept] [--only SECTION ...] [--quick] [--out DIR]`."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from benchmarks import accuracy, many, page, picture, speed, start, targets
from benchmarks.plans import ROOT, demo, with_plates
from benchmarks.timing import load, machine


def _rivals(*, quick: bool) -> list[dict[str, Any]]:
    plans = {speed.FOUR: demo()} | ({} if quick else {speed.THREE: with_plates(demo(), 3)})
    return [accuracy.measure(name, plan, quick=quick) for name, plan in plans.items()]


SECTIONS = {
    "speed": speed.measure,
    "scaling": speed.scaling,
    "start": start.measure,
    "many": many.measure,
    "rivals": _rivals,
}


def main(words: list[str] | None = None) -> None:
    """Measure, print, write."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description="Measure speed beside the alternatives.")
    parser.add_argument("--page", action="store_true", help="write docs/benchmarks.md and its picture too")
    parser.add_argument("--kept", action="store_true", help="write the page from the last results, measure nothing")
    parser.add_argument("--only", nargs="+", choices=SECTIONS, default=list(SECTIONS), metavar="SECTION")
    parser.add_argument("--quick", action="store_true", help="a few repetitions: to try the benchmarks, not to quote")
    parser.add_argument("--out", type=Path, default=ROOT / "out" / "bench", help="where the JSON goes")
    asked = parser.parse_args(words)
    if (asked.page or asked.kept) and (asked.quick or len(asked.only) < len(SECTIONS)):
        parser.error("the page needs a whole run: leave out --quick and --only")
    kept = asked.out / "all.json"
    if asked.kept:
        found = json.loads(kept.read_text(encoding="utf-8"))
    else:
        found = _measure(asked.only, quick=asked.quick, out=asked.out)
        kept.write_text(json.dumps(found, indent=1), encoding="utf-8")
    print(targets.table(found).text())
    for reason in targets.reasons(found):
        print(f"Not reached. {reason}")
    if asked.page or asked.kept:
        page.PAGE.write_text(page.page(found), encoding="utf-8")
        picture.draw(found["rivals"][0], page.PICTURES)


def _measure(only: list[str], *, quick: bool, out: Path) -> dict[str, Any]:
    out.mkdir(parents=True, exist_ok=True)
    found: dict[str, Any] = {"machine": machine(), "quick": quick, "load": {"before": load()}}
    print(page.machine_line(found["machine"]) + "\n")
    for name, measure in SECTIONS.items():
        if name not in only:
            continue
        found[name] = measure(quick=quick)
        found["load"][name] = load()
        (out / f"{name}.json").write_text(json.dumps(found[name], indent=1), encoding="utf-8")
        for table in page.tables({name: found[name]})[name]:
            print(table.text(), flush=True)
    if "rivals" in found:
        print(page.calls(found["rivals"][0]))
    return found


if __name__ == "__main__":
    main()
