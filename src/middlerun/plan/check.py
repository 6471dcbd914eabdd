"""What is refused before anything is computed. Each refusal is one function; a new one joins the list in `prepare`."""

from __future__ import annotations

from dataclasses import dataclass

from middlerun.column.settings import PhaseSettings
from middlerun.errors import PlanError, ProcedureError
from middlerun.plan.charge import ChargeNumbers, boil, charge_numbers, filled, hot_volume
from middlerun.plan.charge_kind import charge_kind
from middlerun.plan.description import Plan
from middlerun.plan.settings import phase_settings
from middlerun.plan.weather import pressure_of
from middlerun.run import check_procedure
from middlerun.still import StillNumbers, refuse_if_unsound, resolve
from middlerun.units import format_quantity


@dataclass(frozen=True, kw_only=True)
class Prepared:
    """A checked plan as numbers: what the engine and the warnings work with."""

    still: StillNumbers
    charge: ChargeNumbers
    pressure: float  # Pa, absolute
    settings: tuple[PhaseSettings, ...]


def check_plan(plan: Plan) -> None:
    """Raise PlanError, ProcedureError or NeverEndsError for what can't or must not be run; warnings are for the rest.

    Fill limits are counted with the hot volume at the boil plus the froth allowance of this kind of charge.
    """
    prepare(plan)


def prepare(plan: Plan) -> Prepared:
    """Check a plan as `check_plan` does and return its numbers."""
    refuse_if_unsound(plan.still)
    charge = charge_numbers(plan.charge)
    pressure = pressure_of(plan.weather)
    _believable_strength(plan)
    _fits_the_pot(plan, charge, pressure)
    _colder_than_its_boil(charge, pressure)
    _fits_the_procedure(plan)
    check_procedure(plan.procedure)
    still = resolve(plan.still)
    return Prepared(still=still, charge=charge, pressure=pressure, settings=phase_settings(plan, still))


def _believable_strength(plan: Plan) -> None:
    kind, strength = charge_kind(plan.charge.kind), plan.charge.strength
    assert strength is not None
    if strength > kind.strength.high:
        raise PlanError(
            f"charge.strength is {_strength(strength)}; {kind.title.lower()} reaches at most "
            f'{_strength(kind.strength.high)}. Correct the strength, or say what it is: charge.kind = "low-wines" for '
            "a distillate."
        )


def _fits_the_pot(plan: Plan, numbers: ChargeNumbers, pressure: float) -> None:
    pot = plan.still.pot
    needed = hot_volume(numbers, pressure) * (1.0 + numbers.froth)
    if needed > pot.working_max:
        most = numbers.volume * pot.working_max / needed
        raise PlanError(
            f'The pot would be too full: {filled(numbers, pressure)}, but still "{plan.still.name}" may hold '
            f"{_volume(pot.working_max)}. Fill at most {_volume(most)}. Froth in the column blocks the vapour path."
        )
    if numbers.volume < pot.working_min:
        raise PlanError(
            f'The pot would be too empty: the charge is {_volume(numbers.volume)}, but still "{plan.still.name}" needs '
            f"{_volume(pot.working_min)} to cover its heating surface. Fill more, or use a smaller still."
        )


def _colder_than_its_boil(numbers: ChargeNumbers, pressure: float) -> None:
    temperature, _ = boil(numbers, pressure)
    if numbers.temperature >= temperature:
        raise PlanError(
            f"charge.temperature is {_temperature(numbers.temperature)}, but this charge boils at "
            f"{_temperature(temperature)} today. Filling it would flash vapour into the room: let it cool first."
        )


def _fits_the_procedure(plan: Plan) -> None:
    plates = 0 if plan.still.column is None else len(plan.still.column.plates)
    needs = plan.procedure.needs
    if needs == "plates" and not plates:
        raise ProcedureError(
            f'Procedure "{plan.procedure.name}" is written for stills with plates; "{plan.still.name}" has none. '
            "Choose one for a still without plates, such as plain-pot-still or stripping-run."
        )
    if needs == "no plates" and plates:
        raise ProcedureError(
            f'Procedure "{plan.procedure.name}" is written for stills without plates; "{plan.still.name}" has '
            f"{plates}. Choose one for a still with plates, such as single-pass-with-plates or stripping-run."
        )


def _volume(value: float) -> str:
    return format_quantity(value, "volume")


def _strength(value: float) -> str:
    return format_quantity(value, "volume strength")


def _temperature(value: float) -> str:
    return format_quantity(value, "temperature")
