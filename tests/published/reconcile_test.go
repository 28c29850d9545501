package published

import "rootledger/shared/event"

var (
	_ = claim("rec-open-4", leftOnTheBench)
	_ = claim("rec-over-4", piecesCounted)
)

// many adds n of what make gives, in entries as large as one may be.
func (d *day) many(n uint32, make func(n uint32) event.Fact) {
	for ; n > 0; n -= min(n, event.MaxEntry) {
		d.says(make(min(n, event.MaxEntry)))
	}
}

func (d *day) outAndSorted(out, sorted uint32) {
	pass := d.says(&event.PassBegun{Mode: event.Each})
	d.many(out, func(n uint32) event.Fact { return &event.Attempt{Pass: pass, Outcome: event.Intact, N: n} })
	d.many(sorted, func(n uint32) event.Fact { return &event.Sorted{Size: 2, N: n} })
}

// leftOnTheBench: what was sorted agrees with where it went, a recount included;
// four that came out were never sorted, and at the close that is a difference.
func leftOnTheBench(p *probe) {
	var in struct {
		Out, Sorted, Placed uint32
		RejectedPlacing     uint32 `json:"rejected_placing"`
		HoldingCounted      uint32 `json:"holding_counted"`
		RejectedBench       uint32 `json:"rejected_bench"`
		At                  string
	}
	var want struct {
		SortedMinusRest int64 `json:"sorted_minus_rest"`
		OutMinusSorted  int64 `json:"out_minus_sorted"`
		State           string
	}
	p.read(&in, &want)
	p.holds("nothing rejected at the bench, at the close", in.RejectedBench == 0 && in.At == "close", true)
	d := newDay(p)
	zone := d.says(&event.Zone{Name: "Front", AreaMM2: 400, Density10: 300, Mix: [event.Sizes]uint16{0, 1000}})
	d.outAndSorted(in.Out, in.Sorted)
	d.many(in.Placed, func(n uint32) event.Fact { return &event.Placed{Zone: zone, Size: 2, N: n} })
	d.says(&event.Rejected{From: event.Holding, Size: 2, Reason: event.ReasonDried, N: in.RejectedPlacing})
	d.says(&event.Recount{Of: event.Holding, Size: 2, N: in.HoldingCounted})
	v := d.view()
	d.same("sorted - placed - rejected - held", v.Recounts[0].Amount, want.SortedMinusRest)
	d.same("out - sorted", v.Ledger.Bench, want.OutMinusSorted)
	d.same("differences before the close", int64(len(v.Differences)), 0)
	d.says(&event.Ended{})
	for _, one := range d.view().Differences {
		if one.What == event.OnBench && one.Open && one.Amount == want.OutMinusSorted && want.State == "open difference of 4" {
			return
		}
	}
	p.differs("difference at the close", d.view().Differences, want.State)
}

// piecesCounted: splits at the bench leave nothing on it; had the pieces been
// tapped as sorted grafts, more would have left the bench than ever lay there.
func piecesCounted(p *probe) {
	var in struct {
		Out, Sorted uint32
		BenchSplits [][]event.Size `json:"bench_splits"`
	}
	var want struct {
		Bench     int64
		InHolding int64  `json:"in_holding"`
		AsSorts   string `json:"pieces_tapped_as_sorts"`
	}
	p.read(&in, &want)
	right, wrong := newDay(p), newDay(p)
	right.outAndSorted(in.Out, in.Sorted)
	wrong.outAndSorted(in.Out, in.Sorted)
	for _, pieces := range in.BenchSplits {
		right.says(&event.Split{From: event.Bench, Size: 3, Pieces: pieces, N: 1})
		for _, piece := range pieces {
			wrong.says(&event.Sorted{Size: piece, N: 1})
		}
	}
	v := right.view()
	right.same("bench", v.Ledger.Bench, want.Bench)
	right.same("in holding", v.Ledger.HoldingTotal, want.InHolding)
	right.same("differences", int64(len(v.Differences)), 0)
	v = wrong.view()
	for _, one := range v.Differences {
		if one.What == event.OnBench && one.Open && one.Amount == -4 && want.AsSorts == "over by 4" {
			return
		}
	}
	p.differs("pieces tapped as sorts", v.Differences, want.AsSorts)
}
