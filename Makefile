# A fresh machine needs Python 3.11 or newer and make; everything else goes into .venv.
PYTHON ?= python3
BIN := .venv/bin
DEMO ?= demo/valley-inn

.PHONY: demo pictures docs wheel test lowest lint bench fuzz orchards crashes mutate clean

demo: .venv/ready
	rm -rf $(DEMO)
	$(BIN)/topwire new $(DEMO) --example valley-inn
	$(BIN)/topwire plan $(DEMO)

# The pictures of README.md, drawn from the demonstration: make demo pictures
pictures: .venv/ready-test
	$(BIN)/python docs/pictures/make.py $(DEMO)
	$(BIN)/python docs/pictures/pages.py $(DEMO)

# The site, from code and texts: every block in it is run while it is built. Open site/index.html
docs: .venv/ready
	$(BIN)/python -m pip install --quiet --editable '.[docs]'
	$(BIN)/python docs/site/make.py site

# Wheel and sdist into dist/, and the wheel tried where there is no source.
wheel: .venv/ready
	$(BIN)/python -m pip install --quiet hatchling
	rm -rf dist && $(BIN)/python -m hatchling build
	$(PYTHON) -m venv dist/tried && dist/tried/bin/python -m pip install --quiet dist/*.whl
	cd dist && tried/bin/topwire new orchard --example garden-fence && tried/bin/topwire plan orchard

test: .venv/ready-test
	$(BIN)/python -m pytest -n 2 --dist worksteal

# The tests with the oldest version of each package that pyproject.toml allows, in a place of their own.
LOW := .lowest/bin
lowest:
	rm -rf .lowest && $(PYTHON) -m venv .lowest
	$(LOW)/python -m pip install --quiet uv
	$(LOW)/uv pip install --quiet --python $(LOW)/python --compile-bytecode --resolution lowest-direct \
	  --editable '.[test,online,postgres,many]'
	$(LOW)/python -m pytest -n 2 --dist worksteal

lint: .venv/ready-test
	$(BIN)/ruff check src tests benchmarks
	$(BIN)/ruff format --check src tests benchmarks
	$(BIN)/mypy

bench: .venv/ready-test
	@for script in benchmarks/bench_*.py; do echo "== $$script"; $(BIN)/python $$script || exit 1; done

CASES ?= 20000
SEED ?= 1
fuzz: .venv/ready-test
	cd tests && ../$(BIN)/python -m fuzz.run $(CASES) --seed $(SEED)

ORCHARDS ?= 200
orchards: .venv/ready-test
	cd tests && ../$(BIN)/python -m fuzz.whole $(ORCHARDS) --seed $(SEED)

# 200 writers of the records killed at random moments, two at a time.
crashes: .venv/ready-test
	$(BIN)/python benchmarks/bench_records.py --kills

# Of the modules that tell, only what cautions (docs/mutation.md).
AT_RISK := topwire.phenology.frost* topwire.phenology.injury* topwire.phenology.judgement* \
  topwire.phenology.telling.x__cold* topwire.choice.pollination* topwire.choice.telling.x__food* \
  topwire.layout.pollen.* topwire.nursery.telling.x_order_notices* topwire.trellis.anchors* \
  topwire.trellis.holding* topwire.trellis.post.* topwire.trellis.telling.x__standing_cautions* \
  topwire.trellis.wire.* topwire.water.quality*
mutate: .venv/ready-test
	$(BIN)/python -m pip install --quiet --editable '.[mutate]'
	$(BIN)/mutmut run $(AT_RISK)
	$(BIN)/mutmut results

.venv/ready: pyproject.toml
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --editable .
	touch $@

.venv/ready-test: .venv/ready
	$(BIN)/python -m pip install --quiet --editable '.[test,lint]'
	touch $@

clean:
	rm -rf .venv .lowest demo site
