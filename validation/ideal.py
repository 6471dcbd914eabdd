"""Stills without losses, metal or hold-up worth naming, so that a run can be set against textbook constructions."""

from __future__ import annotations

from dataclasses import replace

from middlerun.alcoholometry import density, mass_fraction
from middlerun.column import Day, End, PhaseSettings, PotCharge
from middlerun.still import PlateNumbers, StillNumbers, library_still, resolve
from middlerun.substances import MOLAR_MASS_ETHANOL, MOLAR_MASS_WATER

REFERENCE = 293.15  # K
ONE_ATMOSPHERE = Day(pressure=101325.0, room=REFERENCE, water=288.15)


def charge(volume: float, strength: float, temperature: float = REFERENCE) -> PotCharge:
    """Return so many m3 (at 20 °C) of ethanol and water of a volume strength, filled at K, without solids."""
    p = float(mass_fraction(strength))
    mass = volume * float(density(p, REFERENCE))
    return PotCharge(
        ethanol=p * mass / MOLAR_MASS_ETHANOL, water=(1.0 - p) * mass / MOLAR_MASS_WATER, temperature=temperature,
        pure_alcohol=volume * strength,
    )  # fmt: skip


def plate(hold_up: float) -> PlateNumbers:
    """Return an ideal stage: efficiency 1, no pressure drop, nothing leaks, nothing lost; hold-up in m3 (hot)."""
    return PlateNumbers(
        level=hold_up, level_min=hold_up, level_max=hold_up, efficiency=1.0, hole_area=1.0, active_area=3.0,
        spacing=0.6, weir_time=0.2, leak_time=1e9, weep_velocity=0.0, discharge=1.0, heat_capacity=0.0, heat_loss=0.0,
        bypass=False,
    )  # fmt: skip


def still(
    n_plates: int, *, power: float, hold_up: float = 1e-5, conductance: float = 0.0, stages: int = 1
) -> StillNumbers:
    """Return a lossless electric still with `n_plates` ideal plates; heater W, dephlegmator U·A W/K (0: plain head).

    The heater is rated at `power`: the model's roundings are shares of the vapour that the heater can make.
    """
    return replace(
        resolve(library_still("electric-pot-30")),
        pot_volume=10.0, working_max=9.0, working_min=0.0, pot_heat_capacity=0.0, pot_heat_loss=0.0,
        pot_vapour_conductance=1e6, heater_max=power, heating_conductance=1e4, jacket_heat_capacity=500.0,
        jacket_heat_loss=0.0, plates=(plate(hold_up),) * n_plates, dephlegmator_conductance=conductance,
        dephlegmator_water_max=4e-4, dephlegmator_water_min=0.0, dephlegmator_water_content=1e-4, dephlegmator_cells=3,
        dephlegmator_stages=stages, dephlegmator_liquid=hold_up, dephlegmator_drain_time=0.2,
        dephlegmator_heat_capacity=0.0, head_heat_loss=0.0, condenser_conductance=5e3, condenser_water_max=1e-3,
        parrot_volume=1e-7,
    )  # fmt: skip


def phase(name: str, seconds: float, power: float, n_plates: int = 0, water: float = 0.0, hold_up: float = 1e-5):
    """Return a phase of fixed length, heat and dephlegmator water (m3/s)."""
    return PhaseSettings(
        name=name, heater=power, dephlegmator_flow=water, condenser_flow=5e-4, levels=(hold_up,) * n_plates,
        bypassed=(False,) * n_plates, ends=(End(channel="time", threshold=seconds, rising=True, name="time"),),
    )  # fmt: skip
