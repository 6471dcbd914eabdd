"""Pictures can be opened, say what they show, are the same every time, and cope with runs that have little to show."""

from __future__ import annotations

import dataclasses
import io
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from middlerun.plan import Run, Warning
from middlerun.report import picture_bytes, pictures, write_pictures
from middlerun.report.chart import ABNORMAL
from middlerun.report.picture import Panel, Picture, spread

SVG = "{http://www.w3.org/2000/svg}"


def _pixels(content: bytes) -> np.ndarray:
    with Image.open(io.BytesIO(content)) as image:
        assert image.format == "PNG"
        return np.asarray(image.convert("RGB")).astype(int)


def _coloured(pixels: np.ndarray) -> int:
    """Pixels that are clearly red: the colour of warnings."""
    return int(np.sum((pixels[..., 0] - pixels[..., 1] > 60) & (pixels[..., 0] - pixels[..., 2] > 60)))


def test_a_whole_set_opens(any_run: Run, tmp_path: Path) -> None:
    paths = write_pictures(any_run, tmp_path)
    names = {path.stem for path in paths}
    expected = {"temperatures", "product", "heat-and-water", "cuts"}
    assert names == expected | ({"plates"} if any_run.plan.still.column else set())
    for path in paths:
        if path.suffix == ".png":
            pixels = _pixels(path.read_bytes())
            assert pixels.shape[0] > 300 and pixels.shape[1] > 900
            assert np.ptp(pixels) > 150  # dark lines on a light ground, not a blank sheet
        else:
            root = ElementTree.fromstring(path.read_bytes())
            assert root.tag == f"{SVG}svg" and root.get("role") == "img"
            assert root.findtext(f"{SVG}title")
            assert len(root.findtext(f"{SVG}desc") or "") > 10


def test_the_summary_is_one_line_and_names_the_product(demo: Run) -> None:
    for picture in pictures(demo):
        assert picture.summary.endswith(".") and "\n" not in picture.summary
    assert demo.fractions[0].name in next(p.summary for p in pictures(demo) if p.name == "product")


def test_a_run_without_product_says_so(no_product: Run) -> None:
    assert {p.name: p.summary for p in pictures(no_product)}["cuts"] == "No product comes over."


def test_the_same_picture_gives_the_same_bytes(demo: Run) -> None:
    picture = pictures(demo)[0]
    for form in ("svg", "png"):
        assert picture_bytes(picture, form) == picture_bytes(picture, form)


def test_colour_is_for_warnings_only(demo: Run) -> None:
    calm = dataclasses.replace(demo, warnings=())
    for picture in pictures(calm):
        assert _coloured(_pixels(picture_bytes(picture, "png"))) == 0
    warned = Warning(code="charge-strong", time=demo.totals["duration"] / 2, values={"strength": 0.45, "limit": 0.4})
    shown = pictures(dataclasses.replace(demo, warnings=(warned,)))[0]
    assert [mark.label for mark in shown.marks] == ["Strong charge: fire"]
    assert _coloured(_pixels(picture_bytes(shown, "png"))) > 20
    assert ABNORMAL.encode() in picture_bytes(shown, "svg")


def test_every_phase_is_named_and_cuts_are_marked(demo: Run) -> None:
    picture = pictures(demo)[0]
    assert [span.name for span in picture.spans] == [phase.name for phase in demo.phases]
    cuts = [phase.fraction for span, phase in zip(picture.spans, demo.phases, strict=True) if span.cut]
    assert cuts == ["heads", "hearts", "late hearts", "tails"]  # each vessel is put under once
    assert not picture.spans[0].cut


def test_hostile_names_stay_text(demo: Run) -> None:
    name = '</svg><script>alert("x")</script> $\\nonsense{$ & %'
    phases = tuple(dataclasses.replace(phase, name=name) for phase in demo.phases)
    content = picture_bytes(pictures(dataclasses.replace(demo, phases=phases))[0], "svg")
    root = ElementTree.fromstring(content)
    assert not list(root.iter(f"{SVG}script"))


@pytest.mark.parametrize("count", [0, 1, 2])
def test_hardly_any_time_at_all(demo: Run, count: int) -> None:
    short = dataclasses.replace(demo, series={name: values[:count] for name, values in demo.series.items()}, phases=())
    for picture in pictures(short):
        assert picture_bytes(picture, "png")


def test_gaps_and_infinities_are_left_out() -> None:
    from middlerun.report.picture import Curve

    y = np.array([1.0, np.nan, np.inf, 4.0])
    panel = Panel(
        title="gaps", curves=(Curve(name="a", label="a", y=y), Curve(name="b", label="b", y=np.full(4, np.nan)))
    )
    picture = Picture(name="p", title="p", summary="s.", x=np.arange(4.0), x_label="x", panels=(panel,))
    assert np.ptp(_pixels(picture_bytes(picture, "png"))) > 150


def test_labels_keep_their_distance_and_order() -> None:
    places = spread([0.0, 0.0, 0.1, 5.0, 9.9, 10.0], 1.0, 0.0, 10.0)
    assert places == sorted(places)
    assert min(np.diff(places)) >= 1.0 - 1e-12
    assert places[0] >= 0.0 and places[-1] <= 10.0
    assert len(spread([0.0] * 30, 1.0, 0.0, 10.0)) == 30
