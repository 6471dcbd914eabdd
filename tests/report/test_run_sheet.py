"""The run sheet as paper and as page: whole, on A4, nothing cut off or overlapping, words escaped, cautions once."""

from __future__ import annotations

import dataclasses
from html.parser import HTMLParser

import numpy as np
import pymupdf
import pytest

from middlerun.plan import Run
from middlerun.report import run_sheet_html, run_sheet_pdf
from middlerun.report.cautions import cautions
from middlerun.report.sheet import INVENTED, sheet

A4 = (595.3, 841.9)  # pt, ISO 216: 210 mm by 297 mm
HOSTILE = '#panic("x") *b* _i_ $1/0$ @a <b>&amp;</b> {{ 7*7 }} \\ #let d = 1 ]] "</td><script>alert(1)</script>'


_MADE: dict[int, tuple[Run, bytes]] = {}  # holds on to the run, so that its identity stays its own


def _opened(run: Run) -> pymupdf.Document:
    if id(run) not in _MADE:
        _MADE[id(run)] = (run, run_sheet_pdf(run))
    return pymupdf.open(stream=_MADE[id(run)][1], filetype="pdf")


def _text(document: pymupdf.Document) -> str:
    return " ".join(" ".join(page.get_text() for page in document).split())


class _Page(HTMLParser):
    """Collects the tags and the words of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def _page(run: Run) -> _Page:
    page = _Page()
    page.feed(run_sheet_html(run))
    return page


def test_every_page_is_a4_numbered_and_inside_its_margins(any_run: Run) -> None:
    document = _opened(any_run)
    assert 2 <= len(document) <= 8
    for number, page in enumerate(document, 1):
        assert (page.rect.width, page.rect.height) == pytest.approx(A4, abs=0.5)
        assert f"{number} / {len(document)}" in page.get_text()
        for *box, word, _, _, _ in page.get_text("words"):
            assert box[0] >= 30 and box[2] <= A4[0] - 30, word  # printers leave out the outer centimetre
            assert box[1] >= 20 and box[3] <= A4[1] - 20, word


def test_no_word_lies_on_another(any_run: Run) -> None:
    for page in _opened(any_run):
        words = page.get_text("words")
        left, top, right, bottom = np.array([word[:4] for word in words]).T
        wide = np.minimum(right[:, None], right) - np.maximum(left[:, None], left)
        high = np.minimum(bottom[:, None], bottom) - np.maximum(top[:, None], top)
        # line boxes are taller than letters: lines above each other share a little
        size = np.minimum((bottom - top)[:, None], bottom - top)
        bad = np.triu((wide > 0.8) & (high > 0.45 * size), 1)
        assert not bad.any(), [(words[a][4], words[b][4]) for a, b in np.argwhere(bad)]


def test_table_headings_are_repeated_where_the_time_line_goes_on(demo: Run) -> None:
    pages = [page.get_text() for page in _opened(demo)]
    carrying = [text for text in pages if "\n4:00\n" in text or "\n2:00\n" in text or "\n5:00\n" in text]
    assert carrying
    for text in carrying:
        assert "by the" in text and "Glass" in text


def test_it_prints_in_black_and_white(demo: Run) -> None:
    for page in _opened(demo):
        pixels = np.frombuffer(page.get_pixmap(dpi=40).samples, dtype=np.uint8).reshape(-1, 3).astype(int)
        assert np.max(np.ptp(pixels, axis=1)) <= 20
        assert pixels.min() < 120


def test_paper_and_page_carry_the_same(any_run: Run) -> None:
    paper = _text(_opened(any_run)).replace("\N{NO-BREAK SPACE}", " ")
    page = " ".join(" ".join(_page(any_run).words).split()).replace("\N{NO-BREAK SPACE}", " ")
    data = sheet(any_run)
    expected = [data["title"], *(caution["title"] for caution in data["cautions"]), data["defer"]]
    expected += [row[0] for row in data["totals"]["rows"]] + [card["name"] for card in data["phases"]]
    expected += [row[0] for row in data["receivers"]["rows"]]
    for words in expected:
        assert words in page, words
        assert "".join(words.split()) in "".join(paper.split()), words


def test_an_invented_plan_is_marked_on_every_page(demo: Run) -> None:
    for page in _opened(demo):
        assert "INVENTED EXAMPLE" in page.get_text()
    assert INVENTED in " ".join(_page(demo).words)
    real = dataclasses.replace(
        demo,
        plan=dataclasses.replace(demo.plan, invented=False, still=dataclasses.replace(demo.plan.still, invented=False)),
    )
    assert "INVENTED" not in _text(_opened(real))


def test_hostile_words_stay_words(demo: Run) -> None:
    procedure = demo.plan.procedure
    phases = tuple(dataclasses.replace(phase, into=HOSTILE) for phase in procedure.phases)
    plan = dataclasses.replace(
        demo.plan,
        name=HOSTILE,
        note=HOSTILE,
        still=dataclasses.replace(demo.plan.still, name=HOSTILE),
        procedure=dataclasses.replace(procedure, name=HOSTILE, phases=phases),
    )
    run = dataclasses.replace(
        demo,
        plan=plan,
        phases=tuple(dataclasses.replace(phase, name=HOSTILE) for phase in demo.phases),
        fractions=tuple(dataclasses.replace(fraction, name=HOSTILE) for fraction in demo.fractions),
    )
    squeezed = "".join(HOSTILE.split())
    assert "".join(_text(_opened(run)).split()).count(squeezed) >= 4
    page = _page(run)
    assert "script" not in page.tags and "b" not in page.tags
    assert "".join("".join(page.words).split()).count(squeezed) >= 4


def test_names_in_other_scripts_and_very_long_ones(demo: Run) -> None:
    for name in ("Сливовица Ünlü", "梅酒 \N{GRAPES}", "x" * 400, "word " * 120, ""):
        document = _opened(dataclasses.replace(demo, plan=dataclasses.replace(demo.plan, name=name)))
        for page in document:
            for *box, word, _, _, _ in page.get_text("words"):
                assert box[2] <= A4[0] - 30, word[:40]


def test_each_caution_stands_once_and_only_where_it_applies(demo: Run) -> None:
    text = _text(_opened(demo))
    for title in ("Flammable vapour.", "Pressure.", "Scalding.", "Methanol.", "Carbon dioxide.", "Never leave"):
        assert text.count(title) == 1, title
    assert "Open fire" not in text
    still = demo.plan.still
    fired = dataclasses.replace(
        demo.plan, still=dataclasses.replace(still, heating=dataclasses.replace(still.heating, kind="fire"))
    )
    assert "Open fire" in [caution.title for caution in cautions(fired)]
    distilled = dataclasses.replace(demo.plan, charge=dataclasses.replace(demo.plan.charge, kind="low-wines"))
    assert "Carbon dioxide" not in [caution.title for caution in cautions(distilled)]


def test_the_sheet_never_says_that_a_spirit_is_safe(demo: Run) -> None:
    assert "safe" not in _text(_opened(demo)).lower().replace("safety", "")


def test_a_phase_that_is_given_up_is_marked(demo: Run) -> None:
    words = "Not ended by its condition: see warnings."
    assert words not in _text(_opened(demo)) and words not in " ".join(_page(demo).words)
    phases = (dataclasses.replace(demo.phases[0], ended_by="no_product"), *demo.phases[1:])
    given_up = dataclasses.replace(demo, phases=phases)
    assert words in _text(_opened(given_up))
    assert words in " ".join(_page(given_up).words)


def test_a_run_without_product(no_product: Run) -> None:
    assert "No product comes over" in _text(_opened(no_product))
    assert "No product comes over" in " ".join(_page(no_product).words)
