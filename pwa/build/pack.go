package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
)

// packed is a file in the forms that it is served in; gz and br are nil for
// what does not get smaller.
type packed struct{ raw, gz, br []byte }

// best is what brotli does at most; it takes half a minute for the engine.
const best, light = brotli.BestCompression, 5

// pack compresses every file, two at a time.
func (s *site) pack() (map[string]packed, error) {
	out := make(map[string]packed)
	var mu sync.Mutex
	var wait sync.WaitGroup
	var all error
	slots := make(chan struct{}, 2)
	for name, raw := range s.files {
		wait.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			p, err := s.packOne(name, raw)
			mu.Lock()
			defer mu.Unlock()
			out[name], all = p, errors.Join(all, err)
		})
	}
	wait.Wait()
	return out, all
}

func (s *site) packOne(name string, raw []byte) (packed, error) {
	p := packed{raw: raw}
	switch path.Ext(name) {
	case ".png", ".woff2":
		return p, nil
	}
	if before, ok := s.packedBefore(name); ok {
		return before, nil
	}
	if s.quick {
		gz, err1 := zip(raw)
		br, err2 := brot(raw, light)
		p.gz, p.br = gz, br
		return p, errors.Join(err1, err2)
	}
	squeeze := zip
	if ext := path.Ext(name); ext == ".wasm" || ext == ".js" && len(raw) >= worthwhile {
		squeeze = s.squeeze
	}
	var wait sync.WaitGroup
	var err1, err2 error
	wait.Go(func() { p.gz, err1 = squeeze(raw) })
	p.br, err2 = brot(raw, best)
	wait.Wait()
	return p, errors.Join(err1, err2)
}

// zip is gzip as the library makes it.
func zip(raw []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(raw)
	err = errors.Join(err, w.Close())
	return out.Bytes(), err
}

func brot(raw []byte, quality int) ([]byte, error) {
	var out bytes.Buffer
	w := brotli.NewWriterLevel(&out, quality)
	_, err := w.Write(raw)
	err = errors.Join(err, w.Close())
	return out.Bytes(), err
}

// worthwhile is from how many bytes on a script is worth the start of a program.
const worthwhile = 4_000

// squeeze is gzip by a program that searches longer than the library's: for the
// engine some 20 s, beside brotli's half minute, and six per cent fewer bytes.
func (s *site) squeeze(raw []byte) ([]byte, error) {
	node := exec.Command("node", filepath.Join(s.root, "pwa", "build", "squeeze.mjs"))
	node.Stdin = bytes.NewReader(raw)
	var said bytes.Buffer
	node.Stderr = &said
	out, err := node.Output()
	if err != nil {
		return nil, fmt.Errorf("build: squeeze.mjs: %w\n%s", err, said.Bytes())
	}
	return out, nil
}

// qualityFile, beside the result, says how its files were compressed: wholly, or
// lightly. Another way of compressing is another word.
const qualityFile, wholly = "quality", "squeezed"

// packedBefore is a file of the result that lies there, when its name says that
// it is the same and it was compressed as well as is wanted now.
func (s *site) packedBefore(name string) (packed, bool) {
	quality, err := os.ReadFile(filepath.Join(s.app, qualityFile))
	if err != nil || !strings.HasPrefix(name, staticDir+"/") || (!s.quick && string(quality) != wholly) {
		return packed{}, false
	}
	var p packed
	for ext, into := range map[string]*[]byte{"": &p.raw, ".gz": &p.gz, ".br": &p.br} {
		if *into, err = os.ReadFile(filepath.Join(s.app, filepath.FromSlash(name+ext))); err != nil {
			return packed{}, false
		}
	}
	return p, bytes.Equal(p.raw, s.files[name])
}

// write puts the result in the place of the one before, whole. Without inputs
// the next build will not take it for its own.
func (s *site) write(files map[string]packed, sizes, inputs string) error {
	fresh, old := filepath.Join(filepath.Dir(s.app), ".app-new"), filepath.Join(filepath.Dir(s.app), ".app-old")
	quality := wholly
	if s.quick {
		quality = fmt.Sprint(light)
	}
	all := map[string][]byte{sizesFile: []byte(sizes), inputsFile: []byte(inputs), qualityFile: []byte(quality)}
	for name, p := range files {
		all[name] = p.raw
		if p.gz != nil {
			all[name+".gz"], all[name+".br"] = p.gz, p.br
		}
	}
	if err := errors.Join(os.RemoveAll(fresh), os.RemoveAll(old)); err != nil {
		return fmt.Errorf("build: %w", err)
	}
	for name, content := range all {
		where := filepath.Join(fresh, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(where), 0o755); err != nil {
			return fmt.Errorf("build: %w", err)
		}
		if err := os.WriteFile(where, content, 0o644); err != nil {
			return fmt.Errorf("build: %w", err)
		}
	}
	if err := os.Rename(s.app, old); err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("build: %w", err)
	}
	return errors.Join(os.Rename(fresh, s.app), os.RemoveAll(old))
}
