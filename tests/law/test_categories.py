"""Ceilings on distillation strength. Source: Regulation (EU) 2019/787, Annex I, consolidated text of 13 May 2024."""

from __future__ import annotations

import re

import pytest

from middlerun.errors import UnknownNameError
from middlerun.law import category, category_ids

# Annex I by number of category: "distilled at less than ... % vol".
ANNEX = {
    "eu-rum": ("1", 0.96),
    "eu-whisky": ("2", 0.948),
    "eu-wine-spirit": ("4", 0.86),
    "eu-grape-marc-spirit": ("6", 0.86),
    "eu-fruit-marc-spirit": ("7", 0.86),
    "eu-raisin-spirit": ("8", 0.945),
    "eu-fruit-spirit": ("9", 0.86),
    "eu-potato-spirit": ("9a", 0.948),
    "eu-cider-perry-spirit": ("10", 0.86),
    "eu-honey-spirit": ("11", 0.86),
    "eu-lees-spirit": ("12", 0.86),
    "eu-beer-spirit": ("13", 0.86),
    "eu-bread-spirit": ("13a", 0.86),
    "eu-birch-maple-sap-spirit": ("13b", 0.88),
    "eu-topinambur": ("14", 0.86),
    "eu-macerated-fruit-spirit": ("16", 0.86),
    "eu-geist": ("17", 0.86),
}


@pytest.mark.parametrize("id", ANNEX)
def test_ceiling_of_the_annex(id: str) -> None:
    number, ceiling = ANNEX[id]
    found = category(id)
    assert found.distilled_below == pytest.approx(ceiling, abs=1e-12)
    assert found.clause == f"Annex I, category {number}"
    assert found.as_of == "2024-05-13"


def test_brandy_of_the_united_states() -> None:
    """27 CFR 5.145(a): less than 95 % alcohol by volume."""
    assert category("us-brandy").distilled_below == pytest.approx(0.95, abs=1e-12)


@pytest.mark.parametrize("id", category_ids())
def test_every_category_is_dated_and_strict(id: str) -> None:
    found = category(id)
    assert re.fullmatch(r"[a-z]{2}(-[a-z0-9]+)+", id)
    assert id.startswith(found.jurisdiction.lower())
    assert not found.allows(found.distilled_below), "less than, not up to"
    assert found.allows(found.distilled_below - 1e-6)
    assert re.match(r"\d{4}-\d{2}-\d{2}$", found.as_of) or "no date" in found.as_of
    assert found.source.startswith("https://") and found.clause in found.reference


def test_unknown_category_gets_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match='Did you mean "eu-fruit-spirit"'):
        category("eu-fruit-spirits")
