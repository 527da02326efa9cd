# Everything sets itself up in .venv from Python 3.11+ alone.
# demo, test and check are what people need; the rest are their steps.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
LOWEST := $(VENV)/.lowest
RUNS := $(VENV)/.runs
READY := $(VENV)/.ready

.PHONY: demo test check lint types contracts spelling bench bench-smoke torture shots migration lowest clean

demo: $(RUNS)
	$(BIN)/platebook demo

test: $(READY)
	$(BIN)/pytest -n 3 --dist worksteal

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

# Kills, bends and misleads the program: make torture MINUTES=60
MINUTES ?= 30
torture: $(READY)
	$(BIN)/python -m tests.torture --minutes $(MINUTES)

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

# The lowest versions that pyproject.toml names, in a place of their own, and a few commands with them.
lowest:
	rm -rf $(LOWEST)
	$(PYTHON) -m venv $(LOWEST)
	$(LOWEST)/bin/python -m pip install --quiet --disable-pip-version-check uv
	$(LOWEST)/bin/uv pip install --quiet --python $(LOWEST)/bin/python --resolution lowest-direct .
	$(LOWEST)/bin/platebook --version
	rm -f $(LOWEST)/smoke.sqlite
	$(LOWEST)/bin/platebook setter add "Ada Quill" --logbook $(LOWEST)/smoke.sqlite
	$(LOWEST)/bin/platebook sizes 2.0 --logbook $(LOWEST)/smoke.sqlite > /dev/null
	$(LOWEST)/bin/platebook record --diameter 2.0 --result good --logbook $(LOWEST)/smoke.sqlite
	$(LOWEST)/bin/platebook check --logbook $(LOWEST)/smoke.sqlite
	$(LOWEST)/bin/platebook demo < /dev/null > /dev/null

clean:
	rm -rf $(VENV) dist build .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
