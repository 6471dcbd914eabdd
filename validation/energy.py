"""Where the heat of a run went, booked apart from the engine: from what was held, what left, and what the meters say.

    heater = losses + relief + dephlegmator's water + condenser's water + product + vapour lost + what is stored more

The engine's own balance books the vapour that leaves the head; this one books what becomes of it in the condenser.
Enthalpies of what is held and of the product are worked out here, from temperatures and moles.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from middlerun.column import Outcome
from middlerun.column.kernels import layout as at
from middlerun.errors import ProcedureError
from middlerun.plan import Charge, Plan, check_plan
from middlerun.run import library_procedure, procedure_names
from middlerun.still import library_names, library_still
from middlerun.substances import liquid_enthalpy_ethanol, liquid_enthalpy_water, vapour_enthalpy
from middlerun.substances.equilibrium_table import ENTHALPY_POLYNOMIALS
from validation import integrators

TIGHT = 1e-6  # of the steps: the meters below are read at every step


@dataclass(frozen=True, kw_only=True)
class Row:
    """A run's heat, J, and how far the books are from closing, relative to the heater's heat."""

    still: str
    procedure: str
    heater: float
    lost: float
    relief: float
    dephlegmator: float
    condenser: float
    product: float
    stored: float
    engine: float
    booked: float
    with_full_properties: float


def suitable() -> list[tuple[str, str, str, float]]:
    """Return every library still with every ready procedure that suits it, and a charge."""
    found = []
    for still in library_names():
        for procedure in procedure_names():
            kind, strength = ("low-wines", 0.28) if procedure.startswith("second") else ("wine", 0.10)
            described = library_still(still)
            plan = Plan(
                name="validation", still=described, procedure=library_procedure(procedure),
                charge=Charge(volume=integrators.FILL * described.pot.working_max, strength=strength, kind=kind),
            )  # fmt: skip
            try:
                check_plan(plan)
            except ProcedureError:
                continue
            found.append((still, procedure, kind, strength))
    return found


def fitted(ethanol: float, water: float, t: float) -> float:
    """Return J of liquid at t Cel over 0 Cel, by the polynomials that the kernels use."""
    (ae, be, *_), (aw, bw, *_) = ENTHALPY_POLYNOMIALS
    return t * (ethanol * (ae + be * t) + water * (aw + bw * t))


def full(ethanol: float, water: float, t: float) -> float:
    """Return the same by the property functions themselves."""
    kelvin = t + at.ZERO_C
    return ethanol * float(liquid_enthalpy_ethanol(kelvin)) + water * float(liquid_enthalpy_water(kelvin))


@functools.cache
def book(case: tuple[str, str, str, float]) -> Row:
    """Simulate and book."""
    arguments = integrators.arguments(*case)
    _, run = integrators.engine(arguments, tolerance=TIGHT, keep_nodes=True)
    heater = run.down(at.D_HEATER)
    flows = {
        "lost": run.down(at.D_LOSS), "relief": run.down(at.D_RELIEF), "dephlegmator": run.down(at.D_DEPHLEGMATOR),
        "condenser": run.down(at.D_CONDENSER),
    }  # fmt: skip
    product, stored = _product(run, fitted), _stored(run, fitted)
    booked = sum(flows.values()) + product + stored - heater
    exact = sum(flows.values()) + _product(run, full) + _stored(run, full) - heater
    return Row(
        still=case[0], procedure=case[1], heater=heater, product=product, stored=stored,
        engine=float(run.balance()["energy"]), booked=booked / heater, with_full_properties=exact / heater, **flows,
    )  # fmt: skip


def _temperatures(run: Outcome, row: np.ndarray) -> list[float]:
    nb = run.packed.stage_sets.shape[1]
    return [float(row[at.N_REPORT + j * at.PER_STAGE + at.Q_T]) for j in range(nb)]


def _stored(run: Outcome, liquid) -> float:
    """Liquid and metal of every stage, jacket, and the water that stands in both coolers."""
    packed, world = run.packed, run.packed.world
    nb, n = packed.stage_sets.shape[1], packed.n_plates
    d = nb * at.BLOCK + at.N_CONTROL

    def whole(z: np.ndarray, row: np.ndarray) -> float:
        blocks = z[: nb * at.BLOCK].reshape(nb, at.BLOCK)
        total = world[at.G_JACKET] * blocks[0, at.X]
        for j, t in enumerate(_temperatures(run, row)):
            total += liquid(blocks[j, at.E], blocks[j, at.W], t) + packed.stage_sets[0, j, at.S_CAPACITY] * t
        total += world[at.G_DEPH_WATER] * at.CP_WATER * blocks[n + 1 :, at.X].sum()
        return float(total + world[at.G_COND_WATER] * at.CP_WATER * z[d + at.D_WATER])

    return whole(run.state, run.nodes[-1]) - whole(packed.state, run.nodes[0])


def _product(run: Outcome, liquid) -> float:
    """What the product carried as liquid at the temperature at which it left the condenser, and vapour lost."""
    rows, inlet = run.nodes, float(run.packed.world[at.G_WATER])
    ethanol = sum(p.ethanol for p in run.phases) + run.down(at.D_PARROT_E)
    wet = run.packed.state[len(run.state) - at.N_DOWN + at.D_PARROT_W]
    water = sum(p.water for p in run.phases) + run.down(at.D_PARROT_W) - wet
    # Most of it at the water's inlet temperature, exactly; the few kelvins above by the trapezoid rule over the steps.
    above = [
        liquid(e, w, t) - liquid(e, w, inlet)
        for e, w, t in zip(rows[:, at.R_PRODUCT_E], rows[:, at.R_PRODUCT_W], rows[:, at.R_PRODUCT_T], strict=True)
    ]
    lost = run.down(at.D_LOST_E), run.down(at.D_LOST_W)
    moles = sum(lost)
    escaped = moles * float(vapour_enthalpy(lost[0] / moles, 360.0)) if moles > 0.0 else 0.0
    return liquid(ethanol, water, inlet) + float(np.trapezoid(above, rows[:, at.R_TIME])) + escaped
