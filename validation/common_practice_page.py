"""Write docs/validation/common-practice.md from the reference still: `python -m validation.common_practice_page`."""

from __future__ import annotations

import io
from pathlib import Path

from middlerun.still import library_still, resolve
from validation import practice

PAGE = Path(__file__).parents[1] / "docs" / "validation" / "common-practice.md"

HEAD = """# What practice expects of a small still

Written by `python -m validation.common_practice_page`; a test holds this page against the code. The ranges are **common
practice, no published source**: what people who run such stills would call normal. They test plausibility, not
accuracy.

One invented still, `bain-marie-100-3-plates` of the library, with round values frozen before this comparison was made.
**Nothing was fitted to the ranges**; what is missed stays missed. The run: 75 L of wine of 14 % vol at 15 °C,
101.325 kPa, room 18 °C, cooling water 15 °C; full power (12 kW) to the boil, vent open till the pot is at 82 °C; half
an hour of total reflux; then the head held for 80, 82.5 and 85 % vol at 4, 4.5 and 5 kW: nine runs. *Middle* is the one
in the middle, 4.5 kW and 82.5 % vol with the condenser's water held at 50 °C; *all* is the lowest and the highest of
the nine.

| expected | range | middle | | all | | how it is read |
|---|---|---|---|---|---|---|
"""

AFTER = """| solvent-smelling heads | 1 to 4 % of the pure alcohol | – | **not predicted** | – | | \
the nose ends the heads; the forecast takes the share as given until congeners are computed |

## What is not in range, and why

- **Mean of the first hour.** When the head is given over to its hold after total reflux, the column is stronger than
  the hold: the hand closes the water until the strong liquid on the plates has run off, 1.5 to 2.5 L in 10 min for a
  quarter of an hour, then the strength swings up to 2 % vol below what is held before it settles. In practice the heads
  are drawn off slowly between the two; the ready procedures do that.
- **Pot when the tails come.** At 4 kW the product under the hold falls below 0.3 L in 10 min while the pot is still
  below 98 °C. Less heat, less product: by that measure the tails come earlier than at 5 kW.
- **Condenser water.** Held at 40 °C it takes a little over 60 L/h while a litre comes in 10 min. Held at 50 or 60 °C it
  stays in the range.

## Free parameters

What the comparison depends on beside the three numbers that the range was written for (25 L of jacket water, 12 kW,
600 W/K), and why each value is plausible. *Derived* values follow from the file by the rules of the still room.

| parameter | value | why plausible |
|---|---|---|
"""

OUTLOOK = """
What moves the results most: the plates' efficiency and hold-up (strength after total reflux, the first swing), losses
of the column (4 kW against 5 kW), and the U·A of the jacket (jacket gauge). The heat-up time follows from heat
capacities and power and leaves nothing to choose.
"""


def parameters() -> list[tuple[str, str, str]]:
    """Return what is free, its value, and why it is plausible."""
    n = resolve(library_still(practice.STILL))
    plate = n.plates[0]
    cold, metal = n.cold_share_agitated, 1e-3 * n.pot_heat_capacity
    section = f"{1e-3 * plate.heat_capacity:.1f} kJ/K, {plate.heat_loss:.1f} W/K"
    level = f"{1e3 * plate.level:.2f} L, {1e3 * plate.level_min:.2f} to {1e3 * plate.level_max:.2f} L"
    head = f"{1e3 * n.dephlegmator_liquid:.2f} L, {n.head_heat_loss:.1f} W/K"
    return [
        ("jacket to charge, U·A", f"{n.heating_conductance:.0f} W/K", "given by the range; 0.75 m² at 800 W/(m² K)"),
        ("share of it before the boil, agitator on", f"{cold:.2f}", "common practice: stirring brings most of it back"),
        ("jacket water", f"{n.jacket_water:.0f} kg", "25 L given by the range"),
        ("jacket, heat capacity", f"{1e-3 * n.jacket_heat_capacity:.0f} kJ/K", "that water and 30 kg of steel"),
        ("loss of the jacket", f"{n.jacket_heat_loss:.1f} W/K", "1.5 m² insulated at 2 W/(m² K)"),
        ("pot: metal and loss", f"{metal:.1f} kJ/K, {n.pot_heat_loss:.1f} W/K", "32 kg of copper, mostly jacketed"),
        (
            "drive of evaporation",
            f"{1e-3 * n.pot_vapour_conductance:.0f} kW/K",
            "large: overheat of tenths of a kelvin",
        ),
        ("relief of the jacket", f"{1e-5 * n.relief_gauge:.1f} bar gauge", "usual limit of unpressurised equipment"),
        ("plates", f"{len(n.plates)}, 0.2 m wide, 0.18 m apart", "number given by the range; round dimensions"),
        ("Murphree efficiency", f"{plate.efficiency:.2f}", "prior for small stills 0.5 to 0.8, medium confidence"),
        ("liquid on a plate", level, "0.03 m of weir on 0.2 m holds 0.5 to 0.7 L"),
        ("time constant of the overflow", f"{plate.weir_time:.0f} s", "common practice: seconds"),
        ("leak of a plate", f"{plate.leak_time / 60:.0f} min", "from memory, low: caps leak at joints"),
        ("metal and loss of a column section", section, "derived: bare copper of 2 mm, 9.5 W/(m² K)"),
        ("dephlegmator, U·A", f"{n.dephlegmator_conductance:.0f} W/K", "0.2 m² at 600 W/(m² K): condenses 6.6 kW"),
        ("dephlegmator, cells in counter-flow", f"{n.dephlegmator_cells}", "a coil is nearly plug flow"),
        ("dephlegmator, stages", f"{n.dephlegmator_stages}", "one equilibrium stage: default, to be calibrated"),
        ("dephlegmator, liquid and loss", head, "a wet coil; bare head"),
        ("condenser, U·A", f"{n.condenser_conductance:.0f} W/K", "0.9 m² at 700 W/(m² K), ample"),
        ("parrot", f"{1e3 * n.parrot_volume:.1f} L", "an alcoholmeter must float in it"),
        ("lag of the thermometers", f"{n.pot_lag:.0f} s, {n.head_lag:.0f} s", "pockets; common practice"),
        ("hand on the head, integral time", f"{n.integral_time:.0f} s", "slow loop; its gain is derived"),
        ("valve lag", f"{n.valve_lag:.0f} s", "common practice"),
    ]


def page() -> str:
    """The whole page."""
    out = io.StringIO()
    out.write(HEAD)
    for f in practice.findings():
        digits = {"min": 1, "°C": 2, "% vol": 1, "L": 2, "bar": 2, "L/h": 0}[f.unit]
        middle, found = (_written(span, digits) for span in (f.middle, f.found))
        there = "met" if f.met_in_the_middle else "**missed**"
        met = f.met if f.met == "met" else f"**{f.met}**"
        expected = f"{f.what} | {f.low:g} to {f.high:g} {f.unit}"
        out.write(f"| {expected} | {middle} | {there} | {found} | {met} | {f.how} |\n")
    out.write(AFTER)
    for row in parameters():
        out.write("| " + " | ".join(row) + " |\n")
    out.write(OUTLOOK)
    return out.getvalue()


def _written(span: tuple[float, float], digits: int) -> str:
    low, high = (f"{value:.{digits}f}" for value in span)
    return low if low == high else f"{low} to {high}"


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
