package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// inputsFile, beside the result, names the inputs that it was made from.
const inputsFile = "inputs"

// sources are the files and folders that a build depends on.
var sources = []string{
	"go.mod", "go.sum", "shared", "syncengine",
	"pwa/package-lock.json", "pwa/build", "pwa/bridge", "pwa/words",
	"pwa/styles", "pwa/sw", "pwa/ui", "pwa/worker",
}

// inputs is a hash over everything that the result depends on.
func (s *site) inputs() (string, error) {
	sum := sha256.New()
	fmt.Fprintln(sum, runtime.Version(), s.quick)
	for _, source := range sources {
		err := filepath.WalkDir(filepath.Join(s.root, filepath.FromSlash(source)), func(where string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || skipped(where) {
				return err
			}
			text, err := os.ReadFile(where)
			if err != nil {
				return err
			}
			fmt.Fprintf(sum, "%s %x\n", where, sha256.Sum256(text))
			return nil
		})
		if err != nil {
			return "", fmt.Errorf("build: inputs: %w", err)
		}
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// skipped says whether a file leaves no trace in the result.
func skipped(where string) bool {
	return strings.HasSuffix(where, "_test.go") || strings.Contains(filepath.ToSlash(where), "/testdata/")
}

// upToDate says whether the result of the same inputs lies there.
func (s *site) upToDate(inputs string) bool {
	before, err := os.ReadFile(filepath.Join(s.app, inputsFile))
	return err == nil && string(before) == inputs
}

// digest is a short hash of content, for names.
func digest(parts ...[]byte) string {
	sum := sha256.New()
	for _, part := range parts {
		fmt.Fprintf(sum, "%d\n", len(part))
		sum.Write(part)
	}
	return hex.EncodeToString(sum.Sum(nil))[:12]
}
