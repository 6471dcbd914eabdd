"""The widths that round the model's kinks are numerics, not physics: halving one may not show in the result."""

from __future__ import annotations

import numpy as np
import pytest

import middlerun.column.pack as pack
from tests.column.cases import demo

# Half the width: twice the drive where the width is its inverse.
HALVED = {
    "_ONSET": 0.5,
    "_FLASH": 2.0,
    "_HEAD_FLASH": 2.0,
    "_FILM": 0.5,
    "_PRESSURE_TIME": 0.5,
}


@pytest.mark.parametrize("width", HALVED)
def test_halving_a_width_does_not_show(monkeypatch, width):
    """1e-4 of the distilled ethanol and 10 s of any end: far below what any still file is known to."""
    before = demo().run(tolerance=1e-6)
    monkeypatch.setattr(pack, width, getattr(pack, width) * HALVED[width])
    after = demo().run(tolerance=1e-6)
    ethanol = [sum(phase.ethanol for phase in run.phases) for run in (before, after)]
    assert ethanol[1] != ethanol[0]  # the width is really in use
    assert ethanol[1] == pytest.approx(ethanol[0], rel=1e-4)
    ends = [np.array([phase.end for phase in run.phases]) for run in (before, after)]
    assert np.abs(ends[1] - ends[0]).max() < 10.0
