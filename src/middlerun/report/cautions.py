"""The cautions that the run sheet carries: each once, plainly, and only where it applies.

They name what a forecast can't see. Figures and limits are left to local codes and the makers of the equipment.
"""

from __future__ import annotations

from dataclasses import dataclass

from middlerun.plan import charge_kind
from middlerun.plan.description import Plan

_DISTILLED = "low wines"  # the group of charges that has no fermentation gas left

DEFER = (
    "Never leave a heated still unattended. This sheet is a forecast: it watches nothing and commands nothing. "
    "Relief valve, over-temperature cut-out, loss of cooling water and vapour detection are the work of independent "
    "hardware, fitted by licensed trades. Local codes, your licence and the makers' instructions come before "
    "anything written here."
)


@dataclass(frozen=True, kw_only=True)
class Caution:
    """One hazard and what to do about it."""

    title: str
    text: str


_VAPOUR = Caution(
    title="Flammable vapour",
    text=(
        "Spirit and its vapour catch fire easily; the vapour is heavier than air and gathers low. No flame, spark or "
        "smoking near parrot and receivers; ventilate. Cooling water runs before the pot boils. Vapour at the "
        "condenser's outlet: heat off."
    ),
)
_FIRE = Caution(
    title="Open fire",
    text=(
        "This still is fired directly: keep receivers and spirit well away from the burner, and put the fire out "
        "before you open, fill or drain anything."
    ),
)
_PRESSURE = Caution(
    title="Pressure",
    text=(
        "Nothing may close the way from pot to parrot. Never block or reset a relief valve or vacuum breaker. If the "
        "pot's pressure rises or the column chokes with foam: heat off, and let it settle."
    ),
)
_SCALD = Caution(
    title="Scalding",
    text=(
        "Pot, jacket, column and spent charge are near 100 °C, and stay hot long after the heat is off. Open and "
        "drain only what has cooled down, with face and hands covered."
    ),
)
_METHANOL = Caution(
    title="Methanol",
    text="Some comes over during the whole run. Neither nose, taste nor this forecast measures it; a laboratory does.",
)
_CO2 = Caution(
    title="Carbon dioxide",
    text=(
        "Fermenting and fresh mash gives off a gas that gathers low and suffocates without warning. Ventilate; never "
        "lean or climb into a vessel."
    ),
)


def cautions(plan: Plan) -> tuple[Caution, ...]:
    """Return the cautions that apply to a plan, the gravest first."""
    found = [_VAPOUR]
    if plan.still.heating.kind == "fire":
        found.append(_FIRE)
    found += [_PRESSURE, _SCALD, _METHANOL]
    if charge_kind(plan.charge.kind).group != _DISTILLED:
        found.append(_CO2)
    return tuple(found)
