"""Physical properties and vapour-liquid equilibrium of ethanol and water.

Takes: mole fractions of ethanol, temperatures in K, pressures in Pa; floats or arrays. Gives: pressures, bubble and dew
points, enthalpies, volumes, surface tension, each with its source, range and uncertainty; `equilibrium_table` (imported
by name, because it loads the compiler) gives the run's kernel its look-up table. Never: legal densities, which are the
alcoholometry room's; anything that depends on a still. Physical constants live in `data/`, each with its provenance.
"""

from middlerun.substances.constants import Constant, load_constants, packaged
from middlerun.substances.enthalpy import (
    latent_heat_ethanol,
    latent_heat_water,
    liquid_enthalpy,
    liquid_enthalpy_ethanol,
    liquid_enthalpy_water,
    liquid_heat_capacity_ethanol,
    liquid_heat_capacity_water,
    vapour_enthalpy,
    vapour_enthalpy_ethanol,
    vapour_enthalpy_water,
)
from middlerun.substances.equilibrium import (
    activity_coefficients,
    azeotrope,
    boiling_point_rise,
    bubble_point,
    bubble_pressure,
    dew_point,
)
from middlerun.substances.pressure import vapour_pressure_ethanol, vapour_pressure_water
from middlerun.substances.volume import liquid_density, liquid_molar_volume, surface_tension, vapour_density

MOLAR_MASS_ETHANOL: float = packaged("equilibrium.toml")["molar_mass_ethanol"].value
"""kg/mol"""
MOLAR_MASS_WATER: float = packaged("equilibrium.toml")["molar_mass_water"].value
"""kg/mol"""

__all__ = [
    "MOLAR_MASS_ETHANOL",
    "MOLAR_MASS_WATER",
    "Constant",
    "activity_coefficients",
    "azeotrope",
    "boiling_point_rise",
    "bubble_point",
    "bubble_pressure",
    "dew_point",
    "latent_heat_ethanol",
    "latent_heat_water",
    "liquid_density",
    "liquid_enthalpy",
    "liquid_enthalpy_ethanol",
    "liquid_enthalpy_water",
    "liquid_heat_capacity_ethanol",
    "liquid_heat_capacity_water",
    "liquid_molar_volume",
    "load_constants",
    "packaged",
    "surface_tension",
    "vapour_density",
    "vapour_enthalpy",
    "vapour_enthalpy_ethanol",
    "vapour_enthalpy_water",
    "vapour_pressure_ethanol",
    "vapour_pressure_water",
]
