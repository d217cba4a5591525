# `make` alone lists what there is. Everything runs in .venv, which is made from the lock when it is first needed.
BIN := $(CURDIR)/.venv/bin
# nbgrader starts its helper `alembic` by name, so the environment's programs must be on the PATH.
IN_ENV := PATH="$(BIN):$$PATH"
LOCK_ENV := .venv-lock
COMPILE = UV_CUSTOM_COMPILE_COMMAND="make lock" $(LOCK_ENV)/bin/uv pip compile --quiet --generate-hashes --no-emit-index-url \
	$(if $(UPGRADE),--upgrade)
IN_BROWSER := --python-version 3.14 --python-platform wasm32-pyodide2024
# uv installs in a quarter of pip's time, but does not know pip's own settings (a mirror, say): then pip does it.
WITH_INSTALLER = sh tools/make_environment.sh $(1) && \
	$(1)/bin/pip install --quiet --disable-pip-version-check --require-hashes --requirement tools/installer.lock
FROM_LOCK := --quiet --require-hashes --requirement requirements.lock

.PHONY: help demo lab site test thorough speed exchange messages exercises format lock clean
.DELETE_ON_ERROR:

help:  ## list these commands
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-10s %s\n", $$1, $$2 }' Makefile

demo: .venv/ready  ## issue, take in, mark and report a demo class
	$(IN_ENV) pharmcalc demo

lab: .venv/ready  ## open the lessons in JupyterLab
	$(IN_ENV) JUPYTER_CONFIG_PATH="$(CURDIR)/tools/lab" jupyter lab

site: .venv/ready  ## build the browser edition into site/ (needs npm)
	@$(IN_ENV) python -m tools.site

test: .venv/ready  ## run every check: style, types, tests, lessons, grading, browser
	$(IN_ENV) python -m tools.check

thorough: .venv/ready  ## run the tests with far more random examples
	$(IN_ENV) PHARMCALC_PROFILE=thorough python -m tools.check

speed: .venv/ready  ## print the benchmarks, one line a figure: name value unit
	@$(IN_ENV) python -m tools.speed

exchange: .venv/ready  ## try nbgrader's exchange with three system users of this machine (needs root)
	@$(IN_ENV) python -m tools.exchange

messages: .venv/ready  ## collect what students read, bring each language in line, compile it
	@$(IN_ENV) python -m tools.messages

exercises: .venv/ready  ## make exercises/ from solutions/
	$(IN_ENV) pharmcalc exercises

format: .venv/ready  ## lay out code and notebooks in the house style
	$(IN_ENV) ruff check --fix --exit-zero --quiet
	$(IN_ENV) ruff format --quiet
	$(IN_ENV) python -m tools.notebooks

lock: $(LOCK_ENV)/ready  ## bring the locks in line with what is asked for (UPGRADE=1: newest versions)
	$(COMPILE) tools/installer.in --universal --python-version 3.11 --output-file tools/installer.lock
	$(COMPILE) pyproject.toml --all-extras --universal --python-version 3.11 --output-file requirements.lock
	$(COMPILE) tools/site/requirements.in --universal --python-version 3.11 --output-file tools/site/requirements.lock
	$(COMPILE) tools/site/wheels.in $(IN_BROWSER) --output-file tools/site/wheels.lock \
		$(foreach name,jedi parso jupyterlab-widgets widgetsnbextension,--no-emit-package $(name))
	$(COMPILE) tests/site/wheels.in $(IN_BROWSER) --output-file tests/site/wheels.lock \
		--constraint tools/site/wheels.lock --no-emit-package pygments

clean:  ## remove the environments and all caches (never a class's work)
	rm -rf .venv .venv-lock .pytest_cache .mypy_cache .ruff_cache .hypothesis build dist site
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

# A changed lock means a new environment; a changed pyproject.toml only a new installation of the project itself.
.venv/ready: pyproject.toml .venv/locked
	@.venv/bin/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@

.venv/locked: requirements.lock tools/installer.lock
	@$(call WITH_INSTALLER,.venv)
	@echo "Installing what the course needs into .venv (once, a minute or so) ..."
	@.venv/bin/uv pip install --python .venv/bin/python --compile-bytecode $(FROM_LOCK) || \
		.venv/bin/pip install --disable-pip-version-check $(FROM_LOCK)
	@touch $@

$(LOCK_ENV)/ready: tools/installer.lock
	@$(call WITH_INSTALLER,$(LOCK_ENV))
	@touch $@
