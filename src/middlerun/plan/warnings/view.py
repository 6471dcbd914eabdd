"""What the checks look at: a run with its still and charge as numbers, and masks over its time grid."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from middlerun.column.settings import PhaseSettings
from middlerun.plan.charge import ChargeNumbers
from middlerun.plan.check import Prepared, prepare
from middlerun.plan.description import Plan
from middlerun.plan.result import FloatArray, Run, Warning
from middlerun.run import Phase
from middlerun.still import StillNumbers

Mask = npt.NDArray[np.bool_]
ON_DELAY = 30.0  # s: a limit must be passed for so long to count (ISA-18.2 calls it an on-delay; the time is ours)
VAPOUR_RUNS = 1e-4  # mol/s, about 4 W of vapour: less counts as none


@dataclass(frozen=True, kw_only=True)
class View:
    """A run as the checks see it."""

    run: Run
    plan: Plan
    still: StillNumbers
    charge: ChargeNumbers
    settings: tuple[PhaseSettings, ...]
    pressure: float  # Pa, absolute

    @classmethod
    def of(cls, run: Run, prepared: Prepared | None = None) -> View:
        """Return the view of a run; its plan's numbers are worked out when they are not at hand."""
        known = prepared or prepare(run.plan)
        return cls(
            run=run,
            plan=run.plan,
            still=known.still,
            charge=known.charge,
            settings=known.settings,
            pressure=known.pressure,
        )

    def __getitem__(self, name: str) -> FloatArray:
        """Return a series of the run by its name."""
        return self.run.series[name]

    @property
    def time(self) -> FloatArray:
        """The time grid, s."""
        return self.run.series["time"]

    @functools.cached_property
    def phase(self) -> npt.NDArray[np.int64]:
        """The index of the phase at every time."""
        return np.asarray(self.run.series["phase_index"]).astype(np.int64)

    def phases(self, *fractions: str) -> list[int]:
        """Return the indices of phases with one of these fractions, or of all that take product."""
        wanted = fractions or ("heads", "hearts", "late hearts", "tails", "low wines")
        return [i for i, phase in enumerate(self.plan.procedure.phases) if phase.fraction in wanted]

    def during(self, *fractions: str) -> Mask:
        """Return where a phase with one of these fractions runs (any that takes product when none is named)."""
        wanted = np.zeros(len(self.plan.procedure.phases), dtype=bool)
        wanted[self.phases(*fractions)] = True
        return np.asarray(wanted[self.phase])

    def in_phase(self, index: int) -> Mask:
        """Return where the phase of this index runs."""
        return np.asarray(self.phase == index)

    def described(self, index: int) -> Phase:
        """Return the phase of this index as the procedure describes it."""
        return self.plan.procedure.phases[index]

    def running(self) -> Mask:
        """Return where vapour leaves the head as product."""
        return np.asarray(self["distillate"] > VAPOUR_RUNS)

    def spell(self, mask: Mask, delay: float = ON_DELAY) -> tuple[float, float] | None:
        """Return first and last time (s) of what holds without a break for at least `delay` s, or None."""
        if not mask.any():
            return None
        time = self.time
        edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
        starts, stops = edges[::2], edges[1::2] - 1
        long = time[stops] - time[starts] >= delay
        if not long.any():
            return None
        return float(time[starts[long][0]]), float(time[stops[long][-1]])

    def warn(self, code: str, mask: Mask, delay: float = ON_DELAY, **values: object) -> list[Warning]:
        """Return one warning when the mask holds for long enough, else none."""
        spell = self.spell(mask, delay)
        return [] if spell is None else [Warning(code=code, time=spell[0], until=spell[1], values=values)]
