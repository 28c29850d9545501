package punch

import (
	"math"
	"reflect"
	"testing"

	"rootledger/shared/event"
)

func setupOf(um, wait uint32, steps ...Step) *event.Setup {
	s := &event.Setup{Name: "A", DiameterUM: um, WaitMs: wait}
	for _, one := range steps {
		s.Motions, s.ArcsDeg = append(s.Motions, one.Motion), append(s.ArcsDeg, uint32(one.ArcDeg))
		s.RPM, s.Power, s.StepsMs = append(s.RPM, uint32(one.RPM)), append(s.Power, uint32(one.Power)), append(s.StepsMs, uint32(one.Ms))
	}
	return s
}

func TestDerive(t *testing.T) {
	got := Derive(setupOf(900, 150, Step{Motion: event.Rotation, RPM: 3000, Power: 80, Ms: 200},
		Step{Motion: event.Oscillation, ArcDeg: 540, RPM: 0, Ms: 150}, Step{Motion: event.Vibration, Ms: 50}))
	want := Derived{CycleMs: 550, Common: true, CommonLowMs: 500, CommonHighMs: 600, WoundUM2: 636_173, Steps: []Step{
		{Motion: event.Rotation, RPM: 3000, Power: 80, StartMs: 150, Ms: 200, RimUMPerS: 141_372},
		{Motion: event.Oscillation, ArcDeg: 540, StartMs: 350, Ms: 150, StrokeUM: 4_241},
		{Motion: event.Vibration, StartMs: 500, Ms: 50},
	}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

func TestCommonCycle(t *testing.T) {
	for ms, want := range map[uint32]bool{499: false, 500: true, 600: true, 601: false} {
		if got := Derive(setupOf(1000, ms-1, Step{Motion: event.Vibration, Ms: 1})); got.Common != want || got.CycleMs != int64(ms) {
			t.Errorf("%d ms: got %+v, want %v", ms, got, want)
		}
	}
}

// Whole numbers are those that floats of full width round to, up to the bounds.
func TestDeriveAgainstFloats(t *testing.T) {
	for d := uint32(200); d <= 3000; d += 7 {
		for _, n := range []int64{1, 30, 359, 360, 999, 3600} {
			step := Derive(setupOf(d, 0, Step{Motion: event.Oscillation, ArcDeg: n, RPM: n * 30_000 / 3600, Ms: 1})).Steps[0]
			um := float64(d)
			near(t, step.StrokeUM, math.Pi*um*float64(n)/360)
			near(t, step.RimUMPerS, math.Pi*um*float64(step.RPM)/60)
		}
		near(t, Derive(setupOf(d, 0)).WoundUM2, math.Pi*float64(d)*float64(d)/4)
	}
}

func near(t *testing.T, got int64, want float64) {
	t.Helper()
	if got != int64(math.Floor(want+0.5)) {
		t.Fatalf("got %d, want %.6f", got, want)
	}
}

// made is an event at a stamp.
func made(seq uint64, fact event.Fact) *event.Event {
	return &event.Event{Replica: event.ReplicaID{1}, Seq: seq, Stamp: event.Stamp(seq << 20), Fact: fact, Hash: event.Hash{byte(seq)}}
}

func TestTally(t *testing.T) {
	var tally Tally
	a := made(1, setupOf(900, 0, Step{Motion: event.Rotation, Ms: 1}))
	second := setupOf(800, 0, Step{Motion: event.Rotation, Ms: 1})
	second.Replaces = a.Ref()
	b := made(3, second)
	pass := event.Ref{Seq: 9}
	first := made(4, &event.SetupChosen{Pass: pass, Setup: a.Ref()})
	then := made(5, &event.SetupChosen{Pass: pass, Setup: b.Ref()})
	tap := made(6, &event.Attempt{Pass: pass, Outcome: event.Partial, N: 3, Setup: a.Ref()})
	for _, e := range []*event.Event{a, b, then, first, tap} {
		tally.Add(e, 1)
	}
	if got := tally.Setups(); len(got) != 2 || got[0] != a || got[1] != b || tally.Find(a.Ref()).Offered() || !tally.Find(b.Ref()).Offered() {
		t.Errorf("set-ups: got %+v", got)
	}
	if got := tally.Chosen(pass); got != then {
		t.Errorf("chosen: got %+v, want the newer one, which came first", got)
	}
	if got := tally.Find(a.Ref()).Outcomes; got != [event.Outcomes]int64{0, 3} {
		t.Errorf("outcomes: got %v", got)
	}
	tally.Add(tap, -1)
	tally.Add(then, -1)
	tally.Add(b, -1)
	if got := tally.Find(a.Ref()); got.Outcomes != [event.Outcomes]int64{} || !got.Offered() {
		t.Errorf("after undoing: got %+v", got)
	}
	if got := tally.Chosen(pass); got != first {
		t.Errorf("chosen after undoing: got %+v", got)
	}
	if got := tally.Find(b.Ref()); got.Offered() || tally.Chosen(event.Ref{Seq: 8}) != nil || tally.Find(event.Ref{}) != nil {
		t.Errorf("undone: got %+v", got)
	}
	tally.Add(made(7, &event.Attempt{Pass: pass, Outcome: event.Total, N: 3}), 1) // with none
	tally.Add(made(8, &event.Note{}), 1)
}
