# Needs make and Python 3.11 or newer; everything else goes into .venv, once.
#   make run             open the journal            make demo       open an invented household
#   make test            what needs nothing more     make check      style and types
#   make test-browser    in Chromium                 make test-postgres  on PostgreSQL
#   make test-reliability  kills, power cuts, floods; .ci/run calls all of them
#   make bench           times on 100,000 brews      make screenshots  every page, four ways
#   make rooms           the plan in figures          make picture    the README's picture
#   make honesty         claims held against planted truths
#   make similar         how right suggestions of alike asks are
#   make wheel           dist/oddcup-*.whl            make test-wheel proves it far from here
#   PORT=9000 picks a port, PYTHON=python3.13 another Python.

PYTHON ?= python3
PORT ?=
KILLS ?= 50
CUTS ?= 40
SECONDS ?= 15
WORKERS ?= 2
PAGES := today brews along tastings tasters side_by_side blind questions sittings claimed groups lookback names readers bags experiments filters recipes changes ranking worksheets gear \
  settings devices taking_out sheets api
BIN := .venv/bin
APP := .venv/app-installed
DEV := .venv/dev-installed
PYTEST := $(BIN)/python -m pytest -q -rs --tb=short
PIP := $(BIN)/python -m pip --disable-pip-version-check -q
INSTALL := $(PIP) install -c constraints.txt

.PHONY: run demo test check bench rooms honesty similar picture screenshots test-browser test-postgres test-reliability
.PHONY: wheel test-wheel migration snapshot lock clean

run: $(APP)
	@$(BIN)/oddcup serve $(if $(PORT),--port $(PORT))

demo: $(APP)
	@$(BIN)/oddcup demo $(if $(PORT),--port $(PORT))

# What needs Chromium, PostgreSQL or servers of its own has a stage of its own below.
test: $(DEV)
	$(PYTEST) -n $(WORKERS) -m "not browser and not postgres and not servers" \
	  --ignore tests/wheel --ignore tests/reliability

check: $(DEV)
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports

rooms: $(DEV)
	@$(BIN)/python -m tests.rooms $(CHECKOUT)

honesty: $(DEV)
	$(BIN)/python -m tests.honesty

similar: $(DEV)
	@$(BIN)/python -m tests.similar

bench: $(DEV)
	$(BIN)/python -m tests.benchmarks

picture: $(DEV)
	$(BIN)/python -m tests.browser.picture

screenshots: $(DEV)
	$(BIN)/python -m tests.browser.screenshots

test-browser: $(DEV)
	$(PYTEST) -n $(WORKERS) tests/browser

# The two left out make SQLite files of their own, whatever the rest runs on.
test-postgres: $(DEV)
	ODDCUP_TEST_POSTGRES=$${ODDCUP_TEST_POSTGRES:-private} $(PYTEST) -n $(WORKERS) \
	  $(addprefix tests/,$(PAGES) journal web migrations moving/test_to_postgresql.py exchange/test_postgresql.py reliability/test_writers.py reliability/test_tabs_at_once.py) \
	  --ignore tests/blind/test_sealed.py --ignore tests/blind/test_killed.py

test-reliability: $(DEV)
	ODDCUP_TEST_KILLS=$(KILLS) ODDCUP_TEST_CUTS=$(CUTS) ODDCUP_TEST_SECONDS=$(SECONDS) \
	  $(PYTEST) -s tests/reliability
	$(PYTEST) -m servers --ignore tests/reliability --ignore tests/browser --ignore tests/wheel tests

wheel: $(APP)
	$(PIP) wheel --no-deps --wheel-dir dist .

# Installs everything once more, so it stands apart from the other tests.
test-wheel: $(DEV)
	$(PYTEST) -s tests/wheel

# After a change of the models: make migration NAME="what it brings", read it, then make snapshot.
migration: $(DEV)
	$(BIN)/python -m tests.migrations.new "$(NAME)"

snapshot: $(DEV)
	$(BIN)/python -m tests.migrations.snapshot

# The newest versions that fit pyproject.toml, for every Python and system at once.
lock: $(DEV)
	$(BIN)/python -m pip -q install uv
	{ echo "# Made by 'make lock' from pyproject.toml: what a fresh install gets."; \
	  $(BIN)/uv pip compile -q --universal --upgrade --python-version 3.11 --all-extras \
	    --no-header --no-annotate pyproject.toml; } > constraints.new
	mv constraints.new constraints.txt

clean:
	rm -rf .venv dist screenshots

$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "Oddcup needs Python 3.11 or newer; $(PYTHON) is $$($(PYTHON) -V 2>&1)." \
	  "Name another: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@$(PYTHON) -m venv .venv || { rm -rf .venv; \
	  echo "Could not make a virtual environment; on Debian: apt install python3-venv"; exit 1; }

$(APP): pyproject.toml constraints.txt | $(BIN)/python
	@echo "Installing Oddcup into .venv; this happens once."
	@$(INSTALL) -e .
	@touch $@

$(DEV): $(APP)
	@echo "Installing what the tests need into .venv; this happens once."
	@$(INSTALL) -e '.[dev,postgres]'
	@touch $@
