"""What each series and total of a run is called on paper, and how it is shown: one list for tables, pictures, files."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

_PLATE = re.compile(r"^plate_(\d+)_(\w+)$")


@dataclass(frozen=True, kw_only=True)
class Named:
    """The label of a series or total, and its kind of reading (a key of `show.SHOWN`)."""

    label: str
    kind: str


def _table(rows: Iterable[tuple[str, str, str]]) -> dict[str, Named]:
    return {name: Named(label=label, kind=kind) for name, label, kind in rows}


SERIES = _table(
    (
        ("time", "time", "time"),
        ("phase_index", "phase", "count"),
        ("pot_temperature", "pot", "temperature"),
        ("pot_temperature_shown", "pot", "temperature"),
        ("pot_strength", "strength in the pot", "strength"),
        ("pot_volume_hot", "hot liquid in the pot", "volume"),
        ("pot_gauge", "pot pressure over ambient", "small gauge"),
        ("jacket_temperature", "jacket", "temperature"),
        ("jacket_gauge", "jacket gauge", "gauge"),
        ("heater_power", "heater", "power"),
        ("heat_to_pot", "into the charge", "power"),
        ("heat_loss", "lost", "power"),
        ("relief_heat", "through the relief valve", "power"),
        ("pot_vapour", "vapour from the charge", "molar flow"),
        ("head_temperature", "head", "temperature"),
        ("head_temperature_shown", "head", "temperature"),
        ("head_setpoint", "head held at", "temperature"),
        ("reflux", "reflux", "molar flow"),
        ("distillate", "distillate", "molar flow"),
        ("distillate_ethanol", "ethanol in the distillate", "fraction"),
        ("reflux_ratio", "reflux ratio", "ratio"),
        ("dephlegmator_water_flow", "dephlegmator water", "water flow"),
        ("dephlegmator_water_out", "dephlegmator water out", "temperature"),
        ("dephlegmator_heat", "dephlegmator", "power"),
        ("condenser_water_flow", "condenser water", "water flow"),
        ("condenser_water_out", "condenser water out", "temperature"),
        ("condenser_heat", "condenser", "power"),
        ("condenser_margin", "condenser margin", "ratio"),
        ("uncondensed", "uncondensed vapour", "molar flow"),
        ("product_strength", "product strength", "strength"),
        ("product_rate", "product rate", "product rate"),
        ("product_temperature", "product", "temperature"),
        ("parrot_temperature", "parrot", "temperature"),
        ("parrot_strength", "strength at 20 °C", "strength"),
        ("parrot_reading", "reading on the glass", "strength"),
        ("pot_gauge_shown", "pot pressure over ambient, as shown", "small gauge"),
        ("jacket_temperature_shown", "jacket, as shown", "temperature"),
        ("jacket_gauge_shown", "jacket gauge, as shown", "gauge"),
        ("heater_power_shown", "heater, as shown", "power"),
        ("dephlegmator_water_flow_shown", "dephlegmator water, as shown", "water flow"),
        ("dephlegmator_water_out_shown", "dephlegmator water out, as shown", "temperature"),
        ("condenser_water_flow_shown", "condenser water, as shown", "water flow"),
        ("condenser_water_out_shown", "condenser water out, as shown", "temperature"),
        ("product_temperature_shown", "product, as shown", "temperature"),
        ("parrot_strength_shown", "strength at 20 °C, as shown", "strength"),
        ("collected_volume", "collected", "volume"),
        ("collected_pure_alcohol", "collected pure alcohol", "pure alcohol"),
        ("fraction_volume", "collected in this phase", "volume"),
        ("fraction_strength", "mean strength in this phase", "strength"),
    )
)

PLATE_SERIES = _table(
    (
        ("temperature", "plate {k}", "temperature"),
        ("liquid", "plate {k} liquid", "volume"),
        ("level", "plate {k} weir setting", "volume"),
        ("strength", "plate {k} strength", "strength"),
        ("vapour", "plate {k} vapour", "molar flow"),
        ("flood", "plate {k} vapour over flooding", "ratio"),
        ("weep", "plate {k} vapour over weep point", "ratio"),
        ("downcomer", "plate {k} liquid backed up over its room", "ratio"),
        ("efficiency", "plate {k} Murphree efficiency", "ratio"),
    )
)

TOTALS = _table(
    (
        ("duration", "Whole run", "time"),
        ("time_to_boil", "First vapour leaves the charge", "time"),
        ("time_to_product", "First product", "time"),
        ("heat_supplied", "Heat supplied", "heat"),
        ("heat_lost", "Heat lost", "heat"),
        ("heat_relief", "Heat wasted through the relief valve", "heat"),
        ("heat_dephlegmator", "Heat into the dephlegmator water", "heat"),
        ("heat_condenser", "Heat into the condenser water", "heat"),
        ("water_dephlegmator", "Dephlegmator water", "water"),
        ("water_condenser", "Condenser water", "water"),
        ("uncondensed", "Vapour lost uncondensed", "amount"),
        ("charge_pure_alcohol", "Pure alcohol in the charge", "pure alcohol"),
        ("collected_volume", "Collected, all fractions", "volume"),
        ("collected_pure_alcohol", "Pure alcohol collected", "pure alcohol"),
        ("pot_strength_end", "Strength left in the pot", "strength"),
        ("pot_volume_end", "Left in the pot", "volume"),
        ("plates_pure_alcohol_end", "Pure alcohol left in column, head and parrot", "pure alcohol"),
        ("energy_cost", "Cost of energy", "money"),
        ("water_cost", "Cost of water", "money"),
    )
)


def series_named(name: str) -> Named:
    """Return label and kind of a series, plate series included; an unknown name is shown as it is, as a pure number.

    >>> series_named("plate_2_liquid").label, series_named("pot_temperature").kind
    ('plate 2 liquid', 'temperature')
    """
    if name in SERIES:
        return SERIES[name]
    match = _PLATE.match(name)
    if match and match[2] in PLATE_SERIES:
        found = PLATE_SERIES[match[2]]
        return Named(label=found.label.format(k=int(match[1])), kind=found.kind)
    return Named(label=name.replace("_", " "), kind="fraction")


def plate_count(names: Iterable[str]) -> int:
    """Return how many plates a set of series names speaks of.

    >>> plate_count(["time", "plate_1_liquid", "plate_2_liquid"])
    2
    """
    return max((int(match[1]) for match in map(_PLATE.match, names) if match), default=0)
