package pace

import (
	"testing"

	"rootledger/shared/event"
)

// minutes is a sample of so many events in so many active minutes.
func minutes(events, active int64) Sample { return Sample{Events: events, ActiveMs: active * minute} }

// Wanted p: the smaller binomial tail doubled, in exact fractions.
func TestCompare(t *testing.T) {
	tests := []struct {
		name        string
		before, now Sample
		tested      bool
		parts       int64
		want        Verdict
	}{
		{"slower", minutes(140, 30), minutes(100, 30), true, 117, Slower},
		{"faster", minutes(100, 30), minutes(140, 30), true, 117, Faster},
		{"too close to tell", minutes(130, 30), minutes(100, 30), true, 556, CannotTell},
		{"the same", minutes(100, 30), minutes(100, 30), true, 10_000, CannotTell},
		{"fewer events in less time are faster", minutes(100, 30), minutes(50, 10), true, 272, Faster},
		{"five and then none", minutes(5, 30), minutes(0, 30), true, 625, CannotTell},
		{"six and then none", minutes(6, 30), minutes(0, 30), true, 313, Slower},
		{"none and then six", minutes(0, 30), minutes(6, 30), true, 313, Faster},
		{"the last half hour against three hours", minutes(450, 180), minutes(50, 30), true, 54, Slower},
		{"none at all", minutes(0, 30), minutes(0, 30), true, 10_000, CannotTell},
		{"five minutes are enough", minutes(100, 5), minutes(10, 5), true, 1, Slower},
		{"four before are too short", minutes(100, 4), minutes(10, 5), false, 0, CannotTell},
		{"four now are too short", minutes(100, 5), minutes(10, 4), false, 0, CannotTell},
		{"no time before", minutes(0, 0), minutes(100, 30), false, 0, CannotTell},
		{"counters ran backwards", minutes(-1, 30), minutes(100, 30), false, 0, CannotTell},
		{"and now", minutes(100, 30), minutes(-1, 30), false, 0, CannotTell},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Compare(tt.before, tt.now)
			if want := (Comparison{tt.before, tt.now, tt.tested, tt.parts, tt.want}); got != want {
				t.Errorf("got %+v, want %+v", got, want)
			}
		})
	}
}

func TestTrend(t *testing.T) {
	tally := tallyOf(tapped(1, after(0), after(30), 12_000)...) // 150, then 100, then 150
	for i, e := range append(tapped(1, after(30), after(60), 18_000), tapped(1, after(60), after(90), 12_000)...) {
		e.Ref.Seq = uint64(1000 + i)
		tally.Add(e, 1)
	}
	rest := pause(40, 50)
	tests := []struct {
		name    string
		now     int64
		d       Day
		before  Sample
		last    Sample
		verdict Verdict
	}{
		{"only one half hour", 30, day(), minutes(0, 0), Sample{Events: 150, ActiveMs: 30*minute - 12_000}, CannotTell},
		{"slower", 60, day(), Sample{Events: 150, ActiveMs: 30*minute - 12_000}, minutes(100, 30), Slower},
		{"not slower for a pause", 60, day(rest), Sample{Events: 150, ActiveMs: 30*minute - 12_000}, minutes(100, 20), CannotTell},
		{"faster", 90, day(), minutes(100, 30), minutes(150, 30), Faster},
		{"and again", 90, day(), minutes(100, 30), minutes(150, 30), Faster},
	}
	for _, tt := range tests {
		got := tally.Trend(event.Sorting, after(tt.now), tt.d)
		if got.Before != tt.before || got.Now != tt.last || got.Verdict != tt.verdict {
			t.Errorf("%s: got %+v, want %+v, %+v, %v", tt.name, got, tt.before, tt.last, tt.verdict)
		}
		if got != Compare(got.Before, got.Now) {
			t.Errorf("%s: got %+v, want %+v", tt.name, got, Compare(got.Before, got.Now))
		}
	}
	if got := tally.Trend(event.Desk, after(90), day()); got != (Comparison{}) {
		t.Errorf("at the desk: got %+v, want nothing", got)
	}
}
