# make run   sets up, makes the demo herd if there is none, and serves it
# make test  sets up (its own browser too) and runs every check
PYTHON ?= python3
UV     := .tools/bin/uv
BIN    := .venv/bin
PORT   ?= 8420
export UV_PYTHON_DOWNLOADS = never
export UV_LINK_MODE = copy

.PHONY: setup run test checks unit browser-setup browser lock bench screenshots clean

setup: .venv/.ready

$(UV):
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "cavyround needs Python 3.11 or newer; this is " + sys.version)'
	$(PYTHON) -m venv .tools
	.tools/bin/python -m pip install --quiet --disable-pip-version-check 'uv>=0.9,<1'

.venv/.ready: $(UV) requirements.lock pyproject.toml
	$(UV) venv --quiet --allow-existing --python $(PYTHON) .venv
	$(UV) pip sync --quiet --require-hashes --python .venv requirements.lock
	$(UV) pip install --quiet --python .venv --no-deps --editable .
	touch $@

run: setup
	$(BIN)/cavyround demo --data demo-data --if-missing
	$(BIN)/cavyround serve --data demo-data --port $(PORT)

test: setup browser-setup checks unit browser

checks: setup
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/cavyround knowledge --check

unit: setup
	PYTHONHASHSEED=0 $(BIN)/pytest -m 'not browser' -n 2 --dist loadfile

browser-setup:
	@command -v chromium >/dev/null 2>&1 || sh tests/browser/install-chromium

browser: setup browser-setup
	$(BIN)/pytest -m browser

bench: setup
	$(BIN)/python -m benchmarks

# Pins every package with its hashes; no index is named, so any mirror serves.
lock: $(UV)
	$(UV) pip compile --quiet --universal --python-version 3.11 --generate-hashes \
	  --no-emit-index-url --no-header --group dev --output-file requirements.lock pyproject.toml

clean:
	rm -rf .venv .tools
