"""Commands that list, show and check what the libraries hold, for every entry on disk."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from middlerun.law import category_ids
from middlerun.plan import charge_kind_names
from middlerun.run import procedure_names
from middlerun.still import library_names, load_still, resolve

ROOT = Path(__file__).parents[2]
LISTS = [
    ("still", "stills", "name", library_names()),
    ("procedure", "procedures", "name", procedure_names()),
    ("charge", "charges", "name", charge_kind_names()),
    ("law", "categories", "id", category_ids()),
]
ENTRIES = [("still", name) for name in library_names()] + [("procedure", name) for name in procedure_names()]


@pytest.mark.parametrize(("group", "key", "name", "known"), LISTS, ids=[row[0] for row in LISTS])
def test_list_names_every_entry(command, group, key, name, known) -> None:
    document = command(group, "list", "--json").document()
    assert [row[name] for row in document[key]] == list(known)
    text = command(group, "list")
    assert text.code == 0
    for entry in known:
        assert entry in text.out


@pytest.mark.parametrize(("group", "name"), ENTRIES)
def test_show_prints_a_file_that_reads_back(command, tmp_path, group, name) -> None:
    answer = command(group, "show", name)
    assert (answer.code, answer.err) == (0, "")
    path = tmp_path / "copy.toml"
    path.write_text(answer.out, encoding="utf-8")
    assert command(group, "show", path).out == answer.out
    document = command(group, "show", path, "--json").document()
    assert document["file"] == tomllib.loads(answer.out)


@pytest.mark.parametrize(("group", "name"), ENTRIES)
def test_library_entries_are_not_refused(command, group, name) -> None:
    answer = command(group, "check", name)
    assert answer.code == 0
    document = command(group, "check", name, "--json").document()
    assert document["ok"] is True
    assert all(finding["level"] != "refused" for finding in document["findings"])


@pytest.mark.parametrize("name", library_names())
def test_show_gives_every_number_that_the_engine_takes(command, name) -> None:
    document = command("still", "show", name, "--json").document()
    assert len(document["resolved"]["plates"]) == len(resolve(_library(command, name)).plates)
    assert document["resolved"]["pot_volume"] > 0


def test_check_refuses_a_jacket_without_relief(command, tmp_path) -> None:
    text = command("still", "show", "bain-marie-100-3-plates").out
    path = tmp_path / "shut.toml"
    path.write_text(
        "\n".join(line for line in text.splitlines() if not line.startswith("relief_gauge")), encoding="utf-8"
    )
    answer = command("still", "check", path)
    assert answer.code == 2
    assert "refused" in answer.out
    assert command("still", "check", path, "--json").document()["ok"] is False


def test_check_of_the_demo_plan_finds_nothing_wrong(command) -> None:
    answer = command("plan", "check", ROOT / "examples" / "demo-plan.toml", "--json")
    assert answer.code == 0
    assert answer.document()["ok"] is True


def test_draw_writes_or_prints_the_same_picture(command, tmp_path) -> None:
    printed = command("still", "draw", "bain-marie-150-4-plates")
    assert printed.code == 0
    path = tmp_path / "still.svg"
    assert command("still", "draw", "bain-marie-150-4-plates", "-o", path).code == 0
    assert path.read_text(encoding="utf-8").strip() == printed.out.strip()
    assert "<svg" in printed.out
    assert (
        command("still", "draw", "bain-marie-150-4-plates", "--json").document()["svg"].strip() == printed.out.strip()
    )


def test_draw_into_a_folder_is_refused(command, tmp_path) -> None:
    answer = command("still", "draw", "bain-marie-150-4-plates", "-o", tmp_path)
    assert answer.code == 2
    assert "is a folder" in answer.err
    assert list(tmp_path.iterdir()) == []


def _library(command, name):
    from middlerun.still import read_still

    return read_still(command("still", "show", name).out, name)


def test_show_of_a_file_needs_no_library(command, tmp_path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(command("still", "show", "electric-pot-30").out.replace("30 L", "31 L"), encoding="utf-8")
    assert load_still(path).pot.volume == pytest.approx(0.031)
    assert command("still", "show", path, "--json").document()["resolved"]["pot_volume"] == pytest.approx(0.031)
