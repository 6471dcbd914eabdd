"""Every warning is drawn by what it is for and by nothing less; every code has its words, and every word its code."""

from __future__ import annotations

import ast
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from string import Formatter
from typing import Any

import numpy as np
import pytest

from middlerun.errors import UnknownNameError
from middlerun.plan import (
    Charge,
    Limits,
    Run,
    Warning,
    Weather,
    catalogue,
    find_warnings,
    languages,
    predict,
    warning_text,
)
from middlerun.plan.warnings import all_checks, with_warnings
from middlerun.plan.warnings.pot import pot_area, swelling
from middlerun.plan.warnings.view import View
from middlerun.plan.words import write
from middlerun.run import Ends, Phase, Procedure
from middlerun.still import library_still, resolve
from tests.plan.build import EACH, PHASES, a_plan, a_run

ROOT = Path(__file__).parents[2]
N = EACH * len(PHASES)
HEARTS = slice(EACH, 2 * EACH)
NUMBERS = resolve(a_plan().still)


def _during(usual: float, here: float, rows: slice = HEARTS) -> np.ndarray:
    made = np.full(N, usual)
    made[rows] = here
    return made


def _hearts_of(strength: float, **plan: Any) -> Run:
    """Return a run whose hearts come at one strength."""
    run = a_run(a_plan(**plan), series={"product_strength": strength})
    hearts = replace(run.fractions[0], strength=strength, pure_alcohol=strength * run.fractions[0].volume)
    return replace(run, fractions=(hearts,))


def _codes(run: Run) -> list[str]:
    return [warning.code for warning in find_warnings(run)]


def _charge(**changes: Any) -> Run:
    return a_run(a_plan(charge=replace(a_plan().charge, **changes)))


def _procedure(index: int, **changes: Any) -> Run:
    phases = tuple(replace(one, **changes) if i == index else one for i, one in enumerate(PHASES))
    return a_run(a_plan(procedure=Procedure(name="test", phases=phases)))


def _scorched() -> Run:
    phases = (
        Phase(name="a", heater=5e3, ends=Ends(time=600.0)),
        Phase(name="b", fraction="low wines", ends=Ends(time=60.0)),
    )
    plan = a_plan(still=library_still("pot-over-fire-60"), procedure=Procedure(name="t", phases=phases))
    return a_run(replace(plan, charge=Charge(volume=0.03, strength=0.05, kind="plum-mash")))


# What draws each code. The numbers lie just beyond the limits that the catalogue states.
DRAWN: dict[str, Callable[[], Run]] = {
    "pot-overfull": lambda: a_run(series={"pot_volume_hot": 0.112}),
    "foam-over": lambda: a_run(series={"pot_vapour": _during(0.1, 1.5)}),
    "pot-low": lambda: a_run(series={"pot_volume_hot": _during(0.1, 0.029)}),
    "vapour-path-choked": lambda: a_run(series={"pot_gauge": _during(500.0, 5100.0)}),
    "jacket-vacuum": lambda: a_run(series={"jacket_temperature": _during(365.0, 386.0)}),
    "jacket-over-limit": lambda: a_run(series={"jacket_gauge": _during(0.0, 56e3)}),
    "relief-blows": lambda: a_run(series={"relief_heat": _during(0.0, 500.0)}, totals={"heat_relief": 3e5}),
    "vent-steams": lambda: a_run(
        replace(_procedure(1, vent_open=True).plan), series={"jacket_temperature": _during(350.0, 372.0)}
    ),
    "jacket-water-low": lambda: a_run(totals={"heat_relief": 13.0 * 2.23e6}),
    "uncondensed-vapour": lambda: a_run(series={"uncondensed": _during(0.0, 1e-3)}, totals={"uncondensed": 0.6}),
    "condenser-margin-small": lambda: a_run(series={"condenser_margin": _during(3.0, 1.1)}),
    "water-out-hot": lambda: a_run(series={"condenser_water_out": _during(320.0, 345.0)}),
    "product-hot": lambda: a_run(series={"product_temperature": _during(290.0, 305.0)}),
    "head-over-limit": lambda: a_run(a_plan(limits=Limits(head_temperature=353.0))),
    "hold-no-product": lambda: a_run(
        series={
            "distillate": 0.0,
            "dephlegmator_water_flow": NUMBERS.dephlegmator_water_max,
            "head_temperature": 355.0,
        }
    ),
    "hold-too-weak": lambda: a_run(
        series={"dephlegmator_water_flow": NUMBERS.dephlegmator_water_max, "head_temperature": _during(353.9, 357.0)}
    ),
    "hold-too-strong": lambda: a_run(
        series={"dephlegmator_water_flow": 0.0, "head_temperature": _during(353.9, 352.0)}
    ),
    "bare-head-temperature": lambda: _procedure(1, hold_head_strength=None, hold_head_temperature=353.0),
    "plates-dry": lambda: a_run(series={"plate_2_liquid": 1e-5}),
    "plates-weep": lambda: a_run(
        a_plan(still=library_still("electric-200-4-sieve-plates"), charge=Charge(volume=0.1, strength=0.055)),
        series={"plate_1_weep": 0.8},
    ),
    "plates-flood": lambda: a_run(series={"plate_4_flood": _during(0.5, 1.1)}),
    "plates-back-up": lambda: a_run(series={"plate_3_downcomer": _during(0.5, 1.1)}),
    "over-ceiling": lambda: _hearts_of(0.86),
    "over-ceiling-momentarily": lambda: a_run(series={"product_strength": _during(0.83, 0.90, slice(EACH, EACH + 6))}),
    "longer-than-day": lambda: a_run(totals={"duration": 36001.0}),
    "never-boils": lambda: a_run(totals={"time_to_boil": math.nan, "time_to_product": math.nan}),
    "no-product": lambda: a_run(totals={"time_to_product": math.nan}),
    "charge-weak": lambda: a_run(totals={"heat_supplied": 8.1 * 3.6e6 * 4.5}),
    "charge-strong": lambda: _charge(strength=0.41, kind="low-wines"),
    "mash-not-degassed": lambda: _charge(degassed=False),
    "mash-scorches": _scorched,
    "pressure-assumed": lambda: a_run(a_plan(weather=Weather())),
    "pressure-doubtful": lambda: a_run(a_plan(weather=Weather(pressure=101.5e3, altitude=420.0))),
}


def test_nothing_is_wrong_with_the_made_up_run() -> None:
    assert find_warnings(a_run()) == ()


@pytest.mark.parametrize("code", sorted(DRAWN))
def test_each_code_is_drawn_by_its_cause(code: str) -> None:
    warnings = find_warnings(DRAWN[code]())
    assert code in [warning.code for warning in warnings]
    for warning in warnings:
        for words in warning_text(warning):
            assert words and "{" not in words and "unknown" not in words
        assert set(catalogue()[warning.code].values) <= set(warning.values)
        assert warning.until is None or (warning.time is not None and warning.until >= warning.time)


def test_every_code_of_the_catalogue_is_tested() -> None:
    assert set(DRAWN) == set(catalogue())


def test_codes_in_the_checks_are_those_of_the_catalogue() -> None:
    """Looks for codes among the texts in the checks' sources."""
    written: set[str] = set()
    for path in (ROOT / "src" / "middlerun" / "plan" / "warnings").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in catalogue():
                written.add(node.value)
    assert written == set(catalogue())


@pytest.mark.parametrize("check", all_checks(), ids=lambda check: check.__name__)
def test_every_check_says_what_it_is_for(check: Callable[..., Any]) -> None:
    assert check.__doc__
    assert list(check(View.of(a_run()))) == []


@pytest.mark.parametrize("language", languages())
def test_words_name_only_values_they_have(language: str) -> None:
    for code, entry in catalogue(language).items():
        for words in (entry.title, entry.text, entry.remedy):
            used = {name for _, name, _, _ in Formatter().parse(words) if name}
            assert used <= set(entry.values), code
        assert entry.title and entry.text.endswith(".") and entry.remedy.endswith(".") and entry.source
        assert set(catalogue(language)) == set(catalogue())


def test_safety_texts_defer_and_never_call_anything_safe() -> None:
    words = " ".join(entry.text + entry.remedy for entry in catalogue().values()).lower()
    assert "local" in words and "safe" not in words


def test_an_unknown_code_gets_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match='Did you mean "pot-low"'):
        warning_text(Warning(code="pot-lo"))
    with pytest.raises(UnknownNameError, match="no catalogue"):
        catalogue("xx")


def test_values_are_written_for_people() -> None:
    assert write(353.15, "temperature") == "80 °C"
    assert write(0.83, "volume strength") == "83 % vol"
    assert write(5400.0, "time:h") == "1.5 h"
    assert (write(True, "flag"), write(math.nan, "pressure"), write("1, 2", "text")) == ("yes", "unknown", "1, 2")


def test_high_priority_comes_first_then_time() -> None:
    run = a_run(
        a_plan(weather=Weather()),
        series={"pot_gauge": _during(500.0, 5100.0), "uncondensed": _during(0.0, 1e-3, slice(0, 30))},
        totals={"duration": 36001.0},
    )
    codes = _codes(run)
    assert codes == ["uncondensed-vapour", "vapour-path-choked", "longer-than-day", "pressure-assumed"]
    assert [one.code for one in with_warnings(run).warnings] == codes
    first = find_warnings(run)[0]
    assert (first.time, first.until) == (0.0, 290.0)


def test_a_flicker_is_no_warning() -> None:
    assert _codes(a_run(series={"plate_4_flood": _during(0.5, 1.1, slice(EACH, EACH + 3))})) == []


def test_the_ceiling_itself_is_over_it() -> None:
    """Regulation (EU) 2019/787, Annex I, category 9: distilled at less than 86 % vol."""
    assert _codes(_hearts_of(0.86)) == ["over-ceiling"]
    assert _codes(_hearts_of(0.8599)) == []
    assert _codes(_hearts_of(0.93, category="")) == []


def test_heads_and_tails_are_not_measured_against_the_ceiling() -> None:
    assert _codes(a_run(series={"product_strength": _during(0.83, 0.90, slice(2 * EACH, 3 * EACH))})) == []


def test_a_hold_without_product_says_what_would_give_some() -> None:
    warning = next(one for one in find_warnings(DRAWN["hold-no-product"]()) if one.code == "hold-no-product")
    assert warning.values["reached"] < warning.values["asked"] == pytest.approx(0.83, abs=1e-6)
    assert warning.values["holdable"] == pytest.approx(warning.values["reached"] - 0.01)
    assert 'In "hearts" the head is held at 80.7 °C, which stands for 83 % vol.' in warning_text(warning)[1]


def test_drained_and_bypassed_plates_may_be_dry() -> None:
    dry = {"plate_2_liquid": 0.0}
    assert "plates-dry" in _codes(a_run(series=dry))
    for changes in ({"bypass": (2,)}, {"levels": (6e-4, 0.0, 6e-4, 6e-4)}):
        assert "plates-dry" not in _codes(a_run(_procedure(1, **changes).plan, series=dry))


def test_a_jacket_vented_to_the_boil_and_shut_would_go_to_vacuum() -> None:
    """Air all gone, the gauge would be the steam's less the day's pressure; the breaker keeps it at the room's.

    Steam tables (IAPWS-IF97): 31.20, 47.41, 70.18 kPa at 70, 80, 90 Cel.
    """
    phases = (
        Phase(name="heat", heater=18e3, vent_open=True, ends=Ends(pot_temperature=360.0)),
        Phase(name="stand", heater=0.0, vent_open=False, ends=Ends(time=4 * 3600.0)),
    )
    run = predict(a_plan(procedure=Procedure(name="test", phases=phases)))
    (warning,) = (one for one in run.warnings if one.code == "jacket-vacuum")
    coldest = run.series["jacket_temperature"][-1] - 273.15
    assert run.series["jacket_temperature"].max() > 372.0
    assert 70.0 < coldest < 90.0
    steam = 1e3 * math.exp(np.interp(coldest, [70.0, 80.0, 90.0], np.log([31.20, 47.41, 70.18])))
    assert warning.values["gauge"] == pytest.approx(steam - View.of(run).pressure, abs=500.0)
    assert run.series["jacket_gauge"].min() > -1.0


def test_a_jacket_that_keeps_its_air_needs_no_breaker() -> None:
    """Shut cold and never vented, its gauge stays above the room's while it is warmer than when it was filled."""
    assert _codes(a_run(series={"jacket_temperature": _during(350.0, 368.0)})) == []


def test_bubble_caps_never_weep() -> None:
    assert _codes(a_run(series={"plate_1_weep": 0.5})) == []


@pytest.mark.parametrize("velocity", [0.01, 0.05, 0.2])
def test_swelling_follows_the_published_hold_up(velocity: float) -> None:
    """Hughmark 1967, from memory (high): e = 1/(2 + 0.35/u) in water at 20 Cel, up to 10 % more in boiling mash."""
    heights = (np.arange(2000) + 0.5) / 2000.0
    cold = float(np.mean(1.0 / (2.0 + 0.35 / (velocity * heights))))
    swells = float(swelling(np.array(velocity)))
    assert cold < swells / (1.0 + swells) < 1.10 * cold


def test_a_pot_as_wide_as_high() -> None:
    width = math.sqrt(4.0 * pot_area(0.15) / math.pi)
    assert pot_area(0.15) * width == pytest.approx(0.15)
