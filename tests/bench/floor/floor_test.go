package floor

import (
	"path/filepath"
	"testing"
	"time"

	"rootledger/tests/bench/durable"
	"rootledger/tests/bench/load"
)

// The load fails when a tap is not acknowledged or not on the wall; what is
// left to see is that all are stored.
func TestLosesNothing(t *testing.T) {
	const phones, taps = 3, 50
	dir := t.TempDir()
	f, err := Start(dir)
	if err != nil {
		t.Fatal(err)
	}
	result, err := load.Latencies(f.Room(), phones, taps*10, 100*time.Millisecond)
	if err != nil {
		t.Error(err)
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
	if len(result.Samples) != phones*taps {
		t.Errorf("%d samples, want %d", len(result.Samples), phones*taps)
	}
	if got := stored(t, dir); got != phones*taps {
		t.Errorf("%d taps stored, want %d", got, phones*taps)
	}
}

func TestTapSentAgainCountsOnce(t *testing.T) {
	dir := t.TempDir()
	f, err := Start(dir)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 { // each time the phone begins at its first tap
		p, err := f.Room().Phone(0)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := p.Tap(); err != nil {
			t.Fatal(err)
		}
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
	if got := stored(t, dir); got != 1 {
		t.Errorf("%d taps stored, want 1", got)
	}
}

func stored(t *testing.T, dir string) (taps int) {
	t.Helper()
	db, err := durable.Open(filepath.Join(dir, "floor.db"), Schema)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = db.Close() }()
	if err := db.QueryRow("SELECT count(*) FROM tap").Scan(&taps); err != nil {
		t.Fatal(err)
	}
	return taps
}
