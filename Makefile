# Two things to do: `make demo` and `make test`. Both make .venv first, once.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready

.PHONY: demo test lint types contract tests browser golden pictures benchmark clean

demo: $(READY)
	$(BIN)/polypocket demo

test: lint types contract tests

lint: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(READY)
	$(BIN)/mypy

contract: $(READY)
	$(BIN)/lint-imports

tests: $(READY) browser
	$(BIN)/pytest -n 2 -q

# Rewrite the expected programs; read the difference before it is committed.
golden: $(READY)
	$(BIN)/python tests/golden.py

# The browser that the sheets are tested in; found or installed.
browser: $(READY)
	.ci/browser

# Take the pictures that README shows anew; look at them before they are committed.
pictures: $(READY) browser
	$(BIN)/python -m tests.sheet.pictures

benchmark: $(READY)
	$(BIN)/python benchmarks/machine_time.py
	$(BIN)/python benchmarks/speed.py
	$(BIN)/python benchmarks/size.py

$(READY): pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[dev]'
	touch $@

clean:
	rm -rf $(VENV) build dist *.egg-info
