# Halfturn: `make run` builds the page and serves it; `make test` proves it in Chromium. `make help` lists the rest.

# The one place for tool versions. wasm-bindgen's tool must equal the library, so its version is read from Cargo.lock.
TRUNK        := 0.21.14
BINARYEN     := 132
HTTP_SERVER  := 14.1.1
AXE          := 4.14.1
LIGHTHOUSE   := 12.2.3
SCIPY        := 1.15.3
WASM_BINDGEN := $(shell sed -n '/^name = "wasm-bindgen"$$/{n;s/version = "\(.*\)"/\1/p}' Cargo.lock)
TARGET       := wasm32-unknown-unknown

# Tools are built to be there soon, not to run fast: each runs for seconds.
SOON := CARGO_PROFILE_RELEASE_OPT_LEVEL=0 CARGO_PROFILE_RELEASE_LTO=off CARGO_PROFILE_RELEASE_CODEGEN_UNITS=16 CARGO_PROFILE_RELEASE_DEBUG=0

ADDRESS ?= 127.0.0.1
PORT    ?= 8080

TOOLS := $(CURDIR)/.tools
export PATH := $(TOOLS)/bin:$(TOOLS)/node_modules/.bin:$(PATH)
export TRUNK_SKIP_VERSION_CHECK := true

# npm removes what it is not told of, so each of its calls names all that stays.
NPM       := npm install --prefix $(TOOLS) --no-save --no-audit --no-fund --loglevel=error
NPM_TOOLS := binaryen@$(BINARYEN).0.0 http-server@$(HTTP_SERVER)

# What the pages are made of: they are built again when some of it is newer. A folder is newer when a file of it came or went.
SOURCES := Makefile Cargo.toml Cargo.lock rust-toolchain.toml Trunk.toml index.html $(shell find src public .ci)

SUDO := $(shell [ "$$(id -u)" = 0 ] || echo sudo)

VERSION := $(shell sed -n 's/^version = "\(.*\)"/\1/p' Cargo.toml)

.PHONY: help run test check fmt clippy clippy-wasm docs docs-wasm build dist size screens icons latency reloads audit solve second-opinion tools browser-tools clean

help: ## this list
	@sed -n 's/^\([a-z-]*\):.*## /\1\t/p' $(MAKEFILE_LIST) | expand -t 16

run: build ## build the release pages, serve them on loopback and print the address
	@echo "Halfturn: the release pages are served at http://$(ADDRESS):$(PORT)/ (Ctrl-C stops it)"
	@NODE_NO_WARNINGS=1 http-server dist -a $(ADDRESS) -p $(PORT) -c0 -d false -s

test: tools browser-tools ## everything: check, native tests, release build, size, browser tests
	@.ci/test

check: fmt clippy clippy-wasm docs docs-wasm ## formatting, clippy and rustdoc without a warning, natively and for the browser

fmt:
	cargo fmt --check

clippy:
	cargo clippy --all-targets --all-features -- -D warnings

clippy-wasm: tools
	cargo clippy --target $(TARGET) --lib --bins -- -D warnings

docs docs-wasm: export RUSTDOCFLAGS := -D warnings
docs:
	cargo doc --no-deps --lib

docs-wasm: tools
	cargo doc --no-deps --lib --target $(TARGET)

build: tools dist/index.html ## the release pages in dist/

dist/index.html: $(SOURCES) | tools
	trunk build --release
	@touch $@

dist: build ## the release pages to upload: the folder dist/, and the same as a zip in target/
	@command -v zip >/dev/null || { \
		echo "Installing zip with apt-get: it packs the pages"; \
		$(SUDO) apt-get update -q && $(SUDO) env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends zip; }
	@rm -f target/halfturn-$(VERSION).zip && cd dist && zip -qrX ../target/halfturn-$(VERSION).zip .
	@echo "To upload to any folder of a static host: dist/, or what is in target/halfturn-$(VERSION).zip"

size: ## gzip bytes of each page's first load, held to the budget
	@node .ci/size.mjs

screens: build browser-tools ## the pictures in the README
	cargo test --features browser --test browser -- --ignored screens

icons: browser-tools ## the icons of the installed page in public/icons, from public/icon.svg
	node .ci/icons.mjs

latency: build browser-tools ## times a keystroke to its answer and to the new plan, CPU slowed four times
	cargo test --features browser --test browser -- --ignored --nocapture keystrokes

audit: build browser-tools ## axe over every page and state, Lighthouse over every page, held to the budgets
	@[ -e $(TOOLS)/node_modules/axe-core/package.json ] && [ -e $(TOOLS)/node_modules/lighthouse/package.json ] || { \
		echo "Installing axe-core $(AXE) and Lighthouse $(LIGHTHOUSE) into .tools/: they audit the pages"; \
		$(NPM) $(NPM_TOOLS) axe-core@$(AXE) lighthouse@$(LIGHTHOUSE); }
	cargo test --features browser --test browser -- --ignored --nocapture --test-threads=1 audit

solve: tools browser-tools ## times a solve of a corner, natively and in wasm
	mkdir -p target/solve && cp tests/browser/solve/index.html target/solve
	cargo build --target $(TARGET) --example solve --profile bench
	cp target/$(TARGET)/release/examples/solve.wasm target/solve/fast.wasm
	cargo build --target $(TARGET) --example solve --release
	wasm-opt $(shell sed -n 's/.*data-wasm-opt="\([^"]*\)" data-wasm-opt-params="\([^"]*\)".*/-O\1 \2/p' index.html) \
		target/$(TARGET)/release/examples/solve.wasm --output target/solve/small.wasm
	cargo test --profile bench --features browser --test browser -- --ignored --nocapture solves

second-opinion: PYTHON := $(TOOLS)/python/bin/python
second-opinion: ## solves random corners with SciPy too, and compares answers and times
	@[ "$$($(PYTHON) -c 'import scipy; print(scipy.__version__)' 2>/dev/null)" = "$(SCIPY)" ] || { \
		echo "Installing SciPy $(SCIPY) and NumPy, which it needs, into .tools/python: the other solver"; \
		python3 -m venv $(TOOLS)/python && $(PYTHON) -m pip install --quiet --disable-pip-version-check scipy==$(SCIPY); }
	@mkdir -p target/second-opinion
	@cargo run --quiet --profile bench --example corner_cases 50 > target/second-opinion/corners.jsonl
	@$(PYTHON) tests/second_opinion/linkage.py target/second-opinion/corners.jsonl $(STORE)

reloads: build browser-tools ## reloads the page 200 times at random moments: nothing taken may be lost
	cargo test --features browser --test browser -- --ignored --nocapture two_hundred

# Each tool is asked for its version, and installed only when the answer differs.
tools: ## trunk, wasm-bindgen, wasm-opt and http-server in .tools/, and the wasm32 target
	@rustup target list --installed | grep -qx $(TARGET) || { \
		echo "Installing rustup's $(TARGET) target: it compiles the page"; \
		rustup target add $(TARGET); }
	@cargo fmt --version >/dev/null 2>&1 && cargo clippy --version >/dev/null 2>&1 || { \
		echo "Installing rustfmt and clippy: they check the code"; \
		rustup component add rustfmt clippy; }
	@cargo fetch --locked --quiet # trunk builds without the network
	@[ "$$(trunk --version 2>/dev/null)" = "trunk $(TRUNK)" ] || { \
		echo "Installing trunk $(TRUNK) into .tools/: it builds and serves the page (some minutes)"; \
		$(SOON) cargo install --locked --root $(TOOLS) --version $(TRUNK) trunk; }
	@[ "$$(wasm-bindgen --version 2>/dev/null)" = "wasm-bindgen $(WASM_BINDGEN)" ] || { \
		echo "Installing wasm-bindgen $(WASM_BINDGEN) into .tools/: it joins the wasm to the page (some minutes)"; \
		$(SOON) cargo install --root $(TOOLS) --version $(WASM_BINDGEN) wasm-bindgen-cli; }
	@[ "$$(wasm-opt --version 2>/dev/null)" = "wasm-opt version $(BINARYEN) (version_$(BINARYEN))" ] && [ "$$(http-server --version 2>/dev/null)" = "v$(HTTP_SERVER)" ] || { \
		echo "Installing binaryen $(BINARYEN) and http-server $(HTTP_SERVER) into .tools/: wasm-opt makes the pages smaller, http-server serves them"; \
		$(NPM) $(NPM_TOOLS); }

browser-tools:
	@missing=; for need in chromium:chromium chromedriver:chromium-driver pdftotext:poppler-utils; do \
		command -v $${need%%:*} >/dev/null || missing="$$missing $${need##*:}"; done; \
	[ -z "$$missing" ] || { \
		echo "Installing$$missing with apt-get: the tests drive the page in Chromium and read its printed PDF"; \
		$(SUDO) apt-get update -q && $(SUDO) env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $$missing fonts-liberation; }

clean: ## remove what was built; .tools/ stays
	cargo clean
	rm -rf dist
