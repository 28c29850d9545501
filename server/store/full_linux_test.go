package store

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"rootledger/shared/event"
)

// smallDisk mounts a file system of kilobytes at a new directory, or skips.
func smallDisk(t *testing.T, kilobytes string) string {
	t.Helper()
	dir := t.TempDir()
	if os.Geteuid() != 0 {
		t.Skip("only root can mount a small disk")
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+kilobytes+"k"); err != nil {
		t.Skip("a small disk can not be mounted here:", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
	return dir
}

// resize gives a small disk another size.
func resize(t *testing.T, dir, kilobytes string) {
	t.Helper()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size="+kilobytes+"k"); err != nil {
		t.Fatalf("resize: %v", err)
	}
}

// fill appends until the disk is full and returns what was acknowledged.
func fill(t *testing.T, s *Store, row int64, a *author) []*event.Event {
	t.Helper()
	var stored []*event.Event
	for range 4000 {
		some := a.taps(t, 10)
		if err := s.Append(bounded(t), row, int64(len(stored))+1, some); err != nil {
			wantCode(t, "append on a full disk", err, "disk-full")
			a.head = stored[len(stored)-1]
			return stored
		}
		stored = append(stored, some...)
	}
	t.Fatal("the disk never filled")
	return nil
}

func TestFullDiskLosesNothingAcknowledged(t *testing.T) {
	disk := smallDisk(t, "512")
	dir := filepath.Join(disk, "data")
	s := open(t, dir)
	row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
	stored := fill(t, s, row, ash)
	wantBodies(t, s, row, stored) // still read while full
	wantWords(t, s.Append(bounded(t), row, int64(len(stored))+1, ash.taps(t, 100)), "disk is full")
	ash.head = stored[len(stored)-1]
	_ = s.Close() // may say that the log could not be tidied

	resize(t, disk, "4096")
	again := open(t, dir)
	wantBodies(t, again, row, stored)
	more := ash.taps(t, 50)
	appended(t, again, row, int64(len(stored))+1, more)
	wantBodies(t, again, row, append(stored, more...))
}

// Making room while the server still runs is enough too.
func TestFullDiskThatGetsRoom(t *testing.T) {
	disk := smallDisk(t, "512")
	s := open(t, filepath.Join(disk, "data"))
	row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
	stored := fill(t, s, row, ash)
	resize(t, disk, "4096")
	more := ash.taps(t, 200)
	appended(t, s, row, int64(len(stored))+1, more)
	wantBodies(t, s, row, append(stored, more...))
}

func TestStartOnAFullDiskHasWords(t *testing.T) {
	s, err := Open(bounded(t), filepath.Join(smallDisk(t, "16"), "data"))
	if err == nil {
		closed(t, s)
		t.Fatal("a database fitted into 16 kB")
	}
	wantCode(t, "open", err, "disk-full")
}

// readOnlyDisk makes everything under a directory unchangeable, or skips.
func readOnlyDisk(t *testing.T, dir string) {
	t.Helper()
	if os.Geteuid() != 0 {
		t.Skip("only root can mount a directory for reading only")
	}
	if err := syscall.Mount(dir, dir, "", syscall.MS_BIND, ""); err != nil {
		t.Skip("a directory can not be mounted here:", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
	if err := syscall.Mount(dir, dir, "", syscall.MS_BIND|syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skip("a directory can not be mounted for reading only here:", err)
	}
}

func TestServerNeedsToWrite(t *testing.T) {
	dir := t.TempDir()
	readOnlyDisk(t, dir)
	for _, where := range []string{dir, filepath.Join(dir, "data")} {
		_, err := Open(bounded(t), where)
		wantCode(t, "open", err, "data-dir-unusable")
		wantWords(t, err, where)
	}
}

// The record of a case is read from a medium that can not be written to, or
// the reader says so of the directory; it never speaks of counts not taken.
func TestReadOnlyFromAReadOnlyDisk(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row, events := sessionIn(t, s, 1, "A"), newAuthor(1).taps(t, 20)
	appended(t, s, row, 1, events)
	closed(t, s)
	readOnlyDisk(t, dir)
	reader, err := OpenReadOnly(bounded(t), dir)
	if err != nil {
		wantCode(t, "open for reading", err, "data-dir-unusable")
		return
	}
	wantBodies(t, reader, row, events)
	closed(t, reader)
}
