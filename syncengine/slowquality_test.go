package syncengine

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// slowSum is the sum over one pass, one attempt at a time, in floats.
type slowSum struct {
	sum         float64
	trials, cut int64
	asks        bool
}

// standingWatch is the setting that counts: of those that no other names, the
// one with the lowest limit, then the lowest share to notice, then usual share.
func (s *slowLedger) standingWatch() *event.Watch {
	best := &event.Watch{P0Parts: 500, P1Parts: 1_000, H100: 500}
	found := false
	key := func(w *event.Watch) uint64 { return uint64(w.H100)<<40 | uint64(w.P1Parts)<<20 | uint64(w.P0Parts) }
	for _, e := range s.all {
		w, ok := e.Fact.(*event.Watch)
		replaced := slices.ContainsFunc(s.all, func(other *event.Event) bool {
			f, ok := other.Fact.(*event.Watch)
			return ok && slices.Contains(f.Supersedes, e.Ref())
		})
		if ok && !replaced && (!found || key(w) < key(best)) {
			best, found = w, true
		}
	}
	return best
}

// looked says whether a look at a pass that counts saw an attempt.
func (s *slowLedger) looked(pass event.Ref, attempt *event.Event) bool {
	return slices.ContainsFunc(s.items, func(it item) bool {
		f, ok := it.Event.Fact.(*event.Looked)
		if !ok || f.Pass != pass {
			return false
		}
		if len(f.Upto) == 0 {
			return later(it.Event, attempt)
		}
		return slices.ContainsFunc(f.Upto, func(r event.Ref) bool { return r.Replica == attempt.Replica && attempt.Seq <= r.Seq })
	})
}

// watch walks over the attempts of a pass that no look saw, in their order.
func (s *slowLedger) watch(pass event.Ref) (out slowSum) {
	set := s.standingWatch()
	p0, p1 := float64(set.P0Parts)/10_000, float64(set.P1Parts)/10_000
	items := slices.Clone(s.items)
	slices.SortFunc(items, func(a, b item) int {
		if later(a.Event, b.Event) {
			return 1
		}
		return -1
	})
	for _, it := range items {
		if f, ok := it.Event.Fact.(*event.Attempt); ok && it.pass == pass && !s.looked(pass, it.Event) {
			out.attempts(f, p0, p1, float64(set.H100)/100)
		}
	}
	return out
}

func (out *slowSum) attempts(f *event.Attempt, p0, p1, limit float64) {
	for range f.N {
		out.trials++
		if f.Outcome == event.Partial || f.Outcome == event.Total {
			out.cut++
			out.sum += math.Log(p1 / p0)
		} else {
			out.sum = max(0, out.sum+math.Log((1-p1)/(1-p0)))
		}
		out.asks = out.asks || out.sum >= limit-1e-7
		if out.sum == 0 && !out.asks {
			*out = slowSum{}
		}
	}
}

// sampled is what was inspected of a pass and region, zero references for all.
func (s *slowLedger) sampled(pass event.Ref, at where) (grafts, whole, cut int64) {
	for _, it := range s.items {
		if f, ok := it.fact.(*event.Inspected); ok && (pass.IsZero() || f.Pass == pass) && at(f.Region) {
			grafts, whole, cut = grafts+int64(f.Grafts), whole+int64(f.Whole), cut+int64(f.Cut)
		}
	}
	return grafts, whole, cut
}

// withSetup is the outcomes that were tapped with a set-up in passes of an order.
func (s *slowLedger) withSetup(setup event.Ref, modes map[event.Ref]event.Mode) (out [event.Outcomes]int64) {
	for _, it := range s.items {
		f, ok := it.Event.Fact.(*event.Attempt)
		if !ok || modes[it.pass] == event.ByException {
			continue
		}
		with := f.Setup
		if moved := s.newest(it.Ref(), event.FiledSetup); moved != nil {
			with = moved.Setup
		}
		if with == setup {
			out[f.Outcome-1] += int64(f.N)
		}
	}
	return out
}

// checkRow holds a row to outcomes and samples counted again.
func checkRow(rt *rapid.T, row session.QualityRow, o [event.Outcomes]int64, grafts, whole, cut int64) {
	var all int64
	for _, n := range o {
		all += n
	}
	r := row.Rates
	got := [...]int64{r.Total.N, r.Total.Of, r.Partial.N, r.Partial.Of, r.Topped.N, r.Buried.N, r.Empty.N, row.Inspected, r.Follicles.N, r.Follicles.Of}
	want := [...]int64{o[2], all, o[1], o[0] + o[1] + o[2], o[3], o[4], o[5], grafts, cut, whole + cut}
	if got != want {
		rt.Fatalf("%s %s%d: got %v, want %v", row.By, row.Name, row.Number, got, want)
	}
	if share := 10_000 * float64(r.Total.N) / float64(all); r.Total.Known && (math.Abs(float64(r.Total.Parts)-share) > 0.51 || r.Total.Low > r.Total.Parts || r.Total.High < r.Total.Parts) {
		rt.Fatalf("%s: got %+v", row.By, r.Total)
	}
}

func TestQualityIsThatOfWhatStands(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 70)
		slow := newSlowLedger(d.events())
		view := d.inOrder(wallIdentity(), shuffled(d.pick, slow.all)).View(d.ms, nil)
		all, modes := [event.Outcomes]int64{}, map[event.Ref]event.Mode{}
		outcomes := map[event.Ref][event.Outcomes]int64{}
		slow.passes(func(pass event.Ref, begun *event.PassBegun) {
			modes[pass], outcomes[pass] = begun.Mode, slow.passAt(pass, begun.Mode, everywhere).outcomes
			for i, n := range outcomes[pass] {
				all[i] += n
			}
		})
		for _, row := range view.Quality.Rows {
			pass, at, o := row.At, everywhere, outcomes[row.At]
			switch row.By {
			case session.ByOperator:
				continue
			case session.ByAll:
				o = all
			case session.BySetup:
				checkRow(rt, row, slow.withSetup(row.At, modes), 0, 0, 0)
				continue
			case session.ByRegion:
				pass, at, o = event.Ref{}, in(row.At), [event.Outcomes]int64{}
				for ref, mode := range modes {
					for i, n := range slow.passAt(ref, mode, at).outcomes {
						o[i] += n
					}
				}
			}
			grafts, whole, cut := slow.sampled(pass, at)
			checkRow(rt, row, o, grafts, whole, cut)
		}
		watched := 0
		for _, w := range view.Quality.Watched {
			want := slow.watch(w.Pass)
			if got := (slowSum{want.sum, w.Trials, w.Cut, w.Asks}); got != want || math.Abs(float64(w.Sum100)/100-want.sum) > 0.0101 {
				rt.Fatalf("pass %d: got %+v, want %+v", w.Number, w, want)
			}
			watched++
		}
		for _, mode := range modes {
			if mode != event.ByException {
				watched--
			}
		}
		if watched != 0 {
			rt.Fatalf("%d passes too many are watched", watched)
		}
	})
}
