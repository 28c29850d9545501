package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// builds is how many builds of the app are kept, the newest included.
const builds = 3

// spareBytes is how much room must be left on the disk for a build to be kept:
// counts come first.
const spareBytes = 512 << 20

// Before are files of builds before this one, by name.
type Before map[string]asset

// KeepBuilds keeps this build's files whose names change with their content in
// dir, for servers to come, and returns those of builds before it by name: a page
// that is open over a change of version goes on finding its parts. It holds the
// newest builds only. Where nothing was built it keeps nothing.
func KeepBuilds(dir string, files fs.FS, now time.Time) (Before, error) {
	page, err := fs.ReadFile(files, "app/index.html")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	sum := sha256.Sum256(page)
	mine := hex.EncodeToString(sum[:6])
	if err := keepBuild(filepath.Join(dir, mine), files); err != nil {
		return nil, err
	}
	if err := os.Chtimes(filepath.Join(dir, mine), now, now); err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	kept, err := newestFirst(dir)
	if err != nil {
		return nil, err
	}
	before := Before{}
	for i, name := range kept {
		at := filepath.Join(dir, name)
		if i >= builds {
			if err := os.RemoveAll(at); err != nil {
				return nil, fmt.Errorf("web: %w", err)
			}
			continue
		}
		if name == mine {
			continue
		}
		of, err := readAssets(os.DirFS(at))
		if err != nil {
			return nil, err
		}
		for file, a := range of {
			if _, newer := before[file]; !newer && strings.HasPrefix(file, staticDir) {
				before[file] = a
			}
		}
	}
	return before, nil
}

// errNoRoom says that a build was not kept for want of room.
var errNoRoom = errors.New("web: too little room on the disk to keep this build for pages that stay open over an update")

// keepBuild copies a build's static files, unless they are there. What could not
// be finished is taken away again: a disk without room for it may have some for
// counts.
func keepBuild(at string, files fs.FS) error {
	if _, err := os.Stat(at); err == nil {
		return nil
	}
	part := at + ".part"
	err := errors.Join(os.RemoveAll(part), os.MkdirAll(filepath.Dir(at), 0o755))
	if err == nil && freeBytes(filepath.Dir(at)) < spareBytes {
		return errNoRoom
	}
	if err == nil {
		err = copyBuild(part, files)
	}
	if err == nil {
		err = os.Rename(part, at)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("web: %w", err), os.RemoveAll(part))
	}
	return nil
}

func copyBuild(part string, files fs.FS) error {
	static, err := fs.Sub(files, path.Join("app", staticDir))
	if err != nil {
		return err
	}
	if err := os.CopyFS(filepath.Join(part, "app", staticDir), static); err != nil {
		return err
	}
	page, err := fs.ReadFile(files, "app/index.html")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(part, "app", "index.html"), page, 0o644)
}

// newestFirst lists the builds that are kept whole.
func newestFirst(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	var names []string
	at := map[string]time.Time{}
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			return nil, fmt.Errorf("web: %w", err)
		}
		if e.IsDir() && !strings.HasSuffix(e.Name(), ".part") {
			names, at[e.Name()] = append(names, e.Name()), info.ModTime()
		}
	}
	slices.SortFunc(names, func(a, b string) int { return at[b].Compare(at[a]) })
	return names, nil
}
