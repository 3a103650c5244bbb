# make book      every example's book into out/
# make test      all tests; ARGS="-k word" for a part
# make outside   general tools for the checks against published data; names what is missing
# make long      300 random harnesses drawn, read back and spoiled; crossings and bends of circuit pages beside Graphviz's.
#                A run that was stopped goes on where it was; HARNESSES=60 for fewer. Its figures: out/long.txt
# make bench     the measured limits as a table
# make clean     removes what the others made
#
# Needs Python 3.11 or newer; PYTHON=python3.12 names another one.

PYTHON ?= python3
HARNESSES ?= 300
BIN := .venv/bin
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt

.DEFAULT_GOAL := book
.PHONY: book test outside long bench clean

# The environment: a stamp for what `book` needs, another for what the tests need besides.
.venv/.installed: pyproject.toml constraints.txt
	@command -v "$(PYTHON)" >/dev/null || { \
	  echo "harnessdoc needs Python 3.11 or newer; there is no '$(PYTHON)' here. Install it, or name it: make PYTHON=python3.12"; exit 1; }
	@"$(PYTHON)" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "harnessdoc needs Python 3.11 or newer; '$(PYTHON)' is $$("$(PYTHON)" --version 2>&1). Name another one: make PYTHON=python3.12"; exit 1; }
	@test -x $(BIN)/python || "$(PYTHON)" -m venv .venv || { rm -rf .venv; \
	  echo "'$(PYTHON)' cannot make an environment; on Debian: apt install python3-venv"; exit 1; }
	@echo "installing into .venv"
	@$(INSTALL) -e '.[overview]'
	@touch $@

.venv/.installed-for-tests: .venv/.installed
	@echo "installing into .venv what the tests need"
	@$(INSTALL) -e '.[test]'
	@touch $@

book: .venv/.installed
	@set -e; for folder in examples/*/; do \
	  name=$$(basename "$$folder"); \
	  test -f "examples/$$name/$$name.yaml" || { echo "examples/$$name/$$name.yaml is missing"; exit 1; }; \
	  $(BIN)/harnessdoc book "examples/$$name/$$name.yaml" --out "out/$$name"; \
	done

test: .venv/.installed-for-tests
	@$(BIN)/python -m pytest -n auto --dist loadfile $(ARGS)

# Where cairo and ngspice can be installed without asking, they are; elsewhere the words say how.
outside: .venv/.installed-for-tests
	@set -e; cairo_loads() { $(BIN)/python -c 'import cairocffi' 2>/dev/null; }; \
	if cairo_loads; then echo "cairo: present"; \
	elif test -f /etc/debian_version && test "$$(id -u)" = 0; then \
	  apt-get update -qq; DEBIAN_FRONTEND=noninteractive apt-get install -y -qq libcairo2; \
	  cairo_loads || { echo "cairo: installed, but it does not load"; exit 1; }; echo "cairo: installed"; \
	else echo "cairo: missing. Debian: apt install libcairo2; macOS: brew install cairo; Windows: the GTK 3 runtime"; fi
	@set -e; if command -v ngspice >/dev/null; then echo "ngspice: present"; \
	elif test -f /etc/debian_version && test "$$(id -u)" = 0; then \
	  { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq ngspice; } || true; \
	  if command -v ngspice >/dev/null; then echo "ngspice: installed"; else echo "ngspice: could not be installed; its checks are listed as not run"; fi; \
	else echo "ngspice: missing. Debian: apt install ngspice; macOS: brew install ngspice; Windows: its installer"; fi
	@if test -z "$$HARNESSDOC_OUTSIDE"; then echo "published data: none; HARNESSDOC_OUTSIDE names its folder"; \
	elif test -d "$$HARNESSDOC_OUTSIDE"; then echo "published data:" $$(ls "$$HARNESSDOC_OUTSIDE"); \
	else echo "published data: HARNESSDOC_OUTSIDE names no folder: $$HARNESSDOC_OUTSIDE"; exit 1; fi

long: .venv/.installed-for-tests
	@PYTHONPATH=tests nice -n 15 $(BIN)/python -m diagram.long_run --harnesses $(HARNESSES)
	@PYTHONPATH=tests nice -n 15 $(BIN)/python -m diagram.dot_reference

bench: .venv/.installed-for-tests
	@$(BIN)/python tests/benchmarks/bench.py

clean:
	rm -rf .venv dist build .pytest_cache .hypothesis
	find harnessdoc tests -name __pycache__ -type d -prune -exec rm -rf {} +
	@for folder in examples/*/; do rm -rf "out/$$(basename "$$folder")"; done
