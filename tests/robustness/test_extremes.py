"""Runs at the edge of sense, each by name: what must not break, and what must be said."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from middlerun.errors import PlanError
from middlerun.plan import Charge, Plan, Run, Weather, predict
from middlerun.run import Ends, Phase, Procedure
from middlerun.still import Column, Plate, Still, library_still
from tests.robustness.sound import faults

EIGHT, FOUR, THREE, POT = (
    "steam-jacket-500-8-plates",
    "bain-marie-150-4-plates",
    "bain-marie-100-3-plates",
    "electric-pot-30",
)
L_PER_H = 1e-3 / 3600.0
WARM = Phase(name="heat up", heater_share=1.0, ends=Ends(pot_temperature=350.0, time=4 * 3600.0))


def phase(name: str, minutes: float, **settings: Any) -> Phase:
    return Phase(name=name, ends=Ends(time=60.0 * minutes), **settings)


def run(still: str | Still, phases: list[Phase], charge: Charge | None = None, **weather: float) -> Run:
    """Predict and check all that holds for every run."""
    described = library_still(still) if isinstance(still, str) else still
    volume = 0.6 * described.pot.working_max
    found = predict(
        Plan(
            name="extreme",
            still=described,
            procedure=Procedure(name="extreme", phases=tuple(phases)),
            charge=charge or Charge(volume=volume, strength=0.1, kind="wine"),
            weather=Weather(**({"pressure": 101325.0} | weather)),
        )
    )
    assert not list(faults(found)), list(faults(found))
    return found


def codes(found: Run) -> set[str]:
    return {warning.code for warning in found.warnings}


def test_no_plates_under_a_strong_heater() -> None:
    still = library_still(POT)
    still = replace(still, heating=replace(still.heating, power=30e3, conductance=2000.0))
    found = run(still, [WARM, phase("low wines", 15.0, fraction="low wines", heater=30e3)])
    assert "uncondensed-vapour" in codes(found)
    assert found.totals["uncondensed"] > 1.0


def test_eight_plates_on_one_kilowatt() -> None:
    """A kilowatt is less than the still loses: no product, and the forecast says so."""
    found = run(EIGHT, [WARM, phase("heads", 240.0, fraction="heads", heater=1e3, dephlegmator_water=0.0)])
    late = found.series["time"] > found.phases[0].end + 3600.0
    assert found.series["distillate"][late].max() < 0.02
    assert codes(found) & {"no-product", "plates-dry", "plates-weep", "never-boils"}


@pytest.mark.parametrize("water", [273.65, 318.15])
@pytest.mark.parametrize("still", [EIGHT, FOUR, POT])
def test_ice_water_and_bath_water(still: str, water: float) -> None:
    phases = [WARM, phase("hearts", 60.0, fraction="hearts", heater_share=0.5)]
    found = run(still, phases, water=water)
    assert found.series["product_temperature"].min() >= water - 1.0


@pytest.mark.parametrize("pressure", [60e3, 110e3])
def test_thin_and_thick_air(pressure: float) -> None:
    """At 60 kPa water boils at 85.9 Cel, at 110 kPa at 102.3 Cel (steam tables): no pot of wine gets hotter."""
    found = run(FOUR, [WARM, phase("tails", 120.0, fraction="tails", heater_share=0.6)], pressure=pressure)
    boils = {60e3: 359.08, 110e3: 375.45}[pressure]
    assert found.series["pot_temperature"].max() < boils + 0.6
    assert found.series["collected_volume"][-1] > 1e-3


def test_strong_charge_draws_the_fire_warning() -> None:
    charge = Charge(volume=0.06, strength=0.45, kind="low-wines")
    found = run(THREE, [WARM, phase("hearts", 90.0, fraction="hearts", heater=5e3, hold_head_strength=0.85)], charge)
    assert "charge-strong" in codes(found)
    assert found.series["product_strength"][found.series["distillate"] > 0.01].max() < 0.975


def test_hours_of_total_reflux() -> None:
    """Eight hours closed: nothing comes over, and the column stands still at the end."""
    found = run(EIGHT, [WARM, phase("total reflux", 480.0, heater=15e3, dephlegmator_water_share=1.0)])
    assert found.totals["collected_volume"] < 1e-5
    top = found.series["plate_8_strength"]
    assert np.ptp(top[-360:]) < 2e-4
    assert 0.93 < top[-1] < 0.97


def test_heater_off_in_the_middle_and_on_again() -> None:
    phases = [
        WARM,
        phase("hearts", 40.0, fraction="hearts", heater=5e3, hold_head_strength=0.82),
        phase("power cut", 30.0, fraction="hearts", heater=0.0),
        phase("hearts again", 40.0, fraction="hearts", heater=5e3, hold_head_strength=0.82),
    ]
    found = run(THREE, phases)
    series = found.series
    cut = series["phase_index"] == 2
    assert series["product_rate"][cut][-1] == 0.0
    assert series["collected_volume"][-1] > series["collected_volume"][cut][-1]


def test_boiling_until_nearly_empty() -> None:
    """Less than a tenth of the charge left in the pot, all the alcohol out, the low pot reported."""
    still = library_still(POT)
    charge = Charge(volume=0.009, strength=0.1, kind="low-wines")
    found = run(still, [WARM, phase("tails", 132.0, fraction="tails", heater=2.6e3)], charge)
    assert found.totals["pot_volume_end"] < 1.5e-3
    assert found.totals["pot_strength_end"] < 1e-4
    assert "pot-low" in codes(found)


def test_boiling_dry_is_refused_in_words() -> None:
    charge = Charge(volume=0.009, strength=0.1, kind="low-wines")
    with pytest.raises(PlanError, match=r"boils dry in phase \"tails\""):
        run(POT, [WARM, phase("tails", 400.0, fraction="tails", heater=3e3)], charge)


def test_bypass_in_the_middle() -> None:
    """Bypassing three of four plates at a fixed flow of water weakens the product; taking them back in helps again."""
    steady = {"fraction": "hearts", "heater": 5e3, "dephlegmator_water": 25 * L_PER_H}
    all_plates = phase("all plates", 60.0, **steady)
    one_plate = phase("one plate", 15.0, bypass=(1, 2, 3), **steady)
    back, never = (
        run(FOUR, [WARM, all_plates, one_plate, phase("last", 30.0, bypass=bypass, **steady)]).series
        for bypass in ((), (1, 2, 3))
    )
    working = float(back["product_strength"][back["phase_index"] == 1][-1])
    assert float(back["product_strength"][back["phase_index"] == 2][-1]) < working - 0.02
    assert back["product_strength"][-1] > never["product_strength"][-1] + 0.02


def test_drained_plates() -> None:
    steady = {"fraction": "hearts", "heater": 5e3, "dephlegmator_water": 25 * L_PER_H}
    series = run(FOUR, [WARM, phase("full", 60.0, **steady), phase("drained", 30.0, level="drained", **steady)]).series
    for k in (1, 2, 3, 4):
        assert series[f"plate_{k}_liquid"][-1] < 1e-4
    last = series["product_strength"][series["phase_index"] == 1][-1]
    assert series["product_strength"][-1] < last


def test_water_cut_off_in_the_middle_of_the_hearts() -> None:
    """All the vapour then leaves as vapour: nothing more is collected, and the fire hazard is reported as high."""
    steady = {"fraction": "hearts", "heater": 5e3, "dephlegmator_water": 20 * L_PER_H}
    phases = [WARM, phase("hearts", 60.0, **steady), phase("no water", 30.0, condenser_water=0.0, **steady)]
    found = run(FOUR, phases)
    series = found.series
    late = series["time"] > found.phases[1].end + 900.0
    assert (series["uncondensed"][late] > 0.9 * series["distillate"][late]).all()
    assert "uncondensed-vapour" in codes(found)
    assert found.warnings[0].code == "uncondensed-vapour"


def test_tiny_parrot_and_instruments_without_lag() -> None:
    """A 20 mL parrot and instruments that don't lag show what there is, within solver error."""
    still = library_still(FOUR)
    still = replace(
        still,
        parrot=replace(still.parrot, volume=2e-5, heat_lag=1.0),
        instruments=tuple(replace(one, lag=0.0) for one in still.instruments),
    )
    steady = {"fraction": "hearts", "heater": 5e3, "dephlegmator_water": 20 * L_PER_H}
    found = run(still, [WARM, phase("hearts", 60.0, **steady)])
    series = found.series
    late = series["time"] > found.phases[1].start + 1800.0
    assert np.abs(series["parrot_strength"] - series["product_strength"])[late].max() < 2e-3
    assert np.abs(series["head_temperature_shown"] - series["head_temperature"])[late].max() < 0.05


@pytest.mark.parametrize("stages", [2, 3])
def test_dephlegmator_of_several_stages(stages: int) -> None:
    """More equivalent stages of partial condensation never weaken the product at the same water."""
    strengths = []
    for count in (1, stages):
        still = library_still(THREE)
        still = replace(still, dephlegmator=replace(still.dephlegmator, stages=count))
        steady = {"fraction": "hearts", "heater": 5e3, "dephlegmator_water": 30 * L_PER_H}
        found = run(still, [WARM, phase("hearts", 60.0, **steady)])
        strengths.append(found.totals["collected_pure_alcohol"] / found.totals["collected_volume"])
    assert strengths[1] > strengths[0]


def test_freezing_house_and_frozen_mash() -> None:
    """A charge at -5 Cel in a still house at -20 Cel warms up and comes over like any other, only later."""
    phases = [WARM, phase("low wines", 90.0, fraction="low wines", heater_share=0.8)]
    cold = run(FOUR, phases, Charge(volume=0.08, strength=0.1, temperature=268.15), room=253.15, water=274.0)
    usual = run(FOUR, phases, Charge(volume=0.08, strength=0.1))
    assert cold.totals["time_to_boil"] > usual.totals["time_to_boil"]


def test_eight_plates_of_the_least_and_the_most_hold_up() -> None:
    for volume in (2e-5, 1.2e-3):
        plate = Plate(type="bubble-cap", level=volume, level_min=volume / 2, level_max=2 * volume)
        still = replace(library_still(FOUR), column=Column(diameter=0.22, plates=(plate,) * 8))
        found = run(still, [WARM, phase("reflux", 60.0, heater=6e3, dephlegmator_water_share=1.0)])
        assert found.totals["collected_volume"] < 1e-5


def test_phases_of_a_second_and_of_no_length() -> None:
    """Phases whose end is met at once take no time; one of a second takes a second."""
    phases = [
        WARM,
        Phase(name="already there", ends=Ends(pot_temperature=330.0, time=600.0)),
        Phase(name="a second", ends=Ends(time=1.0)),
        phase("hearts", 10.0, fraction="hearts"),
    ]
    found = run(THREE, phases)
    assert found.phases[1].end - found.phases[1].start == 0.0
    assert found.phases[1].ended_by == "pot_temperature"
    assert found.phases[2].end - found.phases[2].start == pytest.approx(1.0, abs=1e-3)
