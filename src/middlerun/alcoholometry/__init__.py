"""Strength, density and volume of mixtures of ethanol and water."""

from middlerun.alcoholometry.r22 import density
from middlerun.alcoholometry.spirit_table import spirit_table
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
