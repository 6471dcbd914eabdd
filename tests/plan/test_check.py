"""What is refused before anything is computed: fill, strength, unsound stills, procedures for other stills."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.alcoholometry import density, mass_fraction
from middlerun.errors import PlanError, ProcedureError
from middlerun.plan import Charge, charge_kind, charge_kind_names, charge_numbers, check_plan, hot_volume
from middlerun.plan.charge_kind import GROUPS
from middlerun.run import library_procedure
from middlerun.still import library_still
from middlerun.substances import MOLAR_MASS_ETHANOL, MOLAR_MASS_WATER
from tests.plan.build import a_plan


def test_a_sound_plan_passes() -> None:
    check_plan(a_plan())


REFUSED = {
    "too full": (
        Charge(volume=0.12, strength=0.055, kind="plum-mash"),
        "The pot would be too full: 120 L at 20 Cel become",
    ),
    "froth counts": (Charge(volume=0.1, strength=0.055, kind="grain-mash"), "of froth, but still"),
    "too empty": (Charge(volume=0.025, strength=0.055), "too empty: the charge is 25 L"),
    "absurd mash": (Charge(volume=0.1, strength=0.30, kind="plum-mash"), "plum mash reaches at most 16 %{vol}"),
    "absurd wine": (Charge(volume=0.1, strength=0.40), "wine reaches at most 24 %{vol}"),
    "no volume": (Charge(strength=0.1), "no volume or no strength"),
}


@pytest.mark.parametrize(("charge", "says"), REFUSED.values(), ids=REFUSED)
def test_charges_are_refused(charge: Charge, says: str) -> None:
    with pytest.raises(PlanError) as caught:
        check_plan(a_plan(charge=charge))
    assert says in str(caught.value)


def test_the_refusal_says_how_much_fits() -> None:
    with pytest.raises(PlanError, match=r"Fill at most (\d+\.?\d*) L") as caught:
        check_plan(a_plan(charge=Charge(volume=0.12, strength=0.055, kind="plum-mash")))
    most = float(str(caught.value).split("Fill at most ")[1].split(" L")[0]) * 1e-3
    check_plan(a_plan(charge=Charge(volume=0.999 * most, strength=0.055, kind="plum-mash")))


def test_antifoam_in_the_plan_lets_more_in() -> None:
    check_plan(a_plan(charge=Charge(volume=0.12, strength=0.055, kind="plum-mash", froth=0.05)))


def test_strong_charges_are_warned_of_not_refused() -> None:
    check_plan(a_plan(charge=Charge(volume=0.1, strength=0.45, kind="low-wines")))


def test_hot_charge_in_thin_air_would_flash() -> None:
    plan = a_plan(charge=Charge(volume=0.1, strength=0.60, kind="low-wines", temperature=333.0))
    with pytest.raises(PlanError, match="flash vapour"):
        check_plan(replace(plan, weather=replace(plan.weather, altitude=None, pressure=35e3)))


@pytest.mark.parametrize("missing", [{"relief_gauge": None}, {"vent": False}, {"vacuum_breaker": False}], ids=str)
def test_jacket_without_its_protection_is_refused(missing: dict[str, object]) -> None:
    """Relief valve, vent and vacuum breaker of a closed jacket: good practice, e.g. EN 764-7 (from memory, high)."""
    still = library_still("bain-marie-150-4-plates")
    with pytest.raises(PlanError, match="can't be used as described"):
        check_plan(a_plan(still=replace(still, heating=replace(still.heating, **missing))))  # type: ignore[arg-type]


def test_procedures_for_other_stills() -> None:
    with pytest.raises(ProcedureError, match="written for stills without plates"):
        check_plan(a_plan(procedure=library_procedure("plain-pot-still")))
    plain = a_plan(still=library_still("pot-over-fire-60"), charge=Charge(volume=0.03, strength=0.1))
    with pytest.raises(ProcedureError, match="written for stills with plates"):
        check_plan(replace(plain, procedure=library_procedure("single-pass-with-plates")))


@pytest.mark.parametrize("name", charge_kind_names())
def test_every_kind_of_charge_gives_a_charge(name: str) -> None:
    kind = charge_kind(name)
    assert kind.group in GROUPS
    numbers = charge_numbers(Charge(volume=0.05, strength=kind.strength.value, kind=name))
    assert 0.0 <= numbers.boiling_rise < 0.5, (
        "0.1 to 0.2 K for a usual mash (0.51 K per mol of solutes per kg of water)"
    )
    assert 950.0 < numbers.mass / numbers.volume < 1080.0
    assert numbers.solids_volume < 0.15 * numbers.volume


@pytest.mark.parametrize("name", charge_kind_names())
def test_usual_mash_fills_two_thirds_to_three_quarters(name: str) -> None:
    """Common practice: mash two thirds to three quarters of the pot, foaming mash about 60 %; working maximum 90 %."""
    kind = charge_kind(name)
    if kind.group in ("wine", "low wines"):
        return
    numbers = charge_numbers(Charge(volume=0.05, strength=kind.strength.value, kind=name))
    fill = 0.9 * numbers.volume / (hot_volume(numbers, 101325.0) * (1.0 + numbers.froth))
    assert 0.58 < fill < 0.76


@given(st.floats(0.005, 0.65), st.floats(0.01, 1.0), st.floats(0.0, 0.1))
def test_amounts_are_those_of_the_strength(strength: float, volume: float, extract: float) -> None:
    """Without undissolved solids the liquid has the density of OIML R 22; the pure alcohol is volume times strength."""
    numbers = charge_numbers(Charge(volume=volume, strength=strength, kind="low-wines", extract=extract))
    liquid = numbers.volume - numbers.solids_volume
    mass = numbers.ethanol * MOLAR_MASS_ETHANOL + numbers.water * MOLAR_MASS_WATER
    p = float(mass_fraction(volume * strength / liquid))
    assert mass / liquid == pytest.approx(float(density(p, 293.15)), rel=1e-9)
    assert numbers.pure_alcohol == pytest.approx(volume * strength, rel=1e-12)
    assert numbers.ethanol * MOLAR_MASS_ETHANOL / mass == pytest.approx(p, rel=1e-9)


def test_water_expands_by_four_per_cent_to_its_boil() -> None:
    """Steam tables: 998.2 kg/m3 at 20 Cel, 958.4 kg/m3 at 100 Cel."""
    numbers = charge_numbers(Charge(volume=0.1, strength=1e-6, kind="low-wines"))
    assert hot_volume(numbers, 101325.0) / numbers.volume == pytest.approx(998.2 / 958.4, abs=2e-4)
