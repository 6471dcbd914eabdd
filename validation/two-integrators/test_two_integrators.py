"""SciPy's Radau and BDF at 1e-9 on the same rates, with their own ends, collect the same ethanol."""

import pytest

from validation import integrators

FIRST, *OTHERS = integrators.CASES


@pytest.mark.parametrize(
    "case", [FIRST, *(pytest.param(c, marks=pytest.mark.slow) for c in OTHERS)], ids=lambda c: f"{c[0]}, {c[1]}"
)
def test_distilled_ethanol(case):
    """Engine at its default 0.05 %; at 1e-7 a hundred-thousandth of that, as do the two others among themselves."""
    found = integrators.compare(case)
    total = {name: sum(result.ethanol) for name, result in found.items()}
    assert total["BDF"] == pytest.approx(total["Radau"], rel=1e-7)
    assert total["engine"] == pytest.approx(total["Radau"], rel=5e-4)
    assert total["engine at 1e-7"] == pytest.approx(total["Radau"], rel=1e-6)
    for name in ("engine", "engine at 1e-7"):
        assert len(found[name].ends) == len(found["Radau"].ends)
    for mine, theirs in zip(found["engine at 1e-7"].ends, found["Radau"].ends, strict=True):
        assert mine == pytest.approx(theirs, abs=0.01)  # s


def test_cases_cover_stills_with_and_without_plates_and_held_heads():
    stills = {still for still, *_ in integrators.CASES}
    assert {"electric-pot-30", "bain-marie-100-3-plates", "steam-jacket-500-8-plates"} <= stills
