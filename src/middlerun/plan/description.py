"""A plan: this still, this charge, this weather, this procedure. Values are SI."""

from __future__ import annotations

from dataclasses import dataclass, field

from middlerun.fields import flag, number, quantity, record, text, texts, whole
from middlerun.run import Procedure
from middlerun.still import Still

FORMAT = "middlerun-plan"
VERSION = 1


@dataclass(frozen=True, kw_only=True)
class Source:
    """The product of another run, taken as charge."""

    plan: str = text(doc="Path of the plan whose product is taken, relative to this plan.")
    fractions: tuple[str, ...] = texts(
        default=(), doc='Vessels whose product is taken, such as ["hearts"]; all when left out.'
    )
    dilute_to: float | None = quantity(
        "volume strength",
        low="5 %{vol}",
        high="60 %{vol}",
        default=None,
        doc="A stronger product is diluted with water to this strength.",
    )
    runs: int = whole(low=1, high=50, default=1, doc="How many such runs are put together.")


@dataclass(frozen=True, kw_only=True)
class Charge:
    """What goes into the pot. Volume and strength are at 20 Cel; they are left out when `source` is given."""

    volume: float | None = quantity(
        "volume", low="1 L", high="4500 L", default=None, doc="Volume of the charge at 20 Cel."
    )
    strength: float | None = quantity(
        "volume strength",
        low="0.5 %{vol}",
        high="70 %{vol}",
        default=None,
        usual=("3 %{vol}", "40 %{vol}"),
        usual_source="mash, wine, low wines; common practice",
        doc="Strength of the charge at 20 Cel.",
    )
    temperature: float = quantity(
        "temperature", low="-5 Cel", high="60 Cel", default="15 Cel", doc="Temperature when filled."
    )
    kind: str = text(default="wine", doc="Kind of charge: the name of a file in the charge kind library.")
    extract: float | None = quantity(
        "mass concentration",
        low="0 g/L",
        high="250 g/L",
        default=None,
        doc="Dissolved solids (sugar rest, acids, salts); the kind's usual when left out.",
    )
    froth: float | None = quantity(
        "share",
        low="0 %",
        high="80 %",
        default=None,
        doc="Froth allowance on the hot volume; the kind's usual when left out.",
    )
    degassed: bool = flag(default=True, doc="Whether the fresh mash's CO2 has been driven out.")
    source: Source | None = record(Source, default=None, doc="Take the product of another run.")


@dataclass(frozen=True, kw_only=True)
class Weather:
    """The day: pressure (or altitude), room and water temperatures."""

    pressure: float | None = quantity(
        "pressure",
        low="60 kPa",
        high="110 kPa",
        default=None,
        usual=("75 kPa", "106 kPa"),
        doc="Absolute air pressure at the still, by barometer.",
    )
    altitude: float | None = quantity(
        "length",
        low="-400 m",
        high="4000 m",
        default=None,
        doc="Altitude above sea level, used when no barometer is at hand.",
    )
    room: float = quantity(
        "temperature", low="-20 Cel", high="50 Cel", default="18 Cel", doc="Temperature of the still house."
    )
    water: float = quantity(
        "temperature",
        low="0.5 Cel",
        high="45 Cel",
        default="13 Cel",
        usual=("4 Cel", "25 Cel"),
        usual_source="mains and well water; common practice",
        doc="Temperature of the cooling water.",
    )


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What the day and the purse allow."""

    day: float = quantity("time", low="10 min", high="48 h", default="10 h", doc="Longest that the run may take.")
    energy_price: float = number(low=0, high=100, default=0.30, doc="Price of a kilowatt hour, in the user's currency.")
    water_price: float = number(low=0, high=1000, default=4.0, doc="Price of a cubic metre of water with its drain.")
    pot_gauge: float = quantity(
        "pressure",
        low="0.1 kPa",
        high="50 kPa",
        default="5 kPa",
        doc="Gauge pressure in the pot that counts as a choked vapour path.",
    )
    head_temperature: float | None = quantity(
        "temperature",
        low="60 Cel",
        high="101 Cel",
        default=None,
        doc="Head temperature that shall not be passed while hearts run.",
    )
    water_out: float = quantity(
        "temperature",
        low="30 Cel",
        high="95 Cel",
        default="70 Cel",
        doc="Cooling water shall not leave hotter than this.",
    )


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A plan with everything resolved: what `predict` needs and nothing else.

    `category` is the id of a category of the law room, or empty; `report_every` is the step of the time grid in s.
    """

    name: str
    note: str = ""
    invented: bool = False
    still: Still
    procedure: Procedure
    charge: Charge
    weather: Weather = field(default_factory=Weather)
    limits: Limits = field(default_factory=Limits)
    category: str = ""
    report_every: float = 10.0
