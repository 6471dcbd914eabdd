"""Alcoholometry: strength, density and volume of mixtures of ethanol and water by OIML R 22.

Takes: fractions 0 to 1, densities in kg/m3, temperatures in K (253.15 to 313.15), volumes in m3; floats or arrays.
Gives: density, strength by volume at 20 Cel, mass and mole fraction, volume at 20 Cel, pure alcohol, instrument
readings and what is behind them; raises OutOfRangeError outside. Never: temperatures above 40 Cel (hot liquids are the
substances room's), other bases than 20 Cel.
"""

from middlerun.alcoholometry.instruments import Instrument, alcoholmeter_reading, true_strength
from middlerun.alcoholometry.r22 import REFERENCE_DENSITY_ETHANOL, REFERENCE_TEMPERATURE, TEMPERATURE_RANGE, density
from middlerun.alcoholometry.spirit_table import spirit_at, spirit_table
from middlerun.alcoholometry.strength import (
    mass_fraction,
    mass_fraction_from_density,
    mass_fraction_from_mole_fraction,
    mole_fraction_from_mass_fraction,
    mole_fraction_from_volume_strength,
    strength_from_density,
    volume_strength,
    volume_strength_from_mole_fraction,
)
from middlerun.alcoholometry.volumes import pure_alcohol_from_mass, pure_alcohol_volume, volume_at_20c

__all__ = [
    "REFERENCE_DENSITY_ETHANOL",
    "REFERENCE_TEMPERATURE",
    "TEMPERATURE_RANGE",
    "Instrument",
    "alcoholmeter_reading",
    "density",
    "mass_fraction",
    "mass_fraction_from_density",
    "mass_fraction_from_mole_fraction",
    "mole_fraction_from_mass_fraction",
    "mole_fraction_from_volume_strength",
    "pure_alcohol_from_mass",
    "pure_alcohol_volume",
    "spirit_at",
    "spirit_table",
    "strength_from_density",
    "true_strength",
    "volume_at_20c",
    "volume_strength",
    "volume_strength_from_mole_fraction",
]
