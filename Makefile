# Middlerun: `make help` lists what can be made. Needs Python 3.11 or newer; everything else goes into .venv.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --quiet --disable-pip-version-check
PYTEST := $(BIN)/python -m pytest
OUT ?= out

.DEFAULT_GOAL := help
.PHONY: help demo setup setup-dev test test-full check lint types rooms bench soak pictures warm clean

help:  ## show this list
	@sed -n 's/^\([a-z-]*\):.*## /\1\t/p' $(MAKEFILE_LIST) | awk -F'\t' '{ printf "  make %-11s %s\n", $$1, $$2 }'

demo: setup  ## predict the demo plan: a summary here, run sheet, plots, series and JSON in out/
	@$(BIN)/middlerun predict examples/demo-plan.toml --out $(OUT)

setup: $(VENV)/.installed  ## install the command into .venv
setup-dev: $(VENV)/.installed-dev  ## install the command and the developers' tools into .venv

test: setup-dev warm  ## test in less than five minutes
	$(PYTEST) -m "not slow and not soak" tests

test-full: setup-dev warm  ## all tests: those of `make test`, slow ones, validation, examples in docstrings
	$(PYTEST) -m "not soak" tests validation src

check: setup-dev lint types rooms  ## lint, formatting, types, import rules

lint: setup-dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: setup-dev
	$(BIN)/mypy

rooms: setup-dev
	$(BIN)/lint-imports

bench: setup-dev warm  ## measure speed and accuracy beside the alternatives
	$(BIN)/python -m benchmarks

soak: setup-dev warm  ## long tests by hand
	$(PYTEST) -m soak tests validation

pictures: warm  ## redraw the pictures of the pages
	@$(BIN)/middlerun predict examples/demo-plan.toml --out $(OUT) > /dev/null
	cp $(OUT)/plots/temperatures.png docs/pictures/demo-temperatures.png
	$(BIN)/middlerun still draw bain-marie-150-4-plates -o docs/pictures/demo-still.svg

# Compiles the kernels once, before two test workers would each do it.
warm: setup
	@$(BIN)/middlerun prepare

clean:  ## remove .venv, caches and out/
	rm -rf $(VENV) $(OUT) build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
	find . -name __pycache__ -type d -not -path './.git/*' -prune -exec rm -rf {} +
	rm -rf src/*.egg-info

$(BIN)/python:
	@command -v $(PYTHON) >/dev/null 2>&1 || { \
	  echo "There is no command '$(PYTHON)'. Install Python 3.11 or newer, or name it: make demo PYTHON=python3.12"; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "Middlerun needs Python 3.11 or newer; $(PYTHON) is $$($(PYTHON) --version 2>&1)."; \
	  echo "Name a newer one: make demo PYTHON=python3.12"; exit 1; }
	@$(PYTHON) -m venv $(VENV) || { rm -rf $(VENV); \
	  echo "The environment can't be made: the module 'venv' of $(PYTHON) is incomplete."; \
	  echo "On Debian and Ubuntu: apt-get install python3-venv"; exit 1; }

$(VENV)/.installed: $(BIN)/python pyproject.toml constraints.txt
	$(PIP) install --constraint constraints.txt --editable .
	@touch $@

$(VENV)/.installed-dev: $(BIN)/python pyproject.toml constraints.txt
	$(PIP) install --constraint constraints.txt --editable '.[dev]'
	@touch $@ $(VENV)/.installed
