"""What is wrong or unlikely in a described still, in words."""

from __future__ import annotations

import functools
from collections.abc import Iterator

from middlerun.errors import PlanError
from middlerun.fields import Finding, nearest, unusual
from middlerun.still.check_cooling import check_cooling
from middlerun.still.check_heating import check_heating
from middlerun.still.check_plates import check_plates
from middlerun.still.check_tags import check_tags
from middlerun.still.description import Pot, Still
from middlerun.still.plate_type import plate_type_names
from middlerun.still.ranges import outside
from middlerun.still.resolve import METAL_DENSITY, resolve

_LEVELS = ("refused", "unlikely", "note")


def check_still(still: Still) -> tuple[Finding, ...]:
    """Return what is wrong (`refused`), `unlikely`, or worth knowing (`note`) about a still, the gravest first.

    Refused is what contradicts itself or may not be run at all, such as a closed jacket without relief; unlikely is
    what a slip of the pen looks like, with the usual range and its source.

    >>> from middlerun.still import library_still
    >>> [f.where for f in check_still(library_still("bain-marie-100-3-plates")) if f.level == "refused"]
    []
    """
    found = [*_check_names(still), *check_tags(still.instruments), *_check_places(still)]
    impossible = [*outside(still), *_unknown_plate_types(still)]
    found += impossible
    if not impossible:  # else there are no numbers to go on with
        numbers = resolve(still)
        found += _check_pot(still.pot)
        found += check_heating(still, numbers)
        found += check_plates(still, numbers)
        found += check_cooling(still, numbers)
    # A word about a value's own range is dropped where a check has already spoken of that value.
    spoken = {f.where for f in found}
    found += [f for f in unusual(still, "") if f.where not in spoken]
    return tuple(sorted(found, key=lambda f: _LEVELS.index(f.level)))


@functools.lru_cache(maxsize=64)
def refuse_if_unsound(still: Still) -> None:
    """Raise PlanError with all reasons in one paragraph if a still may not be planned with; else return nothing.

    >>> from middlerun.still import library_still
    >>> refuse_if_unsound(library_still("pot-over-fire-60"))
    """
    refused = [f"{f.where}: {f.text}" for f in check_still(still) if f.level == "refused"]
    if refused:
        raise PlanError(f'The still "{still.name}" can\'t be used as described. ' + " ".join(refused))


def _check_names(still: Still) -> Iterator[Finding]:
    if not still.name.strip():
        yield Finding(where="name", level="refused", text="The still has no name. Give it one.")


def _check_pot(pot: Pot) -> Iterator[Finding]:
    litres, working = 1e3 * pot.volume, 1e3 * pot.working_max
    if pot.working_max > pot.volume:
        text = (
            f"The pot holds {litres:.4g} L, but {working:.4g} L are given as its working maximum. "
            "It must be less: hot charge and froth need room below the top."
        )
        yield Finding(where="pot: working_max", level="refused", text=text)
    elif pot.working_max > 0.95 * pot.volume:
        text = (
            f"{working:.4g} L of {litres:.4g} L leaves less than a twentieth for froth. Usual are 60 to 75 % of the "
            "pot as cold charge, and less for mashes that foam (common practice)."
        )
        yield Finding(where="pot: working_max", level="unlikely", text=text)
    if pot.working_min >= pot.working_max:
        text = (
            f"The least charge ({1e3 * pot.working_min:.4g} L) is not below the working maximum ({working:.4g} L). "
            "Correct one of them."
        )
        yield Finding(where="pot: working_min", level="refused", text=text)
    usual = 4.84 * 1.3 * pot.volume ** (2 / 3) * METAL_DENSITY[pot.metal] * 0.003
    if not 0.3 * usual <= pot.metal_mass <= 3.0 * usual:
        text = (
            f"{pot.metal_mass:.4g} kg is far from the {usual:.2g} kg of a {litres:.4g} L pot of 3 mm {pot.metal} "
            "(surface of a sphere and a third; computed). Only the metal that warms up with the charge counts."
        )
        yield Finding(where="pot: metal_mass", level="unlikely", text=text)


def _check_places(still: Still) -> Iterator[Finding]:
    missing = {
        "jacket": still.heating.kind not in ("bain-marie", "steam-jacket"),
        "dephlegmator": still.dephlegmator.conductance is None and still.dephlegmator.area is None,
    }
    for i, instrument in enumerate(still.instruments, 1):
        part = instrument.reads.split(" ", 1)[0]
        if missing.get(part, False):
            text = f"{instrument.tag} reads the {instrument.reads}, but this still has no {part}."
            yield Finding(where=f"instruments {i}: reads", level="unlikely", text=text)


def _unknown_plate_types(still: Still) -> Iterator[Finding]:
    plates = () if still.column is None else still.column.plates
    for i, plate in enumerate(plates, 1):
        if plate.type not in plate_type_names():
            text = f'There is no plate type "{plate.type}". {nearest(plate.type, plate_type_names())}'
            yield Finding(where=f"column: plates {i}: type", level="refused", text=text)
