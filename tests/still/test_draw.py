"""The schematic: well-formed, complete, nothing written over anything else, no colour but for the abnormal."""

from __future__ import annotations

import dataclasses
import re
import xml.etree.ElementTree as ElementTree
from itertools import combinations

import pymupdf
import pytest

from middlerun.errors import UnknownNameError
from middlerun.still import (
    HEATING_KINDS,
    Dephlegmator,
    Instrument,
    Shown,
    Still,
    draw_still,
    library_names,
    library_still,
)
from middlerun.still.description import READINGS
from middlerun.still.draw_shapes import ABNORMAL

SVG = "{http://www.w3.org/2000/svg}"
FULL = library_still("bain-marie-150-4-plates")
Box = tuple[float, float, float, float, str]


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def text_boxes(root: ElementTree.Element) -> list[Box]:
    """Boxes of all texts, by the widths of a common sans serif: 0.56 of the size a letter, 0.6 when bold."""
    boxes = []
    for text in root.iter(f"{SVG}text"):
        size, content = float(text.get("font-size", "0")), text.text or ""
        width = (0.6 if text.get("font-weight") else 0.56) * size * len(content)
        x, y = float(text.get("x", "0")), float(text.get("y", "0"))
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")] * width
        boxes.append((left, y - 0.75 * size, left + width, y + 0.2 * size, content))
    return boxes


def bubble_boxes(root: ElementTree.Element) -> list[Box]:
    found = []
    for circle in root.iter(f"{SVG}circle"):
        x, y, r = (float(circle.get(key, "0")) for key in ("cx", "cy", "r"))
        if r > 15.0:
            found.append((x - r, y - r, x + r, y + r, "bubble"))
    return found


def overlap(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 1.0 and min(a[3], b[3]) - max(a[1], b[1]) > 1.0


def assert_readable(svg: str) -> None:
    root = parsed(svg)
    width, height = (float(v) for v in root.get("viewBox", "").split()[2:])
    words, bubbles = text_boxes(root), bubble_boxes(root)
    for box in words + bubbles:
        assert box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= width and box[3] <= height, box
    assert [pair for pair in combinations(words, 2) if overlap(*pair)] == []
    assert [pair for pair in combinations(bubbles, 2) if overlap(*pair)] == []
    for bubble in bubbles:
        inside = [w for w in words if overlap(w, bubble)]
        assert len(inside) <= 2, inside  # its own letters and loop number


def variants() -> list[tuple[str, Still]]:
    """0 to 8 plates, with and without dephlegmator, all heating kinds, all instruments."""
    instruments = tuple(Instrument(tag=f"TI-{100 + i}", reads=reads) for i, reads in enumerate(READINGS))
    found = []
    for kind in HEATING_KINDS:
        for count in (None, 0, 1, 2, 5, 8):
            for head in (FULL.dephlegmator, Dephlegmator()):
                assert FULL.column is not None
                plates = FULL.column.plates[:1] * (count or 0)
                column = None if count is None else dataclasses.replace(FULL.column, plates=plates, insulated=True)
                heating = dataclasses.replace(FULL.heating, kind=kind)
                still = dataclasses.replace(
                    FULL, heating=heating, column=column, dephlegmator=head, instruments=instruments
                )
                found.append((f"{kind}, {count} plates, {'dephlegmator' if head.area else 'plain'}", still))
    return found


@pytest.mark.parametrize("name", library_names())
@pytest.mark.parametrize("read", [False, True], ids=["plain", "with readings"])
def test_library_still_is_drawn_readably(name: str, read: bool) -> None:
    still = library_still(name)
    readings = {i.tag: "88.8 Cel" for i in still.instruments} if read else None
    svg = draw_still(still, readings)
    assert_readable(svg)
    for instrument in still.instruments:
        letters, loop = instrument.tag.split("-")
        assert f">{letters}</text>" in svg and f">{loop}</text>" in svg
    assert ABNORMAL not in svg
    assert svg.count(">88.8 Cel</text>") == (len(still.instruments) if read else 0)


@pytest.mark.parametrize(("name", "still"), variants(), ids=[v[0] for v in variants()])
def test_every_kind_of_still_is_drawn_readably(name: str, still: Still) -> None:
    assert_readable(draw_still(still))
    assert_readable(draw_still(still, {i.tag: "88.8 Cel" for i in still.instruments}))


@pytest.mark.parametrize("name", library_names())
def test_equipment_is_grey(name: str) -> None:
    """ISA-101 idea: colour is kept for the abnormal. A grey has three channels within 12 of 255 of each other."""
    for colour in re.findall(r"#[0-9a-f]{6}", draw_still(library_still(name))):
        channels = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
        assert max(channels) - min(channels) <= 12, colour


def test_accessible() -> None:
    root = parsed(draw_still(FULL))
    assert root.get("role") == "img"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and desc is not None
    assert root.get("aria-labelledby", "").split() == [title.get("id"), desc.get("id")]
    assert "Column with 4 plates (bubble-cap), 4 of them with a bypass." in (desc.text or "")
    assert "TI-101 pot temperature" in (desc.text or "")


def test_abnormal_has_colour_sign_and_word() -> None:
    svg = draw_still(FULL, {"PI-104": Shown(text="0.62 bar", abnormal="high"), "TI-101": "91.2 Cel"})
    assert ABNORMAL in svg
    assert ">0.62 bar high</text>" in svg and ">!</text>" in svg
    assert svg.count('class="abnormal"') == 2  # bubble and triangle


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("vent", False, "no vent"),
        ("relief_gauge", None, "no relief valve"),
        ("vacuum_breaker", False, "no vacuum breaker"),
    ],
)
def test_a_missing_safety_device_is_seen(key: str, value: object, words: str) -> None:
    bare = dataclasses.replace(FULL, heating=dataclasses.replace(FULL.heating, **{key: value}))  # type: ignore[arg-type]
    assert f">{words}</text>" not in draw_still(FULL)
    assert f">{words}</text>" in draw_still(bare)
    assert words in (parsed(draw_still(bare)).find(f"{SVG}desc").text or "")  # type: ignore[union-attr]


def test_unknown_tag() -> None:
    with pytest.raises(UnknownNameError, match=r'no instrument "TI-1010".*Did you mean "TI-101"'):
        draw_still(FULL, {"TI-1010": "3 Cel"})


def test_names_are_escaped() -> None:
    odd = dataclasses.replace(FULL, name="A <b> & \x00 \x0b still")
    title = parsed(draw_still(odd)).find(f"{SVG}title")
    assert title is not None and (title.text or "").startswith("A <b> & ")


def test_prints_at_the_width_of_a_page() -> None:
    """A4 with 20 mm margins leaves 170 mm; the smallest words stay above 6.5 point, read by an independent renderer."""
    svg = draw_still(library_still("steam-jacket-500-8-plates"))
    width = float(parsed(svg).get("width", "0"))
    sizes = [float(t.get("font-size", "0")) for t in parsed(svg).iter(f"{SVG}text")]
    assert min(sizes) / width * 170.0 / 0.3528 > 6.5
    page = pymupdf.open(stream=svg.encode(), filetype="svg")[0]
    dark = sum(1 for v in page.get_pixmap(colorspace="gray").samples if v < 100)
    assert dark > 1000
