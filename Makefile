# Everything sets itself up in .venv from Python 3.11+ alone.
# demo, test and check are what people need; the rest are their steps.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
RUNS := $(VENV)/.runs
READY := $(VENV)/.ready

.PHONY: demo test check lint types contracts spelling bench bench-smoke shots migration clean

demo: $(RUNS)
	$(BIN)/platebook demo

test: $(READY)
	$(BIN)/pytest -n 3

check: lint types contracts spelling test

lint: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(READY)
	$(BIN)/mypy

contracts: $(READY)
	$(BIN)/lint-imports

spelling: $(READY)
	$(BIN)/codespell

bench: $(READY)
	$(BIN)/python -m bench

bench-smoke: $(READY)
	$(BIN)/python -m bench --smoke

shots: $(READY)
	$(BIN)/python -m tests.tui.shots docs/pictures

# Writes the schema's next step for fields that were added to the record.
migration: $(READY)
	$(BIN)/python -m tests.logbook.new_migration

# What the program needs, and on top of it what its tests and checks need.
$(RUNS): pyproject.toml
	$(PYTHON) -c "import sys; sys.exit(0 if sys.version_info >= (3, 11) else 'platebook needs Python 3.11 or newer; say which with PYTHON=...')"
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	touch $(RUNS)

$(READY): $(RUNS)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e ".[dev,serve,cluster]"
	touch $(READY)

clean:
	rm -rf $(VENV) dist build .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
