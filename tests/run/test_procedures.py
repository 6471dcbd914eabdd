"""Ready procedures, and the reading of procedure files with errors that say what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from middlerun.errors import (
    FormatVersionError,
    InputFileError,
    MiddlerunError,
    MissingKeyError,
    NeverEndsError,
    OutOfRangeError,
    ProcedureError,
    UnitError,
    UnknownKeyError,
    UnknownNameError,
)
from middlerun.law import category, category_ids
from middlerun.run import (
    HEAD_HOLDS,
    Ends,
    Phase,
    Procedure,
    check_procedure,
    ends_given,
    find_procedure,
    library_procedure,
    load_procedure,
    procedure_names,
)

HEAD = 'format = "middlerun-procedure/1"\nname = "Test"\n'
GOOD = HEAD + '[[phases]]\nname = "heat up"\nheater = "5 kW"\nends = { time = "10 min" }\n'


@pytest.mark.parametrize("name", procedure_names())
def test_ready_procedure_is_sound(name: str) -> None:
    procedure = library_procedure(name)
    check_procedure(procedure)
    assert procedure.note
    assert procedure.phases[-1].heater_share == 0.0, "a run ends with the heater off"


@pytest.mark.parametrize("name", procedure_names())
def test_ready_procedure_fits_stills_of_any_size(name: str) -> None:
    """No watts, litres per hour or litres: shares and words only."""
    for phase in library_procedure(name).phases:
        assert phase.heater is None and phase.dephlegmator_water is None and phase.condenser_water is None
        assert phase.levels is None and phase.ends.collected is None
        assert phase.hold_head_temperature is None, "a bare temperature means another strength every day"


@pytest.mark.parametrize("name", procedure_names())
def test_ready_procedure_keeps_hearts_under_every_ceiling_of_fruit_and_wine(name: str) -> None:
    """Regulation (EU) 2019/787, Annex I: less than 86 % vol; hearts at 80 to 85 % vol leave room for the hand."""
    lowest = min(category(one).distilled_below for one in category_ids())
    for phase in library_procedure(name).phases:
        if phase.fraction == "hearts" and phase.hold_head_strength is not None:
            assert 0.80 <= phase.hold_head_strength <= 0.85 < lowest


def test_library_covers_the_usual_runs() -> None:
    """Single pass, stripping, second distillation, plain pot still: common practice."""
    assert {library_procedure(name).needs for name in procedure_names()} == {"any", "plates", "no plates"}
    fractions = {phase.fraction for name in procedure_names() for phase in library_procedure(name).phases}
    assert fractions >= {"heads", "hearts", "late hearts", "tails", "low wines"}


def test_find_by_name_and_by_path(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(GOOD)
    assert find_procedure("stripping-run").name == "Stripping run"
    assert find_procedure("own.toml", tmp_path).name == "Test"


def test_what_is_left_out_is_not_set() -> None:
    phase = Phase(name="x")
    given = {
        key for key in ("heater", "agitator", "vent_open", "bypass", *HEAD_HOLDS) if getattr(phase, key) is not None
    }
    assert given == set() and phase.level == "as before"
    assert ends_given(Ends()) == {}


FILES = {
    "unit missing": (GOOD.replace('"5 kW"', '"5"'), UnitError, "the unit is missing"),
    "number without quotes": (GOOD.replace('"5 kW"', "5"), UnitError, "written as text with its unit"),
    "wrong unit": (GOOD.replace('"5 kW"', '"5 L"'), UnitError, "not a unit of power"),
    "negative": (GOOD.replace('"5 kW"', '"-5 kW"'), OutOfRangeError, "outside 0 kW to 500 kW"),
    "unknown key": (GOOD.replace("heater", "heeter"), UnknownKeyError, 'Did you mean "heater"?'),
    "unknown end": (GOOD.replace("time", "tiem"), UnknownKeyError, 'Did you mean "time"?'),
    "unknown word": (GOOD + 'level = "hihg"\n', UnknownKeyError, 'Did you mean "high"?'),
    "cut off": (GOOD[:-12], InputFileError, "not valid TOML, or was cut off"),
    "empty": ("", InputFileError, "is empty"),
    "newer": (GOOD.replace("procedure/1", "procedure/2"), FormatVersionError, "newer than this program"),
    "another format": (GOOD.replace("procedure/1", "still/1"), FormatVersionError, "is expected"),
    "no format": (GOOD.partition("\n")[2], MissingKeyError, "write format ="),
    "no name": (GOOD.replace('name = "Test"\n', ""), MissingKeyError, 'lacks the key "name"'),
    "no end": (
        GOOD.replace("ends = {", "").replace("time =", "at_most =").replace(" }", ""),
        NeverEndsError,
        'Phase "heat up" can never end: it has no end condition',
    ),
}


@pytest.mark.parametrize(("content", "error", "says"), FILES.values(), ids=FILES)
def test_file_errors_say_what_to_do(tmp_path: Path, content: str, error: type[MiddlerunError], says: str) -> None:
    path = tmp_path / "procedure.toml"
    path.write_text(content)
    with pytest.raises(error) as caught:
        load_procedure(path)
    assert says in str(caught.value)


def test_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="does not exist"):
        load_procedure(tmp_path / "none.toml")


def test_unknown_name_gets_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match='Did you mean "stripping-run"'):
        library_procedure("striping-run")


def _procedure(*phases: Phase, needs: str = "any") -> Procedure:
    return Procedure(name="Test", needs=needs, phases=phases)


HOT = Phase(name="heat up", heater=5e3, ends=Ends(time=600.0))
CONTRADICTIONS = {
    "no phases": ((), ProcedureError, "has no phases"),
    "no heater": ((Phase(name="a", ends=Ends(time=60.0)),), ProcedureError, "must say how it heats"),
    "two heaters": (
        (Phase(name="a", heater=1e3, heater_share=0.5, ends=Ends(time=60.0)),),
        ProcedureError,
        "heater and heater_share contradict",
    ),
    "two waters": (
        (HOT, Phase(name="b", dephlegmator_water=1e-5, dephlegmator_water_share=0.5, ends=Ends(time=60.0))),
        ProcedureError,
        'Phase "b": dephlegmator_water and dephlegmator_water_share contradict',
    ),
    "two holds": (
        (HOT, Phase(name="b", hold_head_strength=0.8, hold_head_temperature=353.0, ends=Ends(time=60.0))),
        ProcedureError,
        "hold_head_strength and hold_head_temperature contradict",
    ),
    "level and levels": (
        (HOT, Phase(name="b", level="low", levels=(0.001,), ends=Ends(time=60.0))),
        ProcedureError,
        "levels contradict",
    ),
    "two shares": (
        (HOT, Phase(name="b", fraction="heads", ends=Ends(lpa_share=0.1, smell_marker=0.02))),
        ProcedureError,
        "both stand for a share",
    ),
    "same name": ((HOT, HOT), ProcedureError, '2 phases are called "heat up"'),
    "no vessel": ((HOT, Phase(name="b", ends=Ends(collected=1e-3))), ProcedureError, "no fraction takes it"),
    "vessel without fraction": (
        (HOT, Phase(name="b", into="can", ends=Ends(time=60.0))),
        ProcedureError,
        "Set fraction",
    ),
    "hearts into the heads": (
        (
            HOT,
            Phase(name="b", fraction="heads", into="can", ends=Ends(time=60.0)),
            Phase(name="c", fraction="hearts", into="can", ends=Ends(time=60.0)),
        ),
        ProcedureError,
        "a vessel of their own",
    ),
    "longer than at_most": (
        (Phase(name="a", heater=1e3, ends=Ends(time=7200.0), at_most=3600.0),),
        ProcedureError,
        "at_most",
    ),
    "bypass twice": ((HOT, Phase(name="b", bypass=(1, 1), ends=Ends(time=60.0))), ProcedureError, "plate 1 twice"),
    "product at total reflux": (
        (HOT, Phase(name="b", fraction="heads", dephlegmator_water_share=1.0, ends=Ends(collected=1e-3))),
        NeverEndsError,
        "total reflux",
    ),
    "total reflux goes on": (
        (
            HOT,
            Phase(name="reflux", dephlegmator_water_share=1.0, ends=Ends(time=600.0)),
            Phase(name="b", fraction="heads", ends=Ends(smell_marker=0.02)),
        ),
        NeverEndsError,
        'Phase "b" can never end',
    ),
    "waits for heat without any": (
        (HOT, Phase(name="b", heater=0.0, ends=Ends(pot_temperature=365.0))),
        NeverEndsError,
        "the heater is off",
    ),
    "temperature passed already": (
        (
            Phase(name="a", heater=1e3, ends=Ends(pot_temperature=365.0)),
            Phase(name="b", ends=Ends(pot_temperature=360.0)),
        ),
        ProcedureError,
        "end at once",
    ),
}


@pytest.mark.parametrize(("phases", "error", "says"), CONTRADICTIONS.values(), ids=CONTRADICTIONS)
def test_contradictions_are_refused_by_phase(phases: tuple[Phase, ...], error: type[MiddlerunError], says: str) -> None:
    with pytest.raises(error) as caught:
        check_procedure(_procedure(*phases))
    assert says in str(caught.value)


def test_plates_in_a_procedure_for_stills_without() -> None:
    with pytest.raises(ProcedureError, match='needs = "no plates"'):
        check_procedure(_procedure(HOT, Phase(name="b", bypass=(1,), ends=Ends(time=60.0)), needs="no plates"))


def test_a_hold_after_total_reflux_gives_product() -> None:
    check_procedure(
        _procedure(
            HOT,
            Phase(name="reflux", dephlegmator_water_share=1.0, ends=Ends(time=600.0)),
            Phase(name="b", fraction="heads", hold_head_strength=0.85, ends=Ends(smell_marker=0.02)),
            Phase(name="c", fraction="hearts", ends=Ends(lpa_share=0.5)),
        )
    )
