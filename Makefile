# Every target makes the virtual environment it needs; nothing has to be set up before.
# A line with two hashes behind a target is its help text.

PYTHON ?= $(firstword $(foreach name,python3.13 python3.12 python3.11 python3 python,$(call works,$(name))))
# A command may be on the path and still not run, so each is tried.
works = $(shell $(1) -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1 && echo $(1))

VENV := .venv
BIN := $(VENV)/bin
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check --editable
CORE := $(VENV)/.stamp-core
ALL := $(VENV)/.stamp-all
# One process a core; a file's tests stay together, as they share what is slow to make, and files
# keep the order of tests/conftest.py.
SIDE_BY_SIDE := -n auto --dist loadfile --no-loadscope-reorder

.DEFAULT_GOAL := help
.PHONY: help preview test cover fast fuzz lint browser bench evidence calibration suspects data curves notebooks lab licences handout clean

help: ## show this list
	@awk -F ':.*## ' '/^[a-z]+:.*## / {printf "make %-11s %s\n", $$1, $$2}' Makefile

preview: $(CORE) ## the main job on one example: a base break on fine, damp hair
	$(BIN)/lift preview --level 7 --volume 10 --minutes 5 --fibre fine --damp --mixture base-break

test: $(ALL) browser ## every test
	$(BIN)/python -m pytest $(SIDE_BY_SIDE)

cover: $(ALL) browser ## every test, and what of the code they run: half as long again
	$(BIN)/python -m pytest $(SIDE_BY_SIDE) --cov

fast: $(ALL) ## the tests that take no longer than a few seconds each
	$(BIN)/python -m pytest $(SIDE_BY_SIDE) -m "not slow"

lint: $(ALL) ## ruff and mypy
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(ALL) ## how long the main job, its parts and the page take (a minute); BASE=folder: against another checkout
	$(BIN)/python -m lift.make.bench $(BASE)
	$(if $(BASE),,$(BIN)/python -m lift.make.bench_page)

calibration: $(ALL) ## whether intervals are as wide as they say, on invented laboratories (a quarter of an hour)
	@mkdir -p build
	$(BIN)/lift calibration --plot build/calibration.png

suspects: $(ALL) ## whether mistakes in swatch files are caught, in 300 invented laboratories (a quarter of an hour)
	$(BIN)/python -m lift.make.suspects_study

fuzz: $(ALL) ## call every public name 100,000 times with what it does not take (some minutes)
	$(BIN)/python -W ignore tests/fuzz_names.py 100000

evidence: $(CORE) ## every check against the outside by its standing, and what the model cannot say
	$(BIN)/lift evidence

data: $(CORE) ## make the files of lift/data anew (some minutes)
	$(BIN)/python -m lift.make.weights
	$(BIN)/python -m lift.make.hues
	$(BIN)/python -m lift.make.adaptation
	$(BIN)/python -m lift.make.charts
	$(BIN)/python -m lift.make.curves

curves: $(CORE) ## make the default curve set anew, with the draws that it has (half a minute)
	$(BIN)/python -m lift.make.curves --keep-draws

notebooks: $(ALL) ## run every notebook from a clean kernel and save what it shows; then what README shows
	$(BIN)/python -m lift.make.notebooks
	$(BIN)/python -m lift.make.readme

lab: $(ALL) ## open the notebooks
	$(BIN)/jupyter lab notebooks

licences: $(ALL) ## the licence of every package that lift needs, and that those need
	$(BIN)/python -m lift.make.licences

handout: $(CORE) ## one A4 page for a class, build/handout.pdf
	mkdir -p build
	$(BIN)/lift handout -o build/handout.pdf

browser:
	@command -v chromium >/dev/null || { \
	    root=; [ "$$(id -u)" = 0 ] || root='sudo -n'; \
	    $$root apt-get update -qq && \
	    $$root env DEBIAN_FRONTEND=noninteractive \
	        apt-get install -y -qq --no-install-recommends chromium; \
	} >/dev/null 2>&1 || echo "chromium is missing and could not be installed: tests that need a browser will be skipped"

clean: ## remove everything that can be made anew
	rm -rf $(VENV) build dist .coverage .hypothesis .mypy_cache .pytest_cache .ruff_cache
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

$(VENV)/.stamp-venv:
	@[ -n "$(PYTHON)" ] || { echo "no Python 3.11 or newer runs here; try: make PYTHON=/path/to/python" >&2; exit 1; }
	$(PYTHON) -m venv $(VENV)
	@touch $@

$(CORE): pyproject.toml | $(VENV)/.stamp-venv
	$(INSTALL) .
	@touch $@

$(ALL): pyproject.toml | $(VENV)/.stamp-venv
	$(INSTALL) ".[page,tls,photo,heic,raw,sheet,frames,notebooks,research,test]"
	@touch $(CORE) $@
