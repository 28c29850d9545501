package command_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"rootledger/server/command"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// A server whose disk fills up in the middle of a day stops with words. Started
// again with room, it has all that it acknowledged, and the phones bring the rest.
func TestServerOnADiskThatFills(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can mount a small disk")
	}
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=1m"); err != nil {
		t.Skip("a small disk can not be mounted here:", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) })
	dir := filepath.Join(disk, "data")
	s := serve(t, dir)
	d, office := begin(t, s, "C-1")
	ash := d.phone("Ash")

	ended := make(chan error, 1)
	go func() { ended <- s.Wait(bounded(t)) }()
	tapUntil(t, d, ash, ended)
	if err := s.Close(); err != nil {
		t.Logf("a full disk says at the end: %v", err)
	}
	for range 10 { // they count on
		d.tap(ash, &event.Sorted{Size: 1, N: 1})
	}
	if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT, "size=32m"); err != nil {
		t.Fatal(err)
	}
	again, err := command.Serve(bounded(t), dir, s.Addr, quiet)
	if err != nil {
		t.Fatalf("start again: %v", err)
	}
	t.Cleanup(func() { stop(t, again) })
	for _, p := range []*practice.Phone{office, ash} {
		if err := p.InRoom(bounded(t)); err != nil {
			t.Error(err)
		}
		same(t, p.Name+": refused", len(p.Refused()), 0)
	}
	view := d.wall().Settled()
	same(t, "events", view.Session.Events, int64(d.count))
	same(t, "sorted", view.Ledger.Sorted.Total(), 10)
}

// tapUntil lets a phone write long notes until the server has ended.
func tapUntil(t *testing.T, d *session, p *practice.Phone, ended chan error) {
	t.Helper()
	note := &event.Note{Text: strings.Repeat("€", 500)}
	for range 2000 {
		d.tap(p, note)
		select {
		case err := <-ended:
			if !fault.Is(err, "disk-full") {
				t.Errorf("the server ended with %v, want disk-full", err)
			}
			return
		case <-time.After(time.Millisecond): // at the pace of the socket
		}
	}
	t.Fatal("the disk never filled")
}
