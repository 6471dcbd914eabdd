"""A procedure: a list of phases, each with settings, perhaps held quantities, an end and a vessel. Values are SI.

A phase says only what changes: what it leaves out stays as the phase before set it (docs/reference/procedure-file.md).
"""

from __future__ import annotations

from dataclasses import dataclass

from middlerun.fields import choice, flag, quantities, quantity, record, records, text, wholes

FORMAT = "middlerun-procedure"
VERSION = 1
FRACTIONS = ("none", "heads", "hearts", "late hearts", "tails", "low wines")
LEVELS = ("drained", "low", "usual", "high")
AS_BEFORE = "as before"


@dataclass(frozen=True, kw_only=True)
class Ends:
    """When a phase ends: at the first of the conditions that are given. Readings are those of the instruments."""

    pot_temperature: float | None = quantity(
        "temperature", low="0 Cel", high="120 Cel", default=None, doc="The pot thermometer has risen to this."
    )
    head_temperature: float | None = quantity(
        "temperature", low="0 Cel", high="110 Cel", default=None, doc="The head thermometer has risen to this."
    )
    product_strength: float | None = quantity(
        "volume strength",
        low="0.5 %{vol}",
        high="97 %{vol}",
        default=None,
        doc="The strength in the parrot has fallen to this.",
    )
    collected: float | None = quantity(
        "volume",
        low="0.005 L",
        high="5000 L",
        default=None,
        doc="This much, as litres at 20 Cel, has been collected in this phase.",
    )
    lpa_share: float | None = quantity(
        "share",
        low="0.05 %",
        high="99.5 %",
        default=None,
        doc="This share of the charge's pure alcohol has come over in this phase.",
    )
    smell_marker: float | None = quantity(
        "share",
        low="0.05 %",
        high="50 %",
        default=None,
        doc="Ended by the operator's nose; the forecast expects that at this share of the charge's pure alcohol.",
    )
    time: float | None = quantity("time", low="1 s", high="24 h", default=None, doc="The phase has lasted this long.")


@dataclass(frozen=True, kw_only=True)
class Phase:
    """One phase of a procedure."""

    name: str = text(doc="What the phase is called.")
    fraction: str = choice(*FRACTIONS, default="none", doc="What the product of this phase counts as.")
    into: str = text(default="", doc="Vessel that takes the product; the fraction's name when left out.")
    heater: float | None = quantity("power", low="0 kW", high="500 kW", default=None, doc="Heater power.")
    heater_share: float | None = quantity(
        "share", low="0 %", high="100 %", default=None, doc="Heater power as a share of the most that the still has."
    )
    jacket_temperature: float | None = quantity(
        "temperature",
        low="20 Cel",
        high="125 Cel",
        default=None,
        doc="Thermostat on the jacket: the heater gives no more than this needs.",
    )
    dephlegmator_water: float | None = quantity(
        "volume flow rate", low="0 L/h", high="5000 L/h", default=None, doc="Cooling water of the dephlegmator."
    )
    dephlegmator_water_share: float | None = quantity(
        "share",
        low="0 %",
        high="100 %",
        default=None,
        doc="The same as a share of the most that its valve lets through.",
    )
    hold_head_strength: float | None = quantity(
        "volume strength",
        low="20 %{vol}",
        high="96.5 %{vol}",
        default=None,
        doc="Hold the head so that the product has this strength, by the dephlegmator's water.",
    )
    hold_head_temperature_sea_level: float | None = quantity(
        "temperature",
        low="78.2 Cel",
        high="99.9 Cel",
        default=None,
        doc="Hold the head at this temperature at 101.325 kPa; converted with the day's pressure.",
    )
    hold_head_temperature: float | None = quantity(
        "temperature",
        low="60 Cel",
        high="101 Cel",
        default=None,
        doc="Hold what the head thermometer shows, whatever the pressure. Draws a warning.",
    )
    condenser_water: float | None = quantity(
        "volume flow rate", low="0 L/h", high="10000 L/h", default=None, doc="Cooling water of the condenser."
    )
    condenser_water_share: float | None = quantity(
        "share", low="0 %", high="100 %", default=None, doc="The same as a share of the most that it can get."
    )
    hold_condenser_out: float | None = quantity(
        "temperature",
        low="10 Cel",
        high="85 Cel",
        default=None,
        doc="Hold the water that leaves the condenser at this temperature.",
    )
    level: str = choice(*LEVELS, AS_BEFORE, default=AS_BEFORE, doc="Weir setting of all plates.")
    levels: tuple[float, ...] | None = quantities(
        "volume",
        low="0 L",
        high="200 L",
        default=None,
        doc="Weir settings of the plates from the bottom up, in hot litres.",
    )
    bypass: tuple[int, ...] | None = wholes(
        low=1, high=8, default=None, doc="Plates that the vapour goes around, counted from the bottom; [] for none."
    )
    agitator: bool | None = flag(default=None, doc="Agitator running, where the pot has one.")
    vent_open: bool | None = flag(default=None, doc="Vent of a closed water jacket open, where there is one.")
    ends: Ends = record(Ends, default=(), doc="When the phase ends.")
    at_most: float = quantity(
        "time",
        low="1 min",
        high="24 h",
        default="12 h",
        doc="Longest time that the phase may take; reaching it is reported as an error.",
    )


@dataclass(frozen=True, kw_only=True)
class Procedure:
    """The phases of a run in their order."""

    name: str = text(doc="What the procedure is called.")
    note: str = text(default="", doc="What it is for.")
    needs: str = choice("any", "plates", "no plates", default="any", doc="What kind of still it is written for.")
    phases: tuple[Phase, ...] = records(Phase, doc="The phases in their order.")
