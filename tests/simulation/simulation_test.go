package simulation_test

import (
	"reflect"
	"strings"
	"testing"

	"rootledger/tests/simulation"
)

// TestDays plays a few days of "make simulate".
func TestDays(t *testing.T) {
	faults := 0
	for seed := uint64(1); seed <= 60; seed++ {
		r := simulation.Play(simulation.Write(seed))
		faults += r.Faults
		if r.Violation != nil {
			t.Fatal(simulation.Shorten(simulation.Write(seed)).Trace())
		}
		if r.Events < 40 {
			t.Errorf("seed %d: only %d events", seed, r.Events)
		}
	}
	if faults < 600 {
		t.Errorf("got %d faults, want at least ten a day", faults)
	}
}

// TestTheSameSeedIsTheSameDay: what is found can be played again.
func TestTheSameSeedIsTheSameDay(t *testing.T) {
	for seed := uint64(100); seed < 110; seed++ {
		one, two := simulation.Play(simulation.Write(seed)), simulation.Play(simulation.Write(seed))
		if !reflect.DeepEqual(one, two) {
			t.Fatalf("seed %d: got\n%s\nand\n%s", seed, one.Trace(), two.Trace())
		}
	}
}

// TestEveryFaultHappens: a key that no script draws would test nothing.
func TestEveryFaultHappens(t *testing.T) {
	seen := make(map[string]bool)
	for seed := uint64(1); seed <= 300; seed++ {
		for _, a := range simulation.Write(seed).Actions {
			seen[a.Do] = true
		}
	}
	for _, name := range simulation.Deeds() {
		if !seen[name] {
			t.Errorf("never: %s", name)
		}
	}
	if len(seen) != len(simulation.Deeds()) {
		t.Errorf("got %d deeds drawn, %d known: %v", len(seen), len(simulation.Deeds()), strings.Join(simulation.Deeds(), ", "))
	}
}
