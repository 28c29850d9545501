package crash

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"rootledger/pwa/words"
)

// smallDisk is a file system in memory, of a size of its own.
type smallDisk struct{ dir string }

// mount makes a small disk, or skips the test where that is not allowed.
func mount(t *testing.T, bytes int) smallDisk {
	t.Helper()
	d := smallDisk{filepath.Join(t.TempDir(), "disk")}
	must(t, os.Mkdir(d.dir, 0o700))
	if err := syscall.Mount("tmpfs", d.dir, "tmpfs", 0, fmt.Sprintf("size=%d", bytes)); err != nil {
		t.Skipf("a small disk can not be mounted here: %v", err)
	}
	t.Cleanup(func() { must(t, syscall.Unmount(d.dir, 0)) })
	return d
}

// grow makes the disk larger and keeps what is on it.
func (d smallDisk) grow(bytes int) error {
	return syscall.Mount("tmpfs", d.dir, "tmpfs", syscall.MS_REMOUNT, fmt.Sprintf("size=%d", bytes))
}

// fill takes what is left of the disk, but for so many bytes.
func (d smallDisk) fill(butFor int64) (err error) {
	f, err := os.Create(d.other())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	page := make([]byte, 4096)
	size := int64(0)
	for ; err == nil; size += int64(len(page)) {
		_, err = f.Write(page)
	}
	if !errors.Is(err, syscall.ENOSPC) {
		return err
	}
	return f.Truncate(max(0, size-int64(len(page))-butFor))
}

func (d smallDisk) other() string { return filepath.Join(d.dir, "other") }

// TestDiskFull lets the disk run full under load, in the log or while the log
// is moved into the database, by the counts themselves or by something else:
// the server says so and ends, again when it is started too early, and once there
// is room everything goes on.
func TestDiskFull(t *testing.T) {
	for _, one := range []struct {
		name  string
		bytes int
		other bool // something else takes the room
	}{
		{"by-its-own-log", 1 << 20, false},
		{"by-its-own-database", 5 << 20, false},
		{"by-something-else", 8 << 20, true},
	} {
		t.Run(one.name, func(t *testing.T) {
			ctx := within(t, 90*time.Second)
			disk, addr := mount(t, one.bytes), freeAddr(t)
			dir := filepath.Join(disk.dir, "data")
			p := serving(ctx, t, dir, addr)
			r := gather(ctx, t, p, dir, "full")
			r.begin(tapEvery / 4)
			if one.other {
				pause(ctx, 500*time.Millisecond)
				must(t, disk.fill(10*4096))
			}
			endsFull(ctx, t, p)
			acknowledged := r.acknowledged()
			endsFull(ctx, t, start(t, dir, addr)) // nothing has made room yet
			if one.other {
				must(t, os.Remove(disk.other()))
			} else {
				must(t, disk.grow(64<<20))
			}
			stored := r.check(ctx, t, dir)
			before := r.told()
			p = serving(ctx, t, dir, addr)
			r.heard(ctx, t, before)
			r.stopTapping(t)
			wall := r.settle(ctx, t)
			p.stop(ctx, t)
			r.agree(ctx, t, dir, wall)
			t.Logf("when the disk was full %d events were acknowledged and %d stored, %d in the end", acknowledged, stored, len(r.earlier))
			note("disk full "+one.name, r.lost, "%d events acknowledged, %d stored, %d in the end", acknowledged, stored, len(r.earlier))
		})
	}
}

// endsFull wants the server to end by itself, with a status and a sentence that
// say why.
func endsFull(ctx context.Context, t *testing.T, p *process) {
	t.Helper()
	code := p.exit(ctx, t)
	before, after, _ := strings.Cut(words.English().Text("fault.disk-full"), "{cause}")
	if said := p.stderr.String(); code == 0 || !strings.Contains(said, "rootledger: "+before) || !strings.Contains(said, after) {
		t.Errorf("on a full disk the server ended with %d and said:\n%s", code, said)
	}
}

// TestFirstStartOnFullDisk starts the server for the first time on disks that
// are too small for its data directory, each a page larger than the one before,
// until one will do. It must end by itself, and once there is room start on what
// is there, with the office closed to whoever has no token.
func TestFirstStartOnFullDisk(t *testing.T) {
	ctx := within(t, 90*time.Second)
	addr := freeAddr(t)
	for kb := 60; kb < 200; kb += 4 {
		disk := mount(t, kb<<10)
		dir := filepath.Join(disk.dir, "data")
		p := start(t, dir, addr)
		fits := p.answers(ctx)
		if !fits && p.exit(ctx, t) != 1 {
			t.Errorf("on a disk of %d KiB the server ended with %d", kb, p.exit(ctx, t))
		}
		p.kill(t)
		must(t, disk.grow(8<<20))
		p = serving(ctx, t, dir, addr)
		status, err := p.ask(ctx, "/api/sessions")
		must(t, err)
		if status != http.StatusForbidden {
			t.Errorf("after a first start on a disk of %d KiB, the office is open to everyone: %d", kb, status)
		}
		p.kill(t)
		if fits {
			return
		}
	}
	t.Error("no disk was large enough")
}
