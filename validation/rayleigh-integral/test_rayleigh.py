"""A pot without plates, reflux and losses gives the Rayleigh integral (Rayleigh, Phil. Mag. 4 (1902) 521)."""

import pytest

from validation import rayleigh

TABLE = [(charge, row.distillate) for charge, table in rayleigh.published().items() for row in table]
every_row = pytest.mark.parametrize(
    "i", range(len(TABLE)), ids=[f"{100 * charge:.0f} %vol, {1e3 * distillate:.0f} L" for charge, distillate in TABLE]
)


@every_row
def test_engine_gives_the_integral(i):
    """0.1 % of strengths and recovery; 0.05 K for the drive of the evaporation and the pipe's pressure drop."""
    _, _, exact, found = rayleigh.compare()[i]
    assert found.distillate == pytest.approx(exact.distillate, rel=1e-6)
    for name in ("mean", "momentary", "recovery", "pot"):
        assert getattr(found, name) == pytest.approx(getattr(exact, name), rel=1e-3)
    assert 0.0 < found.pot_temperature - exact.pot_temperature < 0.05


@every_row
def test_engine_gives_the_rows_computed_elsewhere(i):
    """The table says of itself: 0.05 % vol, 0.02 K, 0.1 % of recovery; the pot may be warmer as above."""
    _, table, _, found = rayleigh.compare()[i]
    assert 100.0 * abs(found.mean - table.mean) < 0.05
    assert 100.0 * abs(found.momentary - table.momentary) < 0.05
    assert 100.0 * abs(found.pot - table.pot) < 0.05
    assert 100.0 * abs(found.recovery - table.recovery) < 0.1
    assert abs(found.pot_temperature - table.pot_temperature) < 0.02 + 0.02


def test_every_row_of_the_table_is_compared():
    assert [(charge, table.distillate) for charge, table, _, _ in rayleigh.compare()] == TABLE
    assert len(TABLE) == 14
