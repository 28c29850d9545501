package published

import (
	"rootledger/shared/event"
	"rootledger/shared/quality"
	"rootledger/shared/stats"
)

var (
	_ = claim("ftr", cutFollicles)
	_ = claim("outcomes-identity", outcomesIdentity)
	_ = claim("cusum-weights", cusumWeights)
	_ = claim("cusum-path", cusumPath)
	_ = claim("pchart", shareChart)
)

func cutFollicles(p *probe) {
	var in struct {
		Intact int64 `json:"intact_follicles"`
		Cut    int64 `json:"cut_follicles"`
	}
	var want struct{ FTR float64 }
	p.read(&in, &want)
	got := quality.RatesOf([event.Outcomes]int64{}, quality.Sample{Whole: in.Intact, Cut: in.Cut}).Follicles
	p.same("numerator", got.N, in.Cut)
	p.near("rate", float64(got.N)/float64(got.Of), want.FTR)
	p.near("parts", float64(got.Parts)/stats.Whole, want.FTR)
}

func outcomesIdentity(p *probe) {
	var in struct{ Attempts, Intact, Partial, Total, Topped, Buried, Empty int64 }
	var want struct {
		Identity bool
		GTR, PTR float64
	}
	p.read(&in, &want)
	got := quality.RatesOf([event.Outcomes]int64{in.Intact, in.Partial, in.Total, in.Topped, in.Buried, in.Empty}, quality.Sample{})
	p.holds("identity", got.Total.Of == in.Attempts, want.Identity)
	p.near("totally transected", float64(got.Total.N)/float64(got.Total.Of), want.GTR)
	p.near("partly transected", float64(got.Partial.N)/float64(got.Partial.Of), want.PTR)
	p.near("totally transected, in parts", float64(got.Total.Parts)/stats.Whole, want.GTR)
	p.near("partly transected, in parts", float64(got.Partial.Parts)/stats.Whole, want.PTR)
}

func cusumWeights(p *probe) {
	var in struct{ P0, P1 float64 }
	var want struct{ Fail, OK float64 }
	p.read(&in, &want)
	fail, ok := stats.CusumWeights(in.P0, in.P1)
	p.near("of a failure", fail, want.Fail)
	p.near("of none", ok, want.OK)
	failed, fine := stats.CusumBillionths(int64(in.P0*stats.Whole), int64(in.P1*stats.Whole))
	p.near("of a failure, in billionths", float64(failed)/stats.Billion, want.Fail)
	p.near("of none, in billionths", float64(fine)/stats.Billion, want.OK)
}

// cusumPath taps the path one attempt at a time and reads the pass after each.
func cusumPath(p *probe) {
	var in struct {
		P0, P1 float64
		Path   []int
	}
	var want struct{ S []float64 }
	p.read(&in, &want)
	pass, tally := event.Ref{Replica: event.ReplicaID{1}, Seq: 1}, new(quality.Tally)
	set := &event.Watch{P0Parts: uint32(in.P0 * stats.Whole), P1Parts: uint32(in.P1 * stats.Whole), H100: 2_000}
	tally.Add(&event.Event{Replica: event.ReplicaID{2}, Seq: 1, Fact: set}, 1)
	for i, failed := range in.Path {
		tap := &event.Attempt{Pass: pass, Outcome: event.Intact, N: 1}
		if failed == 1 {
			tap.Outcome = event.Total
		}
		tally.Add(&event.Event{Replica: pass.Replica, Seq: uint64(i + 2), Stamp: event.StampAt(int64(i + 1)), Fact: tap}, 1)
		p.near("sum", float64(tally.Read(pass).Sum)/stats.Billion, want.S[i])
	}
}

// shareChart taps each group as one entry of those that were cut and one of the rest.
func shareChart(p *probe) {
	var in struct {
		N      int64
		Counts []int64
	}
	var want struct {
		Mean, LCL, UCL float64
		Out            []int
	}
	p.read(&in, &want)
	p.same("size of a group", quality.GroupSize, in.N)
	pass, tally := event.Ref{Replica: event.ReplicaID{1}, Seq: 1}, new(quality.Tally)
	seq := uint64(1)
	add := func(o event.Outcome, n int64) {
		seq++
		tap := &event.Attempt{Pass: pass, Outcome: o, N: uint32(n)}
		tally.Add(&event.Event{Replica: pass.Replica, Seq: seq, Stamp: event.StampAt(int64(seq)), Fact: tap}, 1)
	}
	for _, n := range in.Counts {
		add(event.Intact, in.N-n)
		add(event.Partial, n)
	}
	got, out := tally.Chart(pass), []int{}
	mean, lo, hi := stats.ShareLimits(got.Cut, int64(len(got.Groups)), in.N)
	p.near("mean", mean, want.Mean)
	p.near("lower limit", lo, want.LCL)
	p.near("upper limit", hi, want.UCL)
	for i, g := range got.Groups {
		p.same("cut", g.Cut, in.Counts[i])
		if g.Out {
			out = append(out, i+1)
		}
	}
	p.same("groups", int64(len(got.Groups)), int64(len(in.Counts)))
	p.same("groups outside", int64(len(out)), int64(len(want.Out)))
	for i := range min(len(out), len(want.Out)) {
		p.same("outside", int64(out[i]), int64(want.Out[i]))
	}
}
