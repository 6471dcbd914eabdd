"""Write docs/validation/alcoholometry.md from the tables and the code: `python -m validation.alcoholometry_page`."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from middlerun import alcoholometry as alc
from tests.data.reading import rows

HERE = Path(__file__).parent
PAGE = HERE.parent / "docs" / "validation" / "alcoholometry.md"

HEAD = """# Alcoholometry against published figures

Written by `python -m validation.alcoholometry_page`; a test holds this page against the code. Density is the general
formula of OIML R 22 (1973) with all 54 coefficients, −20 to 40 °C; strength by volume is p·ρ(p, 20 °C)/789.24 kg/m³.
"""

NOTES = """
## What to know

- **Temperature scale.** R 22 was written for IPTS-68. Reading it with today's thermometers (ITS-90) costs at most
  0.0043 kg/m³, 0.002 % vol: no correction is made.
- **One answer.** At every temperature of the range the formula's density falls as strength rises. The slope is least,
  −6 kg/m³ per unit of mass fraction, at −20 °C and 0.19, where an error of 0.1 kg/m³ is 1.7 % mass. Liquid that weak
  would be frozen there: below 0 °C the formula speaks of liquid, frozen or not.
- **Full strength.** The errata's 789.24 is rounded; the formula gives 789.23912. The mass fraction 1 is therefore the
  strength 0.9999989, and strengths above that give the mass fraction 1.
- **Equations of state are not law.** Ethanol's equation of state is 0.16 to 0.20 kg/m³ heavier than R 22, 0.04 % vol at
  full strength. Energy and hot volumes use such equations; strength never does.
- **Glass.** A glass alcoholmeter is corrected with 25e-6 per K (ISO 1768:1975), a density meter without.
"""


def _column(table: list[dict[str, str]], name: str) -> np.ndarray:
    return np.array([float(row[name]) for row in table])


def page() -> str:
    """The whole page."""
    density = rows("r22_density.csv")
    grid = [r for r in density if r["kind"] == "grid"]
    cells = rows(HERE / "oiml-r22-1973" / "printed.csv")
    by_strength = rows(HERE / "oiml-r22-1973" / "printed-strength.csv")
    table = rows("strength_density.csv")
    instrument = rows("instrument_correction.csv")
    glass = [r for r in instrument if r["kind"] == "true_strength"]
    factor = [r for r in instrument if r["kind"] == "volume_factor"]

    def off_density(some: list[dict[str, str]]) -> np.ndarray:
        return np.abs(
            alc.density(_column(some, "p_mass_fraction"), _column(some, "t_C") + 273.15) - _column(some, "rho_kg_m3")
        )

    printed = [r for r in cells if len(r["rho_kg_m3"].split(".")[1]) == 2]
    exact = [r for r in cells if r not in printed]
    q = _column(table, "vol_pct_20C") / 100
    mass = alc.mass_fraction(q)
    q_printed = alc.mass_fraction(_column(by_strength, "vol_pct_20C") / 100)
    reading, T = _column(glass, "strength_vol_pct") / 100, _column(glass, "t_C") + 273.15
    q_factor, T_factor = _column(factor, "strength_vol_pct") / 100, _column(factor, "t_C") + 273.15
    lines = [
        ("density grid, all C coefficients, computed elsewhere", len(grid), off_density(grid), "kg/m³", 1e-3, 6),
        ("printed cells of Table I and errata", len(printed), off_density(printed), "kg/m³", 6e-3, 4),
        ("test values of a public transcription", len(exact), off_density(exact), "kg/m³", 1e-6, 9),
        (
            "printed density by strength",
            len(by_strength),
            np.abs(alc.density(q_printed, 293.15) - _column(by_strength, "rho20_printed_kg_m3")),
            "kg/m³",
            6e-3,
            4,
        ),
        (
            "density by strength, computed elsewhere",
            len(table),
            np.abs(alc.density(mass, 293.15) - _column(table, "rho20_kg_m3")),
            "kg/m³",
            1e-3,
            5,
        ),
        (
            "mass by strength, computed elsewhere",
            len(table),
            np.abs(100 * mass - _column(table, "mass_pct")),
            "% mass",
            6e-4,
            5,
        ),
        (
            "true strength behind a glass alcoholmeter, 5 to 30 °C",
            len(glass),
            np.abs(100 * alc.true_strength(reading, T) - _column(glass, "value")),
            "% vol",
            6e-3,
            4,
        ),
        (
            "the same, density meter",
            len(glass),
            np.abs(100 * alc.true_strength(reading, T, "density meter") - _column(glass, "value_no_glass")),
            "% vol",
            6e-3,
            4,
        ),
        (
            "volume factor to 20 °C, 0 to 40 °C",
            len(factor),
            np.abs(alc.volume_at_20c(1.0, T_factor, q_factor) - _column(factor, "value")),
            "1",
            6e-6,
            7,
        ),
    ]
    out = [HEAD, "| compared with | rows | largest difference | tolerance | unit |", "|---|---|---|---|---|"]
    out += [
        f"| {what} | {n} | {off.max():.{digits}f} | {limit:g} | {unit} |" for what, n, off, unit, limit, digits in lines
    ]
    out.append(
        "\nRows *computed elsewhere* are printed to the digit that the tolerance shows.\n\n## Beside other models\n"
    )
    out += ["| what | t °C | OIML R 22 kg/m³ | other kg/m³ | difference |", "|---|---|---|---|---|"]
    for row in density:
        if row["kind"] == "library":
            ours = float(alc.density(float(row["p_mass_fraction"]), float(row["t_C"]) + 273.15))
            what = "ethanol, equation of state" if float(row["p_mass_fraction"]) else "water, IAPWS-95"
            other = float(row["rho_kg_m3"])
            out.append(f"| {what} | {float(row['t_C']):g} | {ours:.4f} | {other:.4f} | {ours - other:+.4f} |")
    return "\n".join(out) + "\n" + NOTES


def main() -> None:
    """Write the page."""
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
