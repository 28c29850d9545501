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
// newest builds only, and drops what is damaged. free tells how many bytes the
// disk of a folder has left. Where nothing was built it keeps nothing. With an
// error there still is what could be read.
func KeepBuilds(dir string, files fs.FS, free func(dir string) uint64, now time.Time) (Before, error) {
	if _, err := fs.Stat(files, page); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	mine, err := nameOf(files)
	if err != nil {
		return nil, err
	}
	notKept := keepBuild(filepath.Join(dir, mine), files, free, now)
	before, unread := readBuilds(dir, mine)
	return before, errors.Join(notKept, unread)
}

const page = "app/index.html"

// nameOf names a build by a hash over its page and its static files, so that a
// copy of it which a power cut left half written is known.
func nameOf(files fs.FS) (string, error) {
	sum := sha256.New()
	for _, root := range []string{page, path.Join("app", staticDir)} {
		err := fs.WalkDir(files, root, func(name string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() {
				return err
			}
			content, err := fs.ReadFile(files, name)
			fmt.Fprintf(sum, "%s %d\n", name, len(content))
			sum.Write(content)
			return err
		})
		if err != nil {
			return "", fmt.Errorf("web: %w", err)
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:6]), nil
}

// readBuilds reads the static files of all builds in dir but mine; of one name
// the newest counts.
func readBuilds(dir, mine string) (Before, error) {
	names, failed := newestFirst(dir)
	before, whole := Before{}, 0
	for _, name := range names {
		at := filepath.Join(dir, name)
		if is, err := nameOf(os.DirFS(at)); err != nil || is != name {
			failed = errors.Join(failed, fmt.Errorf("web: the build kept in %s is damaged", at), err, os.RemoveAll(at))
			continue
		}
		if whole++; whole > builds {
			failed = errors.Join(failed, os.RemoveAll(at))
			continue
		}
		if name == mine {
			continue
		}
		of, err := readAssets(os.DirFS(at))
		failed = errors.Join(failed, err)
		for file, a := range of {
			if _, newer := before[file]; !newer && strings.HasPrefix(file, staticDir) {
				before[file] = a
			}
		}
	}
	return before, failed
}

// ErrNoRoom says that a build was not kept for want of room.
var ErrNoRoom = errors.New("web: too little room on the disk to keep this build for pages that stay open over an update")

// keepBuild copies a build's static files, unless they are there, and notes that
// it is the newest. What could not be finished is taken away again: a disk
// without room for it may have some for counts.
func keepBuild(at string, files fs.FS, free func(dir string) uint64, now time.Time) error {
	if is, err := nameOf(os.DirFS(at)); err == nil && is == filepath.Base(at) {
		if err := os.Chtimes(at, now, now); err != nil {
			return fmt.Errorf("web: %w", err)
		}
		return nil
	}
	part := at + ".part"
	err := errors.Join(os.RemoveAll(at), os.RemoveAll(part), os.MkdirAll(filepath.Dir(at), 0o755))
	if err == nil && free(filepath.Dir(at)) < spareBytes {
		return ErrNoRoom
	}
	if err == nil {
		err = copyBuild(part, files)
	}
	if err == nil {
		err = errors.Join(os.Rename(part, at), os.Chtimes(at, now, now))
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
	text, err := fs.ReadFile(files, page)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(part, filepath.FromSlash(page)), text, 0o644)
}

// newestFirst lists the builds that were copied to their end.
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
