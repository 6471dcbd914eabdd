"""Checks of column and plates: levels, spacing, weeping, flooding."""

from __future__ import annotations

from collections.abc import Iterator

from middlerun.fields import Finding
from middlerun.still.description import Still
from middlerun.still.limits import FAIR_SPACING, flood_power, useful_heater, weep_power
from middlerun.still.plate_type import plate_type
from middlerun.still.resolve import PlateNumbers, StillNumbers

MOST_PLATES = 8
_FAIR = "Fair's chart of 1961 at total reflux, good to a few hundredths"
_WEEP = "weep-point chart in Sinnott, Coulson & Richardson vol. 6, off by up to 15 to 30 % of itself"
_USUAL_HEIGHT = (0.010, 0.080)  # m of weir, common practice
_USUAL_FLOOD = 0.8  # of flooding, the usual design limit in the handbooks
_ROUNDING = 1.0 + 1e-9

_Remark = tuple[str, str, str]  # key, level of the finding, text


def check_plates(still: Still, numbers: StillNumbers) -> Iterator[Finding]:
    """Yield what is wrong or unlikely about the plates. Levels are judged as the height that they would stand at."""
    if still.column is None:
        return
    plates = still.column.plates
    if len(plates) > MOST_PLATES:
        text = f"The column has {len(plates)} plates; up to {MOST_PLATES} can be predicted."
        yield Finding(where="column: plates", level="refused", text=text)
    if not plates:
        text = "The column has no plates: it only adds a pipe. Leave the column out, or give its plates."
        yield Finding(where="column: plates", level="note", text=text)
    # Plates that are alike get one remark together: eight times the same sentence is read by nobody.
    together: dict[tuple[str, str, str], list[int]] = {}
    for i, (plate, described) in enumerate(zip(numbers.plates, plates, strict=True), 1):
        clear_share = plate_type(described.type).clear_share.value
        for key, level, text in (
            *_check_levels(plate, clear_share),
            *_check_areas(plate),
            *_check_hydraulics(plate, useful_heater(numbers)),
        ):
            together.setdefault((key, level, text), []).append(i)
    for (key, level, text), where in together.items():
        yield Finding(where=f"column: plates {_listed(where)}{key and ': '}{key}", level=level, text=text)


def _listed(numbers: list[int]) -> str:
    """Write plate numbers shortly: "3", "1 to 4", "1, 3"."""
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(map(str, numbers))


def _check_levels(plate: PlateNumbers, clear_share: float) -> Iterator[_Remark]:
    low, level, high = 1e3 * plate.level_min, 1e3 * plate.level, 1e3 * plate.level_max
    if not plate.level_min <= plate.level * _ROUNDING or not plate.level <= plate.level_max * _ROUNDING:
        text = (
            f"The usual level of {level:.3g} L does not lie between the lowest ({low:.3g} L) and the highest "
            f"({high:.3g} L). Correct their order."
        )
        yield "level", "refused", text
        return
    for key, litres, volume in (("level", level, plate.level), ("level_max", high, plate.level_max)):
        height = volume / (plate.active_area * clear_share)
        if height >= plate.spacing:
            text = (
                f"{litres:.3g} L would stand {1e3 * height:.0f} mm high on this plate, but the next one is only "
                f"{1e3 * plate.spacing:.0f} mm above. Check level, diameter and spacing."
            )
            yield key, "refused", text
        elif key == "level" and not _USUAL_HEIGHT[0] <= height <= _USUAL_HEIGHT[1]:
            text = (
                f"{litres:.3g} L would stand {1e3 * height:.0f} mm high on this plate; usual are "
                f"{1e3 * _USUAL_HEIGHT[0]:.0f} to {1e3 * _USUAL_HEIGHT[1]:.0f} mm (common practice). "
                "Check level and diameter."
            )
            yield key, "unlikely", text


def _check_areas(plate: PlateNumbers) -> Iterator[_Remark]:
    share = plate.hole_area / plate.active_area
    written = f"{1e4 * plate.hole_area:.3g} cm2"
    if share >= 1.0:
        text = (
            f"Openings of {written} do not fit on a bubbling area of {1e4 * plate.active_area:.3g} cm2. "
            "Correct the open area or the diameter."
        )
        yield "hole_area", "refused", text
    elif share > 0.25 or share < 0.004:
        text = f"{written} are {100 * share:.2g} % of the bubbling area; usual are 1 to 15 % (common practice)."
        yield "hole_area", "unlikely", text


def _check_hydraulics(plate: PlateNumbers, heat: float) -> Iterator[_Remark]:
    flood, weep = flood_power(plate), weep_power(plate)
    kilowatts = f"{heat / 1e3:.3g} kW"
    if heat > _USUAL_FLOOD * flood:
        below = " Below 152 mm of spacing the chart is extrapolated." if plate.spacing < FAIR_SPACING else ""
        text = (
            f"At full power ({kilowatts}) the vapour is at {100 * heat / flood:.0f} % of flooding; plates are used up "
            f"to 80 % of it ({_FAIR}).{below} The column is narrow for this heating: use less while it runs."
        )
        yield "", "unlikely", text
    if weep >= heat:
        text = (
            f"The plate weeps below {weep / 1e3:.3g} kW, which full power ({kilowatts}) does not reach ({_WEEP}): it "
            "would never hold its liquid. Check open area and hole diameter."
        )
        yield "", "unlikely", text
    elif weep > 0.5 * heat:
        text = f"The plate weeps below {weep / 1e3:.3g} kW, more than half of full power ({kilowatts}; {_WEEP})."
        yield "", "unlikely", text
    elif weep > 0.0:
        text = f"The plate weeps below about {weep / 1e3:.3g} kW of heat ({_WEEP})."
        yield "", "note", text
