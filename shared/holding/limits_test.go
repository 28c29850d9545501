package holding

import (
	"slices"
	"testing"

	"rootledger/shared/event"
)

// edit is an edit of the limits by a replica.
func edit(by byte, amber, red int64, replaces ...event.Ref) *event.Event {
	return &event.Event{Replica: event.ReplicaID{by}, Seq: 1, Stamp: event.Stamp(by), Hash: event.Hash{by},
		Fact: &event.Keeping{AmberMin: amber, RedMin: red, Solution: string('a' + rune(by)), Supersedes: replaces}}
}

func TestLimits(t *testing.T) {
	first := edit(1, 300, 500)
	low, high := edit(2, 120, 400, first.Ref()), edit(3, 200, 240, first.Ref())
	chosen := edit(4, 200, 300, low.Ref(), high.Ref())
	tests := []struct {
		name       string
		edits      []*event.Event
		amber, red int64
		solution   string
		heads      []event.Ref
	}{
		{"none", nil, 240, 360, "", nil},
		{"one", []*event.Event{first}, 300, 500, "b", []event.Ref{first.Ref()}},
		{"apart: the shortest of each counts", []*event.Event{high, first, low}, 120, 240, "c", []event.Ref{low.Ref(), high.Ref()}},
		{"chosen", []*event.Event{chosen, high, first, low}, 200, 300, "e", []event.Ref{chosen.Ref()}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var tally Tally
			for _, e := range tt.edits {
				tally.Limit(e, e.Fact.(*event.Keeping))
			}
			l := tally.Limits()
			if l.AmberMin != tt.amber || l.RedMin != tt.red || l.Edit.Solution != tt.solution {
				t.Errorf("got %+v, want %d, %d, %q", l, tt.amber, tt.red, tt.solution)
			}
			if got := tally.Heads(); !slices.Equal(got, tt.heads) {
				t.Errorf("heads: got %v, want %v", got, tt.heads)
			}
		})
	}
}

func TestLevel(t *testing.T) {
	l := Limits{AmberMin: 240, RedMin: 360}
	for ms, want := range map[int64]Level{-1: Within, 240*minute - 1: Within, 240 * minute: Amber, 360*minute - 1: Amber, 360 * minute: Red} {
		if got := l.Of(ms); got != want {
			t.Errorf("%d ms: got %v, want %v", ms, got, want)
		}
	}
}

func TestForecast(t *testing.T) {
	planned := event.Keeping{PlacingMs: 100 * minute, PerHour10: 6000}
	rate := event.Keeping{PerHour10: 6000}
	running := Placing{Running: true, Events: 192, ActiveMs: 30 * minute, Begun: true, WorkedMs: 60 * minute}
	young := Placing{Running: true, Events: 64, ActiveMs: 10 * minute, Begun: true, WorkedMs: 10 * minute}
	still := Placing{ActiveMs: 30 * minute, Begun: true, WorkedMs: 90 * minute}
	tests := []struct {
		name    string
		plan    event.Keeping
		placing Placing
		nowMs   int64
		stock   int64
		basis   Basis
		wait    int64
	}{
		{"not begun, nobody planned it", event.Keeping{}, Placing{}, 0, 600, NotBegun, 0},
		{"not begun, a rate and no start", rate, Placing{}, 0, 600, NotBegun, 0},
		{"not begun, a start and no rate", event.Keeping{PlacingMs: 1}, Placing{}, 0, 600, NotBegun, 0},
		{"planned", planned, Placing{}, 40 * minute, 600, Planned, 120 * minute},
		{"planned, and late", planned, Placing{}, 140 * minute, 600, Planned, 60 * minute},
		{"the first entry of placing", planned, Placing{Running: true, Begun: true, Events: 40, ActiveMs: 30 * minute}, 40 * minute, 600, Planned, 60 * minute},
		{"ten minutes of placing, before its planned start", planned, young, 40 * minute, 600, Planned, 60 * minute},
		{"ten minutes of placing, no start planned", rate, young, 40 * minute, 600, Planned, 60 * minute},
		{"ten minutes of placing, nothing planned", event.Keeping{}, young, 40 * minute, 600, NoPace, 0},
		{"an hour of placing", planned, running, 0, 629, Measured, 5_896_875},
		{"nothing before it", planned, running, 0, 0, Measured, 0},
		{"less than nothing before it", event.Keeping{}, running, 0, -8, Measured, 0},
		{"placing stands still", event.Keeping{}, still, 0, 629, NoPace, 0},
		{"placing stands still, planned", rate, still, 0, 600, Planned, 60 * minute},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := Limits{AmberMin: 240, RedMin: 360, Edit: &tt.plan}
			if basis, wait := l.Forecast(tt.nowMs, tt.stock, tt.placing); basis != tt.basis || wait != tt.wait {
				t.Errorf("got %v %d, want %v %d", basis, wait, tt.basis, tt.wait)
			}
		})
	}
}
