# The ways into this tree. "make" alone lists them.

BINARY := bin/rootledger
BUILD := env CGO_ENABLED=1 go build -trimpath -o $(BINARY) ./server
# With -trimpath as in BUILD, all of these share one compiled SQLite.
VET := env CGO_ENABLED=1 go vet -trimpath ./...
TEST := env CGO_ENABLED=1 go test -trimpath -timeout 40m ./...
SLOW := (the first time, SQLite is compiled here: about 100 s)

# How often "make crash" kills the server.
CYCLES ?= 20

# How many days "make simulate" plays, and which is the first.
SEEDS ?= 2000
START ?= 1

.DEFAULT_GOAL := help
.PHONY: help build run bytes test practice bench simulate crash soak vet screenshots

help: ## list these targets
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-11s %s\n", $$1, $$2 }' $(firstword $(MAKEFILE_LIST))

build: ## build the app and the one binary that serves it, bin/rootledger
	@$(SHELL_TOOLS); need_build; need_node; \
	node_packages; build_app; \
	watched "building the server $(SLOW)" $(BUILD)

run: build ## build, then serve with everything kept under data/, and play practice days
	@$(BINARY) serve --data data --practice

bytes: ## build the app and print what it weighs, beside its budgets
	@$(SHELL_TOOLS); need_build; need_node; \
	node_packages; build_app -bytes

test: ## check types and format, vet, build and run every test, natively and as WASM
	@$(SHELL_TOOLS); need_build; need_node; need_bash; \
	node_packages; check_scripts; \
	build_app; \
	check_format; \
	want_chromium; \
	want_webkit; \
	want_strace; \
	watched "vetting every package $(SLOW)" $(VET); \
	watched "building the server" $(BUILD); \
	watched "running every test natively" $(TEST); \
	wasm_tests; \
	echo "all tests passed"

practice: build ## build, then play a made-up session 600 times as fast as life
	@$(BINARY) practice --speed 600 --seed 1

bench: ## measure, natively
	@CGO_ENABLED=1 go run -trimpath ./tests/bench

simulate: ## play days of the real engine with faults (SEEDS=2000 START=1)
	@CGO_ENABLED=1 go run -trimpath ./tests/simulation/simulate -seeds $(SEEDS) -start $(START)

crash: ## kill the real server over and over while phones count (CYCLES=20)
	@CRASH_CYCLES=$(CYCLES) CGO_ENABLED=1 go test -trimpath -count=1 -timeout 60m -run 'TestKilled$$' -v ./tests/crash/

soak: ## the long form of every crash, load, day and touch test, over an hour with a table at its end
	@$(SHELL_TOOLS); need_build; need_node; want_strace; want_chromium; \
	node_packages; build_app; \
	SOAK=1 CGO_ENABLED=1 go test -trimpath -count=1 -timeout 30m -v -run 'TestTwoFingers|TestWallOverADay' ./tests/e2e/; \
	SOAK=1 CGO_ENABLED=1 go test -trimpath -count=1 -timeout 180m -v ./tests/crash/

screenshots: ## picture every screen in five sizes, light and dark: screenshots/index.html; or with DAY=1 the wall through that made-up day: strip.html
	@$(SHELL_TOOLS); need_build; need_node; need_chromium; \
	node_packages; build_app; \
	echo "picturing $(if $(DAY),the wall through a day,every screen), one line a scene $(SLOW)"; \
	env CGO_ENABLED=1 go run -trimpath ./tests/e2e/screenshots -out screenshots $(if $(DAY),-day $(DAY)); \
	echo "the pictures lie in screenshots/, open screenshots/$(if $(DAY),strip,index).html"

vet: ## vet every package
	@$(SHELL_TOOLS); need_build; \
	watched "vetting every package $(SLOW)" $(VET)

# What the recipes above are written in: POSIX shell functions, any of which
# ends its recipe by failing.
define SHELL_TOOLS
set -eu; \
missing() { echo "$$1" >&2; exit 1; }; \
need_build() { \
	command -v go >/dev/null || \
		missing "Go is missing: install Go 1.26 or later (apt-get install golang-go, if it is recent enough)"; \
	command -v gcc >/dev/null || \
		missing "gcc is missing and SQLite needs it: apt-get install gcc libc6-dev"; \
	echo "#include <stdlib.h>" | gcc -E - >/dev/null 2>&1 || \
		missing "the C library headers are missing and SQLite needs them: apt-get install libc6-dev"; \
}; \
need_node() { \
	command -v node >/dev/null || \
		missing "node is missing, and the screens are checked and the WASM tests run with it: apt-get install nodejs npm"; \
	command -v npm >/dev/null || \
		missing "npm is missing, and it fetches what the screens are made with: apt-get install npm"; \
}; \
need_bash() { \
	command -v bash >/dev/null || \
		missing "bash is missing and the WASM tests start through it: apt-get install bash"; \
}; \
chromium_found() { \
	for browser in chromium-headless-shell chromium chromium-browser google-chrome; do \
		! command -v $$browser >/dev/null || return 0; \
	done; \
	return 1; \
}; \
need_chromium() { \
	chromium_found || missing "Chromium is missing, and the screens are pictured in it: apt-get install chromium"; \
}; \
apt_install() { \
	[ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null || return 0; \
	watched "updating the list of packages" apt-get update -qq && \
		watched "installing $$1 with apt-get" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $$1 || \
		echo "apt-get could not install $$1, see above"; \
}; \
want_strace() { \
	! command -v strace >/dev/null || return 0; \
	echo "strace is missing, and a disk that fails is tested with it"; \
	apt_install strace; \
	! command -v strace >/dev/null || return 0; \
	echo "strace is missing, so the tests of a disk that fails are SKIPPED; to run them: apt-get install strace"; \
}; \
want_chromium() { \
	! command -v chromium-headless-shell >/dev/null || return 0; \
	echo "Chromium without windows is missing, and the screens are tested in it in half the time"; \
	apt_install chromium-headless-shell; \
	! chromium_found || return 0; \
	echo "Chromium is missing, and the screens are tested in it"; \
	apt_install chromium; \
	! chromium_found || return 0; \
	[ "$${CI:-}" != true ] || \
		missing "Chromium is missing and CI is true, so the screens can not go untested: apt-get install chromium"; \
	echo "Chromium is missing, so the tests of the screens are skipped; to run them: apt-get install chromium"; \
}; \
webkit_found() { command -v WebKitWebDriver >/dev/null && command -v Xvfb >/dev/null; }; \
want_webkit() { \
	! webkit_found || return 0; \
	echo "WebKitGTK is missing, and a phone is tested in it too"; \
	apt_install "webkit2gtk-driver xvfb"; \
	! webkit_found || return 0; \
	if [ "$${CI:-}" = true ] && [ "$${WEBKIT:-}" != none ] && [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
		missing "WebKitGTK is missing and CI is true, so a phone can not go untested in it: apt-get install webkit2gtk-driver xvfb, or WEBKIT=none where there is none"; \
	fi; \
	export WEBKIT=none; \
	echo "WebKitGTK is missing and can not be installed here, so the test of a phone in it is SKIPPED; to run it: apt-get install webkit2gtk-driver xvfb"; \
}; \
watched() { \
	echo "$$1"; shift; fifths=0; \
	"$$@" & child=$$!; \
	trap 'kill $$child 2>/dev/null; exit 130' INT TERM HUP; \
	while kill -0 $$child 2>/dev/null; do \
		sleep 0.2; fifths=$$((fifths + 1)); \
		[ $$((fifths % 75)) -ne 0 ] || echo "  still at it after $$((fifths / 5)) s"; \
	done; \
	trap - INT TERM HUP; \
	wait $$child; \
}; \
node_packages() { \
	cmp -s pwa/package-lock.json pwa/node_modules/.fetched || { \
		watched "fetching what the screens are made with (once)" \
			npm ci --prefix pwa --ignore-scripts --prefer-offline --no-audit --no-fund --fetch-retries=1 --loglevel=error || \
			missing "npm could not fetch what pwa/package-lock.json lists, see above: the first build needs a network; once there is one, run this again"; \
		cp pwa/package-lock.json pwa/node_modules/.fetched; \
	}; \
}; \
build_app() { \
	watched "building the app" go run ./pwa/build "$$@"; \
}; \
check_scripts() { \
	watched "checking the types of every script" pwa/node_modules/.bin/tsc -b pwa; \
	( cd pwa && watched "checking the style of every script" node_modules/.bin/biome check --error-on-warnings . ); \
}; \
check_format() { \
	echo "checking the format of every Go file"; \
	unformatted=$$(find . \( -name node_modules -o -name .git \) -prune -o -name '*.go' \
		-exec "$$(go env GOROOT)/bin/gofmt" -l {} +); \
	[ -z "$$unformatted" ] || missing "gofmt would change these files: $$unformatted"; \
}; \
wasm_tests() { \
	set --; \
	for folder in shared syncengine pwa/bridge; do \
		[ ! -d $$folder ] || set -- "$$@" "./$$folder/..."; \
	done; \
	packages=$$(GOOS=js GOARCH=wasm go list -e "$$@" 2>/dev/null); \
	[ -n "$$packages" ] || missing "there is no package to test as WASM"; \
	set -- "PATH=$$PATH" "HOME=$${HOME:-/}" "TMPDIR=$${TMPDIR:-/tmp}" GOOS=js GOARCH=wasm; \
	for name in GOCACHE GOMODCACHE GOPATH GOFLAGS GOPROXY GOTOOLCHAIN; do \
		set -- "$$@" "$$name=$$(go env $$name)"; \
	done; \
	watched "running the tests that also hold as WASM" env -i "$$@" \
		go test -exec="$$(go env GOROOT)/lib/wasm/go_js_wasm_exec" $$packages; \
}
endef
