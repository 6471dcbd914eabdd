"""Heat supplied = losses + relief + cooling water + product + stored more, for every library still and procedure."""

import pytest

from middlerun.still import library_names
from validation import energy

CASES = energy.suitable()


@pytest.mark.parametrize("case", CASES, ids=[f"{still}, {procedure}" for still, procedure, *_ in CASES])
def test_books_close(case):
    """1e-6 by the engine's own balance and booked apart, the vapour followed through the condenser.

    With the property functions instead of the kernels' polynomials 2e-4: those stand for them to 0.1 % of a liquid's
    enthalpy (0.5 % of ethanol's at the boil).
    """
    row = energy.book(case)
    assert abs(row.engine) < 1e-6
    assert abs(row.booked) < 1e-6
    assert abs(row.with_full_properties) < 2e-4


def test_every_still_has_a_procedure():
    assert {case[0] for case in CASES} == set(library_names())
    assert len(CASES) > 20
