"""A charge as amounts: what is in the pot before the heat is turned on, and how much room it takes when it boils."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from middlerun.alcoholometry import REFERENCE_DENSITY_ETHANOL, REFERENCE_TEMPERATURE, density, mass_fraction
from middlerun.errors import PlanError
from middlerun.plan.charge_kind import ChargeKind, charge_kind
from middlerun.plan.description import Charge
from middlerun.plan.head import boiling_state
from middlerun.substances import MOLAR_MASS_ETHANOL, MOLAR_MASS_WATER, boiling_point_rise
from middlerun.units import format_quantity


@dataclass(frozen=True, kw_only=True)
class ChargeNumbers:
    """A charge, SI. Strength of a mash counts pure alcohol per volume of mash, solids included."""

    volume: float  # m3 at 20 Cel, solids included
    strength: float  # 1, volume strength at 20 Cel
    temperature: float  # K, when filled
    pure_alcohol: float  # m3 at 20 Cel
    ethanol: float  # mol
    water: float  # mol
    solids_mass: float  # kg, dissolved and undissolved
    solids_heat_capacity: float  # J/K, of all of them
    solids_volume: float  # m3, that they take up in the liquid
    solutes: float  # mol, dissolved
    boiling_rise: float  # K, as filled; it grows as water leaves
    froth: float  # 1, allowance on the hot volume
    foam_factor: float  # 1, swelling at the boil over that of water
    heat_transfer: float  # 1, U·A over that of wine in the same pot
    mass: float  # kg


@functools.lru_cache(maxsize=256)
def charge_numbers(charge: Charge) -> ChargeNumbers:
    """Return the amounts in a charge whose volume and strength are known.

    The liquid is what the solids leave of the volume; it carries all the ethanol. PlanError without volume or strength.

    >>> numbers = charge_numbers(Charge(volume=0.1, strength=0.055, kind="plum-mash"))
    >>> round(numbers.ethanol, 2), round(numbers.boiling_rise, 2)
    (94.23, 0.21)
    """
    if charge.volume is None or charge.strength is None:
        raise PlanError(
            "The charge has no volume or no strength. Give charge.volume and charge.strength, or charge.source "
            "to take the product of another plan."
        )
    kind = charge_kind(charge.kind)
    extract = kind.extract.value if charge.extract is None else charge.extract
    dissolved, undissolved = extract * charge.volume, kind.solids.value * charge.volume
    solids = dissolved + undissolved
    solids_volume = solids * kind.solids_volume.value * 1e-3
    liquid = charge.volume - solids_volume
    pure_alcohol = charge.volume * charge.strength
    ethanol_mass = pure_alcohol * REFERENCE_DENSITY_ETHANOL
    p = float(mass_fraction(min(pure_alcohol / liquid, 1.0)))
    water_mass = liquid * float(density(p, REFERENCE_TEMPERATURE)) - ethanol_mass
    solutes = 1e3 * dissolved / kind.solute_molar_mass.value
    return ChargeNumbers(
        volume=charge.volume,
        strength=charge.strength,
        temperature=charge.temperature,
        pure_alcohol=pure_alcohol,
        ethanol=ethanol_mass / MOLAR_MASS_ETHANOL,
        water=water_mass / MOLAR_MASS_WATER,
        solids_mass=solids,
        solids_heat_capacity=solids * kind.solids_heat_capacity.value,
        solids_volume=solids_volume,
        solutes=solutes,
        boiling_rise=float(boiling_point_rise(solutes / water_mass)),
        froth=froth_of(charge, kind),
        foam_factor=float(kind.foam_factor.value),
        heat_transfer=float(kind.heat_transfer.value),
        mass=ethanol_mass + water_mass + solids,
    )


def froth_of(charge: Charge, kind: ChargeKind) -> float:
    """Return the froth allowance: the plan's, or the kind's usual."""
    return kind.froth.value if charge.froth is None else charge.froth


def boil(numbers: ChargeNumbers, pressure: float) -> tuple[float, float]:
    """Return temperature (K) and mole fraction of the vapour when the charge begins to boil at a pressure (Pa)."""
    temperature, vapour, _ = boiling_state(numbers.ethanol / (numbers.ethanol + numbers.water), pressure)
    return temperature + numbers.boiling_rise, vapour


def hot_volume(numbers: ChargeNumbers, pressure: float) -> float:
    """Return the volume (m3) of the charge at the boil, without froth; solids are taken not to expand.

    >>> numbers = charge_numbers(Charge(volume=0.075, strength=0.14, extract=0.0))
    >>> round(1e3 * hot_volume(numbers, 101325.0), 1)
    78.0
    """
    moles = numbers.ethanol + numbers.water
    return moles * boiling_state(numbers.ethanol / moles, pressure)[2] + numbers.solids_volume


def filled(numbers: ChargeNumbers, pressure: float) -> str:
    """Say how the hot, frothing volume comes about, in words for a message."""
    hot = hot_volume(numbers, pressure)
    return (
        f"{format_quantity(numbers.volume, 'volume')} at 20 Cel become {format_quantity(hot, 'volume')} at the boil, "
        f"and {format_quantity(hot * (1 + numbers.froth), 'volume')} with {numbers.froth:.0%} of froth"
    )
