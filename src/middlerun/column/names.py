"""Names of the series, in the order in which the kernel fills them."""

FIXED = (
    "time",
    "phase_index",
    "pot_temperature",
    "pot_temperature_shown",
    "pot_strength",
    "pot_volume_hot",
    "pot_gauge",
    "jacket_temperature",
    "jacket_gauge",
    "heater_power",
    "heat_to_pot",
    "heat_loss",
    "relief_heat",
    "pot_vapour",
    "head_temperature",
    "head_temperature_shown",
    "head_setpoint",
    "reflux",
    "distillate",
    "distillate_ethanol",
    "reflux_ratio",
    "dephlegmator_water_flow",
    "dephlegmator_water_out",
    "dephlegmator_heat",
    "condenser_water_flow",
    "condenser_water_out",
    "condenser_heat",
    "condenser_margin",
    "uncondensed",
    "product_strength",
    "product_rate",
    "product_temperature",
    "parrot_temperature",
    "parrot_strength",
    "collected_volume",
    "collected_pure_alcohol",
    "fraction_volume",
    "fraction_strength",
    "parrot_ethanol",
    "parrot_water",
    "pure_alcohol_rate",
)
PLATE = ("temperature", "liquid", "level", "strength", "vapour", "flood", "weep", "downcomer", "efficiency")


def series_names(n_plates: int) -> tuple[str, ...]:
    """Return the names of all series of a still with so many plates.

    >>> series_names(1)[-1]
    'plate_1_efficiency'
    """
    return FIXED + tuple(f"plate_{k}_{name}" for k in range(1, n_plates + 1) for name in PLATE)
