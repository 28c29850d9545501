package practice

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// told is a day in words, with every fact that it taps.
func told(t *testing.T, d *Day) string {
	t.Helper()
	var out bytes.Buffer
	for _, a := range d.Actions {
		fmt.Fprintf(&out, "%d %s %d", a.AtMs, a.Phone, a.Also)
		if a.Fact != nil {
			fact, err := json.Marshal(a.Fact(Names{}))
			if err != nil {
				t.Fatal(err)
			}
			out.Write(fact)
		}
		out.WriteByte('\n')
	}
	fmt.Fprintf(&out, "%+v", d.Truth)
	return out.String()
}

func TestDayDependsOnSeedAndGraftsAlone(t *testing.T) {
	day := told(t, NewDay(7, 100))
	if again := told(t, NewDay(7, 100)); again != day {
		t.Error("the same seed made two days")
	}
	if told(t, NewDay(8, 100)) == day || told(t, NewDay(7, 101)) == day {
		t.Error("another seed or budget made the same day")
	}
}

// What people did adds up, before any phone is asked.
func TestTruthAddsUp(t *testing.T) {
	for seed := range uint64(20) {
		truth := NewDay(seed, 300).Truth
		var outcomes, placed int64
		for _, n := range truth.Outcomes {
			outcomes += n
		}
		for _, zone := range truth.ByZone {
			placed += zone.Total()
		}
		for what, pair := range map[string][2]int64{
			"attempts and outcomes":     {truth.Punched, outcomes},
			"placed and by zone":        {truth.Placed.Total(), placed},
			"out and what came of it":   {truth.Out, truth.Placed.Total() + truth.Holding.Total() + truth.Bench + truth.Rejected - truth.Gained},
			"sites and grafts held":     {truth.Sites, truth.Out + truth.Gained - rejectedAtBench(t, NewDay(seed, 300))},
			"nothing left on the bench": {truth.Bench, 0},
		} {
			if pair[0] != pair[1] {
				t.Errorf("seed %d: %s: got %d and %d", seed, what, pair[0], pair[1])
			}
		}
	}
}

func rejectedAtBench(t *testing.T, d *Day) (n int64) {
	t.Helper()
	for _, a := range d.Actions {
		if a.Fact == nil {
			continue
		}
		if f, ok := a.Fact(Names{}).(*event.Rejected); ok && f.From == event.Bench {
			n += int64(f.N)
		}
	}
	return n
}

// Every day has what spoils days: slips, frames sent twice, phones that go away and come back.
func TestDaysAreSpoilt(t *testing.T) {
	for seed := range uint64(5) {
		seen := map[Also]int{}
		away := map[string]bool{}
		d := NewDay(seed, 60)
		for _, a := range d.Actions {
			seen[a.Also]++
			switch a.Also {
			case Leaves:
				away[a.Phone] = true
			case Returns:
				delete(away, a.Phone)
			}
		}
		if seen[Slip] < 2 || seen[Twice] < 1 || seen[Leaves] < 2 || seen[Returns] != seen[Leaves] || len(away) > 0 {
			t.Errorf("seed %d: got %v and still away %v", seed, seen, away)
		}
		sorted := slices.IsSortedFunc(d.Actions, func(a, b Action) int { return a.AtMs - b.AtMs })
		if !sorted {
			t.Errorf("seed %d: actions are not in order", seed)
		}
	}
}

func TestReportThatDiffers(t *testing.T) {
	good := Report{Case: "P-1", Seed: 1, Events: 5, Replay: true, Rows: []Row{{"out", 5, 5, 5}}}
	tests := []struct {
		name   string
		change func(*Report)
		ok     bool
		says   []string
	}{
		{"all agree", func(*Report) {}, true, []string{"case P-1, seed 1: 5 events", "no count was lost, none was counted twice"}},
		{"the wall differs", func(r *Report) { r.Rows[0].Wall, r.Differed = 4, 1 }, false, []string{"DIFFERS", "1 figures differ"}},
		{"the sheet differs", func(r *Report) { r.Rows[0].Sheet, r.Differed = 6, 1 }, false, []string{"DIFFERS"}},
		{"people did more", func(r *Report) { r.Rows[0].Done, r.Differed = 6, 1 }, false, []string{"DIFFERS"}},
		{"an event was refused", func(r *Report) { r.Refused = 1 }, false, []string{"would not take: 1"}},
		{"the replay differs", func(r *Report) { r.Replay = false }, false, []string{"the same bytes: false"}},
	}
	for _, test := range tests {
		r := good
		r.Rows = slices.Clone(good.Rows)
		test.change(&r)
		if r.OK() != test.ok {
			t.Errorf("%s: OK is %v, want %v", test.name, r.OK(), test.ok)
		}
		if got := r.Rows[0].Agrees(); got != (r.Differed == 0) {
			t.Errorf("%s: the row agrees: %v", test.name, got)
		}
		var out bytes.Buffer
		if err := r.Table(&out); err != nil {
			t.Fatal(err)
		}
		for _, want := range test.says {
			if !strings.Contains(out.String(), want) {
				t.Errorf("%s: got %s, want %q in it", test.name, out.String(), want)
			}
		}
		if lossless := strings.Contains(out.String(), "no count was lost"); lossless != test.ok {
			t.Errorf("%s: the table says that no count was lost: %v", test.name, lossless)
		}
	}
}

// The report of a day finds a count that the wall or the sheet does not have.
func TestCompareBites(t *testing.T) {
	d := NewDay(1, 60)
	differ := 0
	for _, row := range compare(d.Truth, session.View{}, cells{}) {
		if !row.Agrees() {
			differ++
		}
	}
	if differ < 5 {
		t.Errorf("a day on an empty wall: %d figures differ, want most", differ)
	}
}
