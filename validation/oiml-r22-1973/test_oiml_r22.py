"""OIML R 22 (1973): every printed cell at hand, within half its last digit."""

from pathlib import Path

import numpy as np

from middlerun import alcoholometry as alc
from tests.data.reading import rows

HERE = Path(__file__).parent


def test_printed_cells():
    table = rows(HERE / "printed.csv")
    assert len(table) == 6
    for row in table:
        found = float(alc.density(float(row["p_mass_fraction"]), float(row["t_C"]) + 273.15))
        assert abs(found - float(row["rho_kg_m3"])) <= float(row["tolerance_kg_m3"]), row


def test_printed_density_by_strength():
    table = rows(HERE / "printed-strength.csv")
    q = np.array([float(row["vol_pct_20C"]) for row in table]) / 100
    rho = np.array([float(row["rho20_printed_kg_m3"]) for row in table])
    assert len(table) == 10
    assert np.abs(alc.density(alc.mass_fraction(q), 293.15) - rho).max() <= 0.006
    # Backwards: 0.005 kg/m3 is 0.0047 % vol where density falls slowest with strength (20 % vol).
    assert np.abs(100 * alc.strength_from_density(rho, 293.15) - 100 * q).max() <= 0.006
