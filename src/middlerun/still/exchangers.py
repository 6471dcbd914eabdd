"""The two coolers of a described still: dephlegmator and product condenser. SI, as in `description`."""

from __future__ import annotations

from dataclasses import dataclass

from middlerun.fields import quantity, whole

LOSS = "bare metal at 80-85 Cel in still air 8-11 W/(m2.K), insulated 1-2, computed"
_SMALL_COPPER = "small copper dephlegmators 400-900 W/(m2.K), from memory"


@dataclass(frozen=True, kw_only=True)
class Dephlegmator:
    """The partial condenser on top. A still without one has a plain head: `conductance` 0."""

    conductance: float | None = quantity(
        "heat conductance",
        low="0 W/K",
        high="20 kW/K",
        default=None,
        doc="U·A between vapour and cooling water; give this or the area.",
    )
    area: float | None = quantity("area", low="0.01 m2", high="30 m2", default=None, doc="Cooling surface.")
    coefficient: float = quantity(
        "heat transfer coefficient",
        low="50 W/(m2.K)",
        high="3000 W/(m2.K)",
        default="600 W/(m2.K)",
        usual=("400 W/(m2.K)", "900 W/(m2.K)"),
        expert=True,
        usual_source=_SMALL_COPPER,
        doc="U, used when the area is given.",
    )
    water_max: float = quantity(
        "volume flow rate",
        low="0 L/h",
        high="5000 L/h",
        default="0 L/h",
        doc="Most cooling water that its valve lets through.",
    )
    water_min: float = quantity(
        "volume flow rate",
        low="0 L/h",
        high="1000 L/h",
        default="0 L/h",
        expert=True,
        doc="Least flow that the valve can hold.",
    )
    water_content: float = quantity(
        "volume", low="0.05 L", high="100 L", default="1 L", expert=True, doc="Cooling water inside."
    )
    cells: int = whole(
        low=1,
        high=50,
        default=6,
        expert=True,
        doc="Coolant cells in series: 1 is one mixed volume, many is counter-flow.",
    )
    stages: int = whole(
        low=1, high=3, default=1, expert=True, doc="Equivalent equilibrium stages of partial condensation."
    )
    liquid: float = quantity(
        "volume",
        low="0.005 L",
        high="10 L",
        default="0.06 L",
        expert=True,
        doc="Hot condensate that clings to it per equivalent stage.",
    )
    drain_time: float = quantity(
        "time",
        low="1 s",
        high="120 s",
        default="6 s",
        expert=True,
        doc="Time constant with which condensate runs back.",
    )
    metal_mass: float = quantity(
        "mass", low="0.1 kg", high="300 kg", default="6 kg", expert=True, doc="Metal of head and tubes."
    )
    heat_loss: float = quantity(
        "heat conductance",
        low="0 W/K",
        high="50 W/K",
        default="0.8 W/K",
        expert=True,
        usual_source=LOSS,
        doc="Heat lost by head and vapour pipe per kelvin over room.",
    )


@dataclass(frozen=True, kw_only=True)
class Condenser:
    """The product condenser."""

    conductance: float | None = quantity(
        "heat conductance",
        low="1 W/K",
        high="50 kW/K",
        default=None,
        doc="U·A between vapour and cooling water; give this or the area.",
    )
    area: float | None = quantity("area", low="0.01 m2", high="60 m2", default=None, doc="Cooling surface.")
    coefficient: float = quantity(
        "heat transfer coefficient",
        low="50 W/(m2.K)",
        high="3000 W/(m2.K)",
        default="700 W/(m2.K)",
        usual=("500 W/(m2.K)", "1000 W/(m2.K)"),
        expert=True,
        usual_source="condensing organic vapour against water 700-1000, from memory",
        doc="U, used when the area is given.",
    )
    water_max: float = quantity(
        "volume flow rate", low="1 L/h", high="10000 L/h", doc="Most cooling water that it can get."
    )
    water_min: float = quantity(
        "volume flow rate",
        low="0 L/h",
        high="1000 L/h",
        default="0 L/h",
        expert=True,
        doc="Least flow that the valve can hold.",
    )
    water_content: float = quantity(
        "volume", low="0.05 L", high="200 L", default="2 L", expert=True, doc="Cooling water inside."
    )
    cells: int = whole(low=1, high=50, default=8, expert=True, doc="Coolant cells in series.")
