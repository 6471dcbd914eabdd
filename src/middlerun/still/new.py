"""A still from what a distiller can measure: the rest is derived, and says so."""

from __future__ import annotations

from middlerun.errors import MissingKeyError, PlanError
from middlerun.still.derive import Book, Derived, loss_of_surface, metal_of_surface, pot_surface, rounded
from middlerun.still.description import Column, Instrument, Parrot, Plate, Pot, Still
from middlerun.still.measurements import Measurements
from middlerun.still.new_cooling import has_dephlegmator, new_condenser, new_head
from middlerun.still.new_heating import JACKETED, new_heating
from middlerun.still.plate_type import plate_type
from middlerun.still.ranges import require_inside

_USUAL = "usual for its size, common practice"


def new_still(measured: Measurements) -> tuple[Still, tuple[Derived, ...]]:
    """Return a still made from measurements, and every value that was derived, with its band and how.

    OutOfRangeError for a measurement outside its limits, MissingKeyError when one is lacking that another needs,
    PlanError when they contradict each other. Vent, relief and vacuum breaker are never assumed: `check_still` refuses
    a closed jacket that is described without them.

    >>> still, values = new_still(Measurements(name="Mine", pot_volume=0.1, heating_kind="electric", power=9e3))
    >>> still.pot.working_max, len(values) > 5
    (0.085, True)
    """
    require_inside(measured, "measurements")
    _require_partners(measured)
    book = Book()
    pot = _pot(measured, book)
    heating = new_heating(measured, book, pot)
    column = _column(measured, book)
    head = new_head(measured, book, heating)
    still = Still(
        name=measured.name,
        pot=pot,
        heating=heating,
        column=column,
        dephlegmator=head,
        condenser=new_condenser(measured, book, heating),
        parrot=Parrot(),
        instruments=_instruments(measured),
    )
    return still, tuple(book.items)


def _require_partners(measured: Measurements) -> None:
    """A value that is of no use alone is asked for together with its partners."""
    needs = {
        "time_to_boil": ("boil_volume",),
        "dephlegmator_flow": ("dephlegmator_water_in", "dephlegmator_water_out"),
    }
    for key, partners in needs.items():
        missing = [p for p in partners if getattr(measured, key) is not None and getattr(measured, p) is None]
        if missing:
            raise MissingKeyError(
                f"measurements: {key} needs {' and '.join(missing)} beside it. Measure them together."
            )
    if measured.plates and measured.column_diameter is None:
        raise MissingKeyError("measurements: plates need column_diameter beside them. Measure the column's inside.")
    if measured.boil_volume is not None and measured.boil_volume > measured.pot_volume:
        raise PlanError(
            f"The charge of the heat-up ({1e3 * measured.boil_volume:.4g} L) is more than the pot holds "
            f"({1e3 * measured.pot_volume:.4g} L). Correct one of them."
        )


def _pot(measured: Measurements, book: Book) -> Pot:
    volume, surface = measured.pot_volume, pot_surface(measured.pot_volume)
    working_max = measured.working_max
    if working_max is None:
        how = _USUAL + "; leaves room for froth"
        working_max = book.put("pot.working_max", (0.7 * volume, 0.85 * volume, 0.9 * volume), how)
    working_min = measured.working_min
    if working_min is None:
        how = _USUAL + "; must cover the heating surface: measure it"
        working_min = book.put(
            "pot.working_min", (0.1 * volume, min(0.2 * volume, 0.5 * working_max), 0.4 * volume), how
        )
    metal, metal_how = metal_of_surface(surface, measured.metal)
    bare = 0.4 if measured.heating_kind in JACKETED else 1.0  # what a jacket leaves free
    loss, loss_how = loss_of_surface(bare * surface, measured.insulated)
    return Pot(
        volume=volume,
        working_max=working_max,
        working_min=working_min,
        metal=measured.metal,
        metal_mass=book.put("pot.metal_mass", metal, metal_how),
        heat_loss=book.put("pot.heat_loss", loss, loss_how),
        agitator=measured.agitator,
        vapour_conductance=rounded(min(max(200e3, 8.0 * measured.power), 2e6), "heat conductance"),
    )


def _column(measured: Measurements, book: Book) -> Column | None:
    if not measured.plates or measured.column_diameter is None:
        return None
    kind = plate_type(measured.plate_type)
    spacing = measured.plate_spacing
    if spacing is None:
        spacing = book.put("column.spacing", (0.12, 0.18, 0.3), _USUAL + "; measure it")
    entry = kind.efficiency
    how = f"{entry.source} ({entry.status})"
    efficiency = book.put("column.plates.efficiency", (entry.low, entry.value, entry.high), how)
    plate = Plate(type=measured.plate_type, level=measured.plate_level, efficiency=efficiency, bypass=measured.bypass)
    return Column(
        diameter=measured.column_diameter,
        spacing=spacing,
        metal=measured.metal,
        insulated=measured.insulated,
        plates=(plate,) * measured.plates,
    )


def _instruments(measured: Measurements) -> tuple[Instrument, ...]:
    """Two thermometers and a glass in the parrot; the jacket's gauge; the dephlegmator's water."""
    reads = [("TI", "pot temperature", 15.0), ("TI", "head temperature", 15.0), ("AI", "product strength", 5.0)]
    if measured.heating_kind in JACKETED:
        reads.append(("PI", "jacket pressure", 2.0))
    if has_dephlegmator(measured):
        reads.append(("TI", "dephlegmator water out", 10.0))
    return tuple(
        Instrument(tag=f"{letters}-{number}", reads=what, lag=lag)
        for number, (letters, what, lag) in enumerate(reads, 101)
    )
