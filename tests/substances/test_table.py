"""The kernel's look-up table: accuracy, smoothness, speed, and its plain twin."""

from __future__ import annotations

import subprocess
import sys
import time

import numpy as np
import pytest

from middlerun import substances
from middlerun.errors import OutOfRangeError
from middlerun.substances import equilibrium_table as et

PRESSURES = (20e3, 60e3, 101325.0, 120e3)
X = np.concatenate([np.linspace(0.0, 1.0, 5001), np.logspace(-6, -1, 400)])


@pytest.mark.parametrize("p", PRESSURES)
def test_table_is_as_good_as_the_functions(p):
    T, y, slope, volume = et.look_up(et.build_table(p), X)
    exact_T, exact_y = substances.bubble_point(X, p)
    assert np.abs(T - exact_T).max() < 1e-4
    assert np.abs(y - exact_y).max() < 2e-6
    seen = (X > 1e-6) & (X < 0.1)
    assert np.abs(y[seen] / exact_y[seen] - 1.0).max() < 1e-5
    inner = min(max(p, 20e3 + 20), 120e3 - 20)
    difference = (substances.bubble_point(X, inner + 10)[0] - substances.bubble_point(X, inner - 10)[0]) / 20.0
    assert np.abs(slope / difference - 1.0).max() < 1.5e-3  # at the ends of the range the difference is 20 Pa off
    assert np.abs(volume / substances.liquid_molar_volume(X, exact_T) - 1.0).max() < 1e-5


def test_table_is_smooth():
    """Equal values, first and second derivatives at every joint."""
    table = et.build_table(95e3)
    c0, c1, c2, c3 = np.moveaxis(table, -1, 0)
    scale = np.abs(table).max(axis=(0, 2))
    assert np.all(np.abs(c0[1:] - (c0 + c1 + c2 + c3)[:-1]) < 1e-13 * scale)
    assert np.all(np.abs(c1[1:] - (c1 + 2 * c2 + 3 * c3)[:-1]) < 1e-12 * scale)
    assert np.all(np.abs(2 * c2[1:] - (2 * c2 + 6 * c3)[:-1]) < 1e-12 * scale)


def test_table_goes_on_just_outside():
    T, y, slope, volume = et.look_up(et.build_table(101325.0), np.array([-1e-6, 0.0, 1e-6, 1 - 1e-6, 1.0, 1 + 1e-6]))
    for row in (T, y, slope, volume):
        assert np.diff(row[:3])[0] == pytest.approx(np.diff(row[:3])[1], rel=1e-3)
        assert np.diff(row[3:])[0] == pytest.approx(np.diff(row[3:])[1], rel=1e-3)


@pytest.mark.parametrize("p", PRESSURES)
def test_plain_and_compiled_are_the_same(p):
    compiled, plain = et.build_table(p), et.build_table_plain(p)
    assert compiled.shape == (et.DEFAULT_INTERVALS, 4, 4) and compiled.dtype == np.float64
    assert compiled.flags.c_contiguous
    scale = np.abs(plain).max(axis=(0, 2))[None, :, None]
    assert np.all(np.abs(compiled - plain) <= 1e-12 * scale)


def test_building_is_fast():
    """At most 0.5 ms for a pressure not seen before, once compiled."""
    et.build_table(101325.0)
    times = []
    for p in np.linspace(60e3, 110e3, 101):
        start = time.perf_counter()
        et.build_table(p)
        times.append(time.perf_counter() - start)
    assert np.median(times) < 0.5e-3


def test_table_refuses_gauge_pressure():
    with pytest.raises(OutOfRangeError, match="gauge"):
        et.build_table(3e3)
    with pytest.raises(OutOfRangeError):
        et.build_table(101325.0, 2)
    with pytest.raises(OutOfRangeError):
        et.build_table(float("nan"))


def test_enthalpy_polynomials_fit_the_functions():
    """Within 0.2 % of the latent heat from 10 to 105 Cel; no constant in the liquid's."""
    t = np.linspace(10.0, 105.0, 96)
    T = t + 273.15
    for row, liquid, latent in (
        (0, substances.liquid_enthalpy_ethanol, substances.latent_heat_ethanol),
        (1, substances.liquid_enthalpy_water, substances.latent_heat_water),
    ):
        a, b, c0, c1, c2 = et.ENTHALPY_POLYNOMIALS[row]
        in_liquid, in_vapour = a * t + b * t * t, c0 + c1 * t + c2 * t * t
        assert np.abs(in_liquid - liquid(T)).max() < 2e-3 * latent(T).min()
        assert np.abs(in_vapour - liquid(T) - latent(T)).max() < 5e-4 * latent(T).min()
        assert np.abs((in_vapour - in_liquid) / latent(T) - 1.0).max() < 2e-3


def test_rooms_import_without_the_compiler():
    """A command that only converts strengths must not wait for numba."""
    code = "import sys, middlerun.substances, middlerun.alcoholometry; sys.exit('numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
