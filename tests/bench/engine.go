package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"rootledger/tests/bench/engine"
)

// engineMeasurements are the engine alone, natively and as WebAssembly under
// Node. One process measures all rows of a run; each row takes its own part.
func engineMeasurements(settings) []measurement {
	native := &enginePart{run: engine.All}
	wasm := &enginePart{run: runWASM}
	all := []measurement{}
	for _, side := range []struct {
		name string
		part *enginePart
	}{{"native", native}, {"wasm", wasm}} {
		add := func(id, what string) {
			all = append(all, measurement{"P5." + side.name + "." + id, what + ", " + side.name, "none",
				func(string) (figures, error) { return side.part.take(id) }})
		}
		add("merge", "merge 10,000 events of one batch, hashes checked, the first work of a fresh engine")
		add("again", "the same, by an engine that has merged before")
		for _, n := range engine.Sizes {
			add(fmt.Sprintf("tap.%d", n), fmt.Sprintf("one tap on %d events", n))
		}
		add("late", "a count 5,000 events late in 12,000")
	}
	return all
}

// enginePart keeps what one process measured until every row has taken its part.
type enginePart struct {
	run  func() ([]engine.Samples, error)
	left []engine.Samples
}

func (p *enginePart) take(id string) (figures, error) {
	for range 2 {
		at := slices.IndexFunc(p.left, func(s engine.Samples) bool { return s.ID == id })
		if at >= 0 {
			samples := p.left[at].Microseconds
			p.left = slices.Delete(p.left, at, at+1)
			return microseconds(samples), nil
		}
		fresh, err := p.run()
		if err != nil {
			return figures{}, err
		}
		p.left = fresh
	}
	return figures{}, fmt.Errorf("bench: the engine has no row %s", id)
}

func microseconds(samples []float64) figures {
	times := make([]time.Duration, len(samples))
	for i, us := range samples {
		times[i] = time.Duration(us * float64(time.Microsecond))
	}
	return timed(times)
}

// runWASM runs the same measurements in Node, in an environment small enough
// for its arguments.
func runWASM() ([]engine.Samples, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("bench: go: %w", err)
	}
	dir, err := os.MkdirTemp("", "rootledger-bench-")
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, "engine.wasm")
	build := exec.Command("go", "build", "-trimpath", "-gcflags=rootledger/...=-l", "-o", program, "rootledger/tests/bench/engine/print")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("bench: build for WebAssembly: %w: %s", err, out)
	}
	run := exec.Command(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec"), program)
	run.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + os.Getenv("HOME")}
	out, err := run.Output()
	if err != nil {
		return nil, fmt.Errorf("bench: node (%s): %w", runtime.GOOS, err)
	}
	var all []engine.Samples
	if err := json.Unmarshal(out, &all); err != nil {
		return nil, fmt.Errorf("bench: node: %w", err)
	}
	return all, nil
}
