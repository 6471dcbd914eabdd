"""What if: the demo plan under other heater powers, cooling waters and held strengths, side by side.

Purpose: shows `vary`, `grid` and `compare` from Python. Run it with `python examples/what_if.py`. The plan is invented.
"""

from __future__ import annotations

from pathlib import Path

from middlerun.plan import compare, grid, load_plan
from middlerun.plan.compare import COLUMNS
from middlerun.units import format_quantity

PLAN = Path(__file__).with_name("demo-plan.toml")
SETTINGS = [
    {},  # the plan as it is
    {"charge.strength": "7 %{vol}"},
    {"still.column.plates.*.efficiency": "0.5"},
    *grid("phases.hearts.heater=3.5 kW,4.5 kW; weather.water=8 Cel,18 Cel"),
    *grid("hold_head_strength=80 %{vol},82 %{vol},84 %{vol}"),
]
SHOWN = ("duration", "hearts_volume", "hearts_strength", "hearts_pure_alcohol", "heat_supplied", "warnings")


def main() -> None:
    """Predict every setting on all cores and print what changes."""
    kinds = dict(COLUMNS)
    comparison = compare(load_plan(PLAN), SETTINGS)
    print(" | ".join((*SHOWN, "settings")))
    for row, values in zip(comparison.rows, comparison.values(), strict=True):
        words = [_written(values[name], kinds[name]) if values else "-" for name in SHOWN]
        changed = ", ".join(f"{key} = {value}" for key, value in row.settings.items()) or "as planned"
        print(" | ".join((*words, row.error or changed)))


def _written(value: float, kind: str) -> str:
    return format_quantity(value, kind, "h" if kind == "time" else None) if kind else f"{value:.3g}"


if __name__ == "__main__":
    main()
