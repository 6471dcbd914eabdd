"""What a distiller can measure on a still with a rule, a watch, a bucket and a thermometer."""

from __future__ import annotations

from dataclasses import dataclass

from middlerun.fields import choice, flag, quantity, text, whole
from middlerun.still.description import HEATING_KINDS, METALS


@dataclass(frozen=True, kw_only=True)
class Measurements:
    """Everything that `new_still` asks for. SI; None where it was not measured."""

    name: str = text(doc="What the still is called.")
    pot_volume: float = quantity("volume", low="5 L", high="5000 L", doc="Inner volume of the pot, brim to drain.")
    working_max: float | None = quantity(
        "volume",
        low="3 L",
        high="4500 L",
        default=None,
        doc="Most hot charge plus froth; 85 % of the pot when left out.",
    )
    working_min: float | None = quantity(
        "volume", low="0.5 L", high="2000 L", default=None, doc="Least charge that covers the heating surface."
    )
    metal: str = choice(*METALS, default="copper", doc="What pot and column are made of.")
    insulated: bool = flag(default=False, doc="Whether pot, jacket and column are insulated.")
    agitator: bool = flag(default=False, doc="Whether the pot has an agitator, and it ran while the pot heated up.")

    heating_kind: str = choice(*HEATING_KINDS, doc="How the pot is heated.")
    power: float = quantity("power", low="0.2 kW", high="500 kW", doc="Most heat that the heating gives, by its plate.")
    time_to_boil: float | None = quantity(
        "time", low="5 min", high="8 h", default=None, doc="From cold to the boil, at full power."
    )
    boil_volume: float | None = quantity(
        "volume", low="1 L", high="4500 L", default=None, doc="Charge of that heat-up, at 20 Cel."
    )
    boil_strength: float = quantity(
        "volume strength",
        low="0 %{vol}",
        high="60 %{vol}",
        default="0 %{vol}",
        doc="Strength of that charge; 0 for a trial with water.",
    )
    boil_start: float = quantity(
        "temperature", low="0 Cel", high="60 Cel", default="15 Cel", doc="Temperature of that charge at the start."
    )
    jacket_water: float | None = quantity(
        "mass", low="1 kg", high="3000 kg", default=None, doc="Water that the jacket was filled with."
    )
    steam_gauge: float | None = quantity(
        "pressure", low="0 bar", high="3 bar", default=None, doc="Gauge pressure of the steam in a steam jacket."
    )
    relief_gauge: float | None = quantity(
        "pressure", low="0 bar", high="3 bar", default=None, doc="Gauge pressure stamped on the jacket's relief valve."
    )
    vent: bool = flag(default=False, doc="Whether the jacket has a vent that is open while it warms.")
    vacuum_breaker: bool = flag(default=False, doc="Whether the jacket has a vacuum breaker.")

    plates: int = whole(low=0, high=8, default=0, doc="Number of plates; 0 for a plain pot still.")
    plate_type: str = text(default="bubble-cap", doc="Plate type: sieve, bubble-cap or another one of the library.")
    column_diameter: float | None = quantity(
        "length", low="30 mm", high="1000 mm", default=None, doc="Inner diameter of the column."
    )
    plate_spacing: float | None = quantity(
        "length", low="50 mm", high="600 mm", default=None, doc="Distance between plates."
    )
    plate_level: float | None = quantity(
        "volume", low="0 L", high="200 L", default=None, doc="Liquid that one plate holds at its usual weir setting."
    )
    bypass: bool = flag(default=False, doc="Whether the plates can be bypassed.")

    head: str | None = choice(
        "plain", "dephlegmator", default=None, doc="What is on top; a dephlegmator when there are plates."
    )
    dephlegmator_flow: float | None = quantity(
        "volume flow rate",
        low="1 L/h",
        high="5000 L/h",
        default=None,
        doc="Cooling water of the dephlegmator at one moment while product ran, by bucket and watch.",
    )
    dephlegmator_water_in: float | None = quantity(
        "temperature", low="0.5 Cel", high="60 Cel", default=None, doc="Temperature of that water as it went in."
    )
    dephlegmator_water_out: float | None = quantity(
        "temperature", low="1 Cel", high="95 Cel", default=None, doc="Temperature of that water as it came out."
    )
    head_temperature: float | None = quantity(
        "temperature", low="70 Cel", high="101 Cel", default=None, doc="Head temperature at that moment."
    )
    dephlegmator_water_max: float | None = quantity(
        "volume flow rate", low="1 L/h", high="5000 L/h", default=None, doc="Most water that its valve lets through."
    )
    condenser_area: float | None = quantity(
        "area", low="0.01 m2", high="60 m2", default=None, doc="Cooling surface of the product condenser, if known."
    )
    condenser_water_max: float | None = quantity(
        "volume flow rate", low="1 L/h", high="10000 L/h", default=None, doc="Most water that the condenser can get."
    )
