"""Write docs/validation/engine.md from the engine and the independent routes: `python -m validation.engine_page`."""

from __future__ import annotations

import io
from pathlib import Path

from middlerun.column import TOLERANCE
from validation import constant_reflux, energy, integrators, method, rayleigh, total_reflux

PAGE = Path(__file__).parents[1] / "docs" / "validation" / "engine.md"

HEAD = """# The engine against constructions, other integrators and the heat bill

Written by `python -m validation.engine_page`; a test holds this page against the code. How well the equilibrium behind
it fits measured tables is another page: [vle.md](vle.md).
"""

RAYLEIGH = """
## No plates, no reflux, no losses: the Rayleigh integral

100 L are boiled at 5 kW in a pot with a plain head. The integral dE/dD = y over moles distilled is worked out apart
from the engine by an explicit method of order eight at 1e-11. The table is a third computation, by another program with
the same equilibrium model; it is printed to 0.01 % vol and says of itself 0.05 % vol, 0.02 K, 0.1 % of recovery. Its
mean strengths lie 0.01 to 0.02 % vol above the integral and the recoveries too, so its density table is a little
coarser. The engine's pot is warmer than the integral's by what drives the evaporation and by the drop of pressure in
the pipe. Each group of three: table, integral − table, engine − integral.

| charge % vol | distillate L | mean % vol | | | vapour % vol | | | recovery % | | | pot °C | engine − integral |
|---|---|---|---|---|---|---|---|---|---|---|---|---|
"""

REFLUX = """
## Total reflux: stage after stage

Over a pot of 1000 L of constant strength every plate is an ideal stage that holds a spoonful; the dephlegmator
condenses all. Then the liquid of a stage is the vapour of the one below, and N bubble points in a row give the top.
Stages are counted with the pot; the dephlegmator adds none, since all its vapour condenses. Published: another program,
same equilibrium model, printed to 0.01 % vol.

| pot % vol | stages | top % vol: published | constructed | published − constructed | engine − constructed |
|---|---|---|---|---|---|
"""

MURPHREE = """
The same with four plates of a Murphree vapour efficiency over 10 % vol. What a plate evaporates on top of the vapour
that passes leaves in equilibrium, which the construction allows for; the engine rounds the edge between the two over
1 % of the vapour, which adds up to 0.004 to the efficiency.

| efficiency | top % vol: constructed | engine − constructed |
|---|---|---|
"""

RATIO = """
## Partial reflux: a construction at each instant

100 L of 12 % vol, 5 kW, ideal plates that hold 1 mL each, and a dephlegmator with plenty of water: the heat that it
takes hardly changes, so the reflux ratio follows from the column and drifts as printed. At eight instants the
distillate is constructed from three numbers of the run: the pot's liquid, the distillate's flow and the heat
that the dephlegmator took. The construction marches down from the top with a mole, an ethanol and an enthalpy balance
around the top part (Ponchon and Savarit's operating lines, numerically) and knows nothing of the run's plates.

*Constant molar overflow* is McCabe and Thiele's straight line with the run's own ratio. It is out by up to
0.4 % vol, and that is its own simplification: water's molar latent heat is 5 % above ethanol's, so less vapour rises
in the weak part of the column than at the top. With the enthalpy balance the deviation is a tenth of that and less.

Two things had to be learnt for this comparison. Hold-up: with 10 mL on each plate the strength lags the pot by up to
0.3 % vol while it falls fastest, so the plates hold 1 mL here. Steps: on a column that holds so little, the momentary
flow at the default tolerance is out by some per cent, and with it the strength that belongs to it, last column; the
steps here are held to 1e-6. What is collected over time does not suffer: see the next section.

| plates | time min | pot % vol | reflux ratio | engine % vol | − with enthalpy | − constant overflow | default steps |
|---|---|---|---|---|---|---|---|
"""

SOLVERS = """
## Two other integrators on the same rates

SciPy's Radau (implicit Runge–Kutta, order 5) and BDF (order 1 to 5) at 1e-9, with derivatives by differences and their
own event location, against the engine's Rosenbrock steps. Shared: only the compiled rates. Figures are relative
differences in ethanol collected against Radau: engine at its default, its worst single phase (of those that yield more
than 1 % of all), the worst end of a phase in seconds, engine at 1e-7, BDF. Then the engine's steps and the evaluations
of the rates by both.

| still | procedure | engine | worst phase | worst end s | engine at 1e-7 | BDF | steps | by Radau | by BDF |
|---|---|---|---|---|---|---|---|---|---|
"""

HEAT = """
## Where the heat went

Every still of the library with every ready procedure that suits it: heater = losses + relief + dephlegmator's water +
condenser's water + product + what is stored more in charge, metal, jacket and standing water. MJ. *Engine*: its own
balance, with the vapour that leaves the head. *Booked*: the vapour followed through the condenser to liquid at the
product's temperature, enthalpies worked out here from moles and temperatures. *Full*: the same with the property
functions instead of the polynomials that stand for them in the kernels (good to 0.1 % of a liquid's enthalpy).

| still | procedure | heater | losses | relief | dephlegmator | condenser | product | stored | engine | booked | full |
|---|---|---|---|---|---|---|---|---|---|---|---|
"""

METHOD = """
## The steps on a published column

The method's coefficients, in fifteen lines of NumPy, on the binary column of Hahn & Edgar (Comput. Chem. Eng. 26 (2002)
1379): 32 stages, relative volatility 1.6, feed on stage 16, all at x = 0.3 at the start. The engine itself can't run
it: it has a feed, constant molar overflow and no heat. After 120 min:

| | published | computed | difference |
|---|---|---|---|
"""

OPEN = """
## Not checked here

Congeners (fusel alcohols, methanol, aldehydes and acids over a run) have rows of their own once they are computed.
What practice expects of a small still is on [common-practice.md](common-practice.md).
"""


def sections() -> dict[str, tuple[str, list[tuple[str, str, str, bool]]]]:
    """Return each section's text and its rows for the summary: what, limit, worst, met."""
    return {
        "rayleigh": _rayleigh(), "total reflux": _total_reflux(), "ratio": _ratio(), "solvers": _solvers(),
        "heat": _heat(), "method": _method(),
    }  # fmt: skip


def page() -> str:
    """The whole page."""
    parts = sections()
    out = io.StringIO()
    out.write(HEAD + "\n| check | limit | worst | |\n|---|---|---|---|\n")
    for _, rows in parts.values():
        for what, limit, worst, met in rows:
            out.write(f"| {what} | {limit} | {worst} | {'met' if met else '**missed**'} |\n")
    out.write("".join(text for text, _ in parts.values()) + OPEN)
    return out.getvalue()


def _rayleigh():
    out, strength, recovery = io.StringIO(), 0.0, 0.0
    out.write(RAYLEIGH)
    for charge, table, exact, found in rayleigh.compare():
        strength = max(strength, abs(found.mean / exact.mean - 1), abs(found.momentary / exact.momentary - 1))
        recovery = max(recovery, abs(found.recovery / exact.recovery - 1))
        cells = [
            f"{100 * getattr(table, k):.2f} | {100 * (getattr(exact, k) - getattr(table, k)):+.3f} "
            f"| {100 * (getattr(found, k) - getattr(exact, k)):+.4f}"
            for k in ("mean", "momentary", "recovery")
        ]
        warm = found.pot_temperature - exact.pot_temperature
        out.write(f"| {100 * charge:.0f} | {1e3 * table.distillate:.0f} | " + " | ".join(cells))
        out.write(f" | {table.pot_temperature:.2f} | {warm:+.3f} |\n")
    return out.getvalue(), [
        ("Rayleigh integral, strength of distillate", "0.1 % of it", f"{100 * strength:.4f} %", strength <= 1e-3),
        ("Rayleigh integral, recovery", "0.1 % of it", f"{100 * recovery:.4f} %", recovery <= 1e-3),
    ]


def _total_reflux():
    out, worst = io.StringIO(), 0.0
    out.write(REFLUX)
    for row in total_reflux.compare():
        gap = row.simulated - row.constructed
        worst = max(worst, abs(gap))
        known = "–" if row.published is None else f"{row.published:.2f}"
        beside = "–" if row.published is None else f"{row.published - row.constructed:+.3f}"
        out.write(f"| {row.pot:.0f} | {row.stages} | {known} | {row.constructed:.3f} | {beside} | {gap:+.4f} |\n")
    out.write(MURPHREE)
    parts = 0.0
    for efficiency in total_reflux.EFFICIENCIES:
        found, constructed = total_reflux.with_efficiency(0.10, 4, efficiency)
        parts = max(parts, abs(found - constructed))
        out.write(f"| {efficiency:.2f} | {constructed:.2f} | {found - constructed:+.3f} |\n")
    return out.getvalue(), [
        ("total reflux, ideal stages", "0.05 % vol", f"{worst:.4f} % vol", worst <= 0.05),
        ("total reflux, plates of Murphree efficiency", "0.05 % vol", f"{parts:.3f} % vol", parts <= 0.05),
    ]


def _ratio():
    out, worst, straight = io.StringIO(), 0.0, 0.0
    out.write(RATIO)
    for plates in constant_reflux.PLATES:
        loose = constant_reflux.compare(plates, TOLERANCE)
        for row, usual in zip(constant_reflux.compare(plates), loose, strict=True):
            gap, line = row.simulated - row.by_enthalpy, row.simulated - row.by_overflow
            worst, straight = max(worst, abs(gap)), max(straight, abs(line))
            out.write(
                f"| {plates} | {row.time / 60:.0f} | {row.pot:.2f} | {row.ratio:.2f} | {row.simulated:.2f} "
                f"| {gap:+.3f} | {line:+.2f} | {usual.simulated - usual.by_enthalpy:+.1f} |\n"
            )
    return out.getvalue(), [
        ("partial reflux, construction with enthalpy balance", "0.1 % vol", f"{worst:.3f} % vol", worst <= 0.1),
        (
            "partial reflux, constant molar overflow: see there why",
            "0.1 % vol",
            f"{straight:.2f} % vol",
            straight <= 0.1,
        ),
    ]


def _solvers():
    out, worst = io.StringIO(), 0.0
    out.write(SOLVERS)
    for case in integrators.CASES:
        found = integrators.compare(case)
        usual, tight, radau, bdf = (found[k] for k in ("engine", "engine at 1e-7", "Radau", "BDF"))
        total = sum(radau.ethanol)
        gap = sum(usual.ethanol) / total - 1.0
        phases = max(abs(a / b - 1) for a, b in zip(usual.ethanol, radau.ethanol, strict=True) if b > 0.01 * total)
        late = max(abs(a - b) for a, b in zip(usual.ends, radau.ends, strict=True))
        worst = max(worst, abs(gap))
        out.write(
            f"| {case[0]} | {case[1]} | {gap:+.0e} | {phases:.0e} | {late:.1f} | {sum(tight.ethanol) / total - 1:+.0e} "
            f"| {sum(bdf.ethanol) / total - 1:+.0e} | {usual.evaluations} | {radau.evaluations} | {bdf.evaluations} |\n"
        )
    limit = (
        "distilled ethanol, default steps against Radau and BDF",
        "0.05 %",
        f"{100 * worst:.0e} %",
        worst <= 5e-4,
    )
    return out.getvalue(), [limit]


def _heat():
    out, own, booked, full = io.StringIO(), 0.0, 0.0, 0.0
    out.write(HEAT)
    for case in energy.suitable():
        r = energy.book(case)
        own, booked, full = max(own, abs(r.engine)), max(booked, abs(r.booked)), max(full, abs(r.with_full_properties))
        heats = (r.heater, r.lost, r.relief, r.dephlegmator, r.condenser, r.product, r.stored)
        out.write(f"| {r.still} | {r.procedure} | " + " | ".join(f"{1e-6 * v:.1f}" for v in heats))
        out.write(f" | {_bound(r.engine)} | {r.booked:+.0e} | {r.with_full_properties:+.0e} |\n")
    return out.getvalue(), [
        ("energy, the engine's own balance", "1e-6", _bound(own), own <= 1e-6),
        ("energy, booked apart", "1e-6", f"{booked:.0e}", booked <= 1e-6),
        ("energy, booked apart with the full property functions", "2e-4", f"{full:.0e}", full <= 2e-4),
    ]


def _bound(value: float) -> str:
    return "below 1e-12" if abs(value) < 1e-12 else f"{value:.0e}"


def _method():
    top, bottom = method.hahn_edgar()
    rows = (("condenser x", method.TOP, top), ("reboiler x", method.BOTTOM, bottom))
    text = METHOD + "".join(f"| {what} | {known:.6f} | {x:.6f} | {x - known:+.0e} |\n" for what, known, x in rows)
    worst = max(abs(x - known) for _, known, x in rows)
    return text, [("steps of the engine's method on a published column", "2e-6 in x", f"{worst:.0e}", worst <= 2e-6)]


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
