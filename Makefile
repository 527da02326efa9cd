# Everything sets itself up in .venv from Python 3.11+ alone.
# demo, test and check are what people need; the rest are their steps.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
LOWEST := $(VENV)/.lowest
NEWEST := $(VENV)/.newest
RUNS := $(VENV)/.runs
READY := $(VENV)/.ready

.PHONY: demo test check lint types contracts spelling bench bench-smoke torture fuzz man shots migration lowest lowest-installed lowest-smoke newest lock clean

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

# Each door for so long, bent at random; led by what the program does where atheris is installed
# (`.venv/bin/pip install atheris`; it is in no lock and no check).
fuzz: $(READY)
	$(BIN)/python -m tests.torture.fuzz --minutes $(MINUTES)

# What `man platebook` shows, from the commands themselves.
man: $(READY)
	$(BIN)/python -m tests.documents.man_page man/platebook.1

shots: $(READY)
	$(BIN)/python -m tests.tui.shots docs/pictures

# Writes the schema's next step for fields that were added to the record.
migration: $(READY)
	$(BIN)/python -m tests.logbook.new_migration

# What the program needs, and on top of it what its tests and checks need: the versions of locks/,
# whose files are looked at before anything of them runs.
$(RUNS): pyproject.toml locks/run.txt
	$(PYTHON) -c "import sys; sys.exit(0 if sys.version_info >= (3, 11) else 'platebook needs Python 3.11 or newer; say which with PYTHON=...')"
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r locks/run.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $(RUNS)

$(READY): $(RUNS) locks/check.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r locks/check.txt
	touch $(READY)

# The newest versions that pyproject.toml admits, with the digests of their files, for every system
# and every Python from 3.11 on. No registry is named in them: pip asks the one it is set up with.
LOCK = $(LOWEST)/bin/uv pip compile --quiet --upgrade --universal --python-version 3.11 --generate-hashes \
	--no-header --no-annotate
BUILDS = printf 'hatchling>=1.27\neditables\n'

lock:
	$(PYTHON) -m venv $(LOWEST)
	$(LOWEST)/bin/python -m pip install --quiet --disable-pip-version-check uv
	$(BUILDS) | $(LOCK) --all-extras --output-file locks/check.txt pyproject.toml -
	$(BUILDS) | $(LOCK) --constraint locks/check.txt --output-file locks/run.txt pyproject.toml -

# A few commands of the program that is installed in the place named.
define SMOKE
	$(1)/bin/platebook --version
	rm -f $(1)/smoke.sqlite
	$(1)/bin/platebook setter add "Ada Quill" --logbook $(1)/smoke.sqlite
	$(1)/bin/platebook sizes 2.0 --logbook $(1)/smoke.sqlite > /dev/null
	$(1)/bin/platebook record --diameter 2.0 --result good --logbook $(1)/smoke.sqlite
	$(1)/bin/platebook check --logbook $(1)/smoke.sqlite
	$(1)/bin/platebook demo < /dev/null > /dev/null
endef

# The lowest versions that pyproject.toml names, in a place of their own, and a few commands with them.
lowest: lowest-installed
	$(MAKE) lowest-smoke

lowest-installed:
	rm -rf $(LOWEST)
	$(PYTHON) -m venv $(LOWEST)
	$(LOWEST)/bin/python -m pip install --quiet --disable-pip-version-check uv
	$(LOWEST)/bin/uv pip install --quiet --python $(LOWEST)/bin/python --resolution lowest-direct .

lowest-smoke:
	$(call SMOKE,$(LOWEST))

# The newest Python that this machine has, with the same locks, a few commands and the quick tests.
NEWEST_PYTHON = $(shell for minor in 16 15 14 13 12 11; do \
	for python in python3.$$minor $$HOME/.pyenv/versions/3.$$minor.*/bin/python3; do \
	$$python -c 'import venv' 2> /dev/null && echo $$python && exit; done; done)
QUICK := tests/trade tests/practice tests/exchange tests/documents tests/reports

newest:
	rm -rf $(NEWEST)
	$(NEWEST_PYTHON) -m venv $(NEWEST)
	$(NEWEST)/bin/python --version
	$(NEWEST)/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes -r locks/check.txt
	$(NEWEST)/bin/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation .
	$(call SMOKE,$(NEWEST))
	$(NEWEST)/bin/python -m pytest -n 3 $(QUICK)

clean:
	rm -rf $(VENV) dist build .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
