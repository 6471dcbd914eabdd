"""The product of one plan as the charge of another: stripping and second distillation as a chain."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

from middlerun.alcoholometry import REFERENCE_DENSITY_ETHANOL, volume_strength
from middlerun.errors import PlanError, UnknownNameError
from middlerun.fields import nearest
from middlerun.plan.description import Charge, Plan
from middlerun.plan.result import Fraction, Run

Predict = Callable[[Plan], Run]
Load = Callable[[Path, tuple[Path, ...]], Plan]


def charge_from_source(
    charge: Charge, where: str, folder: Path, chain: tuple[Path, ...], load: Load, predict: Predict | None
) -> Charge:
    """Return the charge with volume and strength of its source's product. `chain`: plans that wait for this one.

    PlanError when plans feed each other in a circle or the source gives no product; UnknownNameError for a fraction
    that it does not give. A product weaker than `dilute_to` stays as it is.
    """
    source = charge.source
    assert source is not None
    if charge.volume is not None or charge.strength is not None:
        raise PlanError(f"{where}: charge has a source and a volume or strength of its own. Give one or the other.")
    path = folder / source.plan
    if path.resolve() in chain:
        names = " -> ".join(p.name for p in (*chain, path.resolve()))
        raise PlanError(f"{where}: the plans feed each other in a circle: {names}. Break it.")
    plan = load(path, chain)
    if predict is None:
        from middlerun.plan import predict as own_predict

        predict = own_predict
    volume, strength = blend(chosen(predict(plan).fractions, source.fractions, f"{where}: charge.source"))
    volume *= source.runs
    if source.dilute_to is not None and source.dilute_to < strength:
        volume, strength = volume * strength / source.dilute_to, source.dilute_to
    return replace(charge, volume=volume, strength=strength)


def chosen(fractions: Iterable[Fraction], names: tuple[str, ...], where: str) -> list[Fraction]:
    """Return the fractions of these names, all of them when none is named; UnknownNameError names the nearest."""
    by_name = {fraction.name: fraction for fraction in fractions if fraction.volume > 0.0}
    if not by_name:
        raise PlanError(f"{where}: that plan gives no product at all. Look at its warnings first.")
    for name in names:
        if name not in by_name:
            raise UnknownNameError(f'{where}: that plan gives no fraction "{name}". {nearest(name, by_name)}')
    return [by_name[name] for name in names or by_name]


def blend(fractions: Iterable[Fraction]) -> tuple[float, float]:
    """Return volume (m3 at 20 Cel) and strength of fractions put together, with the contraction that mixing brings."""
    together = list(fractions)
    mass = sum(fraction.mass for fraction in together)
    pure_alcohol = sum(fraction.pure_alcohol for fraction in together)
    strength = float(volume_strength(pure_alcohol * REFERENCE_DENSITY_ETHANOL / mass))
    return pure_alcohol / strength, strength
