# Every target makes .venv from the hash-pinned files when it is missing or older than they are.
# POSIX make and a Python 3.11 or later with venv are all that is needed.

PYTHON ?= python3
BIN := .venv/bin
# What ships, and what tests need besides, each with the time it was installed.
SITE := .venv/site-installed
DEV := .venv/dev-installed
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes
WORKERS ?= 2

.PHONY: demo run test test-postgres bench lint requirements

demo: $(SITE)
	$(BIN)/python manage.py demo

# A collection of your own, apart from the demo; prints a one-time link until its keeper has a password.
run: export REGISTRY_VAR ?= var/own
run: $(SITE)
	$(BIN)/python manage.py migrate --verbosity 0
	$(BIN)/python manage.py keeper --first-only
	$(BIN)/python manage.py runserver --noreload 127.0.0.1:8000

lint: $(DEV)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python manage.py makemigrations --check --dry-run

# The browser comes last: a demo and a browser a worker, and whole files, since the tests of a file
# walk through one served demo. They keep their order: what fails once fails again.
test: lint
	$(BIN)/pytest -q -n $(WORKERS) -m "not browser"
	$(BIN)/pytest -q -p no:randomly -n $(WORKERS) --dist loadfile -m browser

# What depends on the engine; the server is found by the PG… variables, as pg_virtualenv sets them.
test-postgres: $(DEV)
	REGISTRY_DATABASE=$${REGISTRY_DATABASE:-postgresql://} $(BIN)/pytest -q -m "not browser" $(wildcard tests/access tests/ledger)

bench: $(DEV)
	$(BIN)/python -m tests.benchmarks

# The development file first, then what ships is held to it: what is tested is what ships.
requirements:
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --quiet requirements-dev.in -o requirements-dev.txt
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --quiet requirements.in -c requirements-dev.txt -o requirements.txt
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --quiet requirements-engines.in -o requirements-engines.txt

.venv/pyvenv.cfg:
	@$(PYTHON) -c 'import sys; sys.exit(f"Python 3.11 or later is needed, this is {sys.version}" if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv .venv

$(SITE): requirements.txt | .venv/pyvenv.cfg
	@echo 'Installing, about a minute…'
	$(PIP) -r requirements.txt
	@touch $@

$(DEV): requirements-dev.txt | .venv/pyvenv.cfg
	$(PIP) -r requirements-dev.txt
	@touch $@
