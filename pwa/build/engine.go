package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

// compileEngine compiles the engine for browsers. No trace of the checkout goes
// into it, so that the same code has the same name everywhere. Nothing of ours
// is inlined: a copy at every call weighs, and browsers inline what is hot. So no
// function needs to say so itself, and on a server the compiler is free.
func (s *site) compileEngine() ([]byte, error) {
	dir, err := os.MkdirTemp("", "rootledger-build-")
	if err != nil {
		return nil, fmt.Errorf("build: engine: %w", err)
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "engine.wasm")
	compile := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-gcflags=rootledger/...=-l", "-o", out, "./pwa/bridge/wasm")
	compile.Dir = s.root
	compile.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	compile.Stdout, compile.Stderr = os.Stderr, os.Stderr
	if err := compile.Run(); err != nil {
		return nil, fmt.Errorf("build: the engine does not compile: %w", err)
	}
	module, err := os.ReadFile(out)
	if err != nil {
		return nil, fmt.Errorf("build: engine: %w", err)
	}
	known := knowsTables()
	if !known {
		fmt.Println("the engine keeps every line of its stack traces: tables of functions are known as Go", linesKnown, "writes them")
	}
	return slim(module, known)
}

// wasmExec is the script of this Go version that starts a Go program in a
// browser.
func wasmExec() (string, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("build: go env GOROOT: %w", err)
	}
	return filepath.Join(string(root[:len(root)-1]), "lib", "wasm", "wasm_exec.js"), nil
}
