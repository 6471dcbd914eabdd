"""The still, described: one frozen record a part. Values are SI; files carry units; None means "derived in resolve"."""

from __future__ import annotations

from dataclasses import dataclass

from middlerun.fields import choice, flag, number, quantities, quantity, record, records, text
from middlerun.still.exchangers import LOSS, Condenser, Dephlegmator

HEATING_KINDS = ("bain-marie", "steam-jacket", "electric", "fire")
METALS = ("copper", "stainless")
READINGS = (
    "pot temperature",
    "head temperature",
    "jacket temperature",
    "jacket pressure",
    "pot pressure",
    "dephlegmator water out",
    "condenser water out",
    "dephlegmator water flow",
    "condenser water flow",
    "product strength",
    "product temperature",
    "heater power",
)
FORMAT = "middlerun-still"
VERSION = 1

_PERRY = "Perry's Handbook, Table 11-7: 285 to 1700 W/(m2.K) for steam or water jackets"


@dataclass(frozen=True, kw_only=True)
class Pot:
    """The vessel that takes the charge."""

    volume: float = quantity(
        "volume", low="5 L", high="5000 L", usual=("20 L", "1500 L"), doc="Inner volume of the pot, brim to drain."
    )
    working_max: float = quantity(
        "volume", low="3 L", high="4500 L", doc="Most hot charge plus froth that the pot may hold."
    )
    working_min: float = quantity(
        "volume", low="0.5 L", high="2000 L", doc="Least charge that covers the heating surface and the agitator."
    )
    metal: str = choice(*METALS, doc="What the pot is made of.", default="copper")
    metal_mass: float = quantity("mass", low="1 kg", high="3000 kg", doc="Metal that warms up with the charge.")
    heat_loss: float = quantity(
        "heat conductance",
        low="0 W/K",
        high="200 W/K",
        usual=("0.5 W/K", "40 W/K"),
        usual_source=LOSS,
        doc="Heat lost to the room per kelvin of pot over room.",
    )
    agitator: bool = flag(doc="Whether the pot has an agitator.", default=False)
    vapour_conductance: float = quantity(
        "heat conductance",
        low="1 kW/K",
        high="2000 kW/K",
        default="200 kW/K",
        expert=True,
        doc="Heat that flashes off per kelvin of overheat: how sharply the boil sets in.",
    )


@dataclass(frozen=True, kw_only=True)
class Heating:
    """How heat gets into the charge."""

    kind: str = choice(*HEATING_KINDS, doc="How the pot is heated.")
    power: float = quantity(
        "power", low="0.2 kW", high="500 kW", usual=("1 kW", "150 kW"), doc="Most heat that it can give."
    )
    steps: tuple[float, ...] = quantities(
        "power", low="0 kW", high="500 kW", default=(), doc="Coarse steps of the heater; empty means continuous."
    )
    fine_control: bool = flag(doc="Whether power between the steps can be set.", default=True)
    conductance: float = quantity(
        "heat conductance",
        low="5 W/K",
        high="50 kW/K",
        usual=("50 W/K", "6000 W/K"),
        usual_source=_PERRY + ", times the wetted surface",
        doc="U·A from jacket, element or fired base to boiling charge.",
    )
    cold_share: float = number(
        low=0.05,
        high=1.0,
        default=0.5,
        usual=(0.3, 0.9),
        expert=True,
        usual_source="without agitation jacket values may be halved (technical handbook)",
        doc="Part of that U·A before the boil without agitator.",
    )
    cold_share_agitated: float = number(
        low=0.05, high=1.0, default=0.8, expert=True, doc="Part of that U·A before the boil with the agitator running."
    )
    flue_loss: float = number(
        low=0.0,
        high=0.9,
        default=0.0,
        usual=(0.0, 0.7),
        expert=True,
        doc="Share of a burner's heat that leaves with the flue gas (fire only).",
    )
    jacket_water: float | None = quantity(
        "mass", low="1 kg", high="3000 kg", default=None, doc="Water in the jacket (bain-marie and steam jacket)."
    )
    jacket_water_min: float | None = quantity(
        "mass", low="0.5 kg", high="3000 kg", default=None, doc="Least water that covers the heating elements."
    )
    jacket_gas_volume: float | None = quantity(
        "volume",
        low="0.5 L",
        high="2000 L",
        default=None,
        doc="Space above the jacket's water; for the record, since the pressure of shut-in air does not depend on it.",
    )
    metal_mass: float = quantity(
        "mass",
        low="0 kg",
        high="2000 kg",
        default="0 kg",
        expert=True,
        doc="Metal that warms up with the jacket, element or base (counted as steel).",
    )
    heat_loss: float = quantity(
        "heat conductance",
        low="0 W/K",
        high="200 W/K",
        default="0 W/K",
        usual=("0 W/K", "40 W/K"),
        usual_source=LOSS,
        doc="Heat lost to the room per kelvin of jacket over room.",
    )
    relief_gauge: float | None = quantity(
        "pressure",
        low="0 bar",
        high="3 bar",
        default=None,
        usual=("0.2 bar", "0.5 bar"),
        usual_source="0.5 bar gauge is where Directive 2014/68/EU begins",
        doc="Gauge pressure at which the jacket's relief valve opens.",
    )
    relief_conductance: float = quantity(
        "power",
        low="0.1 kW",
        high="1000 kW",
        default="30 kW",
        expert=True,
        doc="Heat that the relief valve lets go per 0.1 bar above its setting.",
    )
    steam_gauge: float | None = quantity(
        "pressure",
        low="0 bar",
        high="3 bar",
        default=None,
        doc="Gauge pressure at which the steam supply holds a steam jacket; four fifths of the relief's when left out.",
    )
    vent: bool = flag(doc="Whether the jacket has a vent that is open while it warms.", default=False)
    vacuum_breaker: bool = flag(doc="Whether the jacket has a vacuum breaker.", default=False)


@dataclass(frozen=True, kw_only=True)
class Plate:
    """One plate of the column, counted from the bottom. A plate type fills in what is not given."""

    type: str = text(doc="Plate type: the name of a file in the plate type library, such as sieve or bubble-cap.")
    level: float | None = quantity(
        "volume", low="0 L", high="200 L", default=None, doc="Usual weir setting, as hot litres held."
    )
    level_min: float | None = quantity("volume", low="0 L", high="200 L", default=None, doc="Lowest weir setting.")
    level_max: float | None = quantity("volume", low="0 L", high="200 L", default=None, doc="Highest weir setting.")
    efficiency: float | None = number(
        low=0.05,
        high=1.0,
        default=None,
        usual=(0.4, 0.85),
        usual_source="prior for small stills, from memory; fit per still",
        doc="Murphree vapour efficiency at the usual level.",
    )
    bypass: bool = flag(doc="Whether the plate can be bypassed.", default=False)
    hole_area: float | None = quantity(
        "area",
        low="0.1 cm2",
        high="5000 cm2",
        default=None,
        expert=True,
        doc="Open area for the vapour (holes, or cap slots).",
    )
    hole_diameter: float | None = quantity(
        "length", low="0.5 mm", high="50 mm", default=None, expert=True, doc="Diameter of one hole (sieve)."
    )
    weir_time: float | None = quantity(
        "time",
        low="0.5 s",
        high="600 s",
        default=None,
        expert=True,
        doc="Time constant with which liquid over the weir runs off.",
    )
    leak_time: float | None = quantity(
        "time",
        low="1 s",
        high="24 h",
        default=None,
        expert=True,
        doc="Time constant with which the plate leaks or weeps empty without vapour.",
    )
    metal_mass: float | None = quantity(
        "mass", low="0.05 kg", high="200 kg", default=None, expert=True, doc="Metal of plate and its column section."
    )
    heat_loss: float | None = quantity(
        "heat conductance",
        low="0 W/K",
        high="20 W/K",
        default=None,
        expert=True,
        usual_source=LOSS,
        doc="Heat lost by this section per kelvin over room.",
    )


@dataclass(frozen=True, kw_only=True)
class Column:
    """The shell of the column and what its plates have in common."""

    diameter: float = quantity("length", low="30 mm", high="1000 mm", usual=("50 mm", "500 mm"), doc="Inner diameter.")
    spacing: float = quantity(
        "length",
        low="50 mm",
        high="600 mm",
        default="180 mm",
        usual=("100 mm", "400 mm"),
        doc="Distance between plates.",
    )
    metal: str = choice(*METALS, doc="What the column is made of.", default="copper")
    insulated: bool = flag(doc="Whether the column is insulated.", default=False)
    plates: tuple[Plate, ...] = records(Plate, doc="The plates, from the bottom up.")


@dataclass(frozen=True, kw_only=True)
class Parrot:
    """The small overflow vessel in which the alcoholmeter floats."""

    volume: float = quantity(
        "volume", low="0.02 L", high="20 L", default="0.25 L", usual=("0.1 L", "2 L"), doc="Spirit that it holds."
    )
    heat_lag: float = quantity(
        "time",
        low="1 s",
        high="3600 s",
        default="120 s",
        expert=True,
        doc="Time constant with which its spirit takes the product's temperature.",
    )


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """One instrument, tagged with ISA-5.1 letters. `lag` is its first-order time constant."""

    tag: str = text(doc='Tag of ISA-5.1 letters and a loop number, such as "TI-101".')
    reads: str = choice(*READINGS, doc="What it reads.")
    lag: float = quantity(
        "time",
        low="0 s",
        high="600 s",
        default="10 s",
        doc="First-order time constant: what the instrument shows runs behind by it.",
    )


@dataclass(frozen=True, kw_only=True)
class Control:
    """The operator's hand on a valve: how a held quantity is followed."""

    valve_lag: float = quantity(
        "time", low="1 s", high="300 s", default="8 s", expert=True, doc="Time constant of valve and hand."
    )
    head_lag: float = quantity(
        "time",
        low="1 s",
        high="300 s",
        default="15 s",
        expert=True,
        doc="Lag of the head thermometer that the hand follows, where no instrument reads the head.",
    )
    gain: float | None = number(
        low=0.0,
        high=1e3,
        default=None,
        expert=True,
        doc="Cooling water change in L/h per kelvin of head; a tenth of the usual flow when left out.",
    )
    integral_time: float = quantity(
        "time", low="5 s", high="3600 s", default="150 s", expert=True, doc="Integral time of the hand."
    )


@dataclass(frozen=True, kw_only=True)
class Still:
    """A whole still."""

    name: str = text(doc="What the still is called.")
    note: str = text(doc="Anything worth saying about it.", default="")
    invented: bool = flag(doc="True for a description that belongs to no real still.", default=False)
    pot: Pot = record(Pot, doc="The pot.")
    heating: Heating = record(Heating, doc="The heating.")
    column: Column | None = record(Column, doc="The column; leave out for a plain pot still.", default=None)
    dephlegmator: Dephlegmator = record(Dephlegmator, doc="The dephlegmator, or the plain head.", default=())
    condenser: Condenser = record(Condenser, doc="The product condenser.")
    parrot: Parrot = record(Parrot, doc="The parrot.", default=())
    control: Control = record(Control, doc="How the operator follows a held quantity.", default=())
    instruments: tuple[Instrument, ...] = records(Instrument, doc="The instruments with their tags.")
