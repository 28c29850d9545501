package published

import "rootledger/shared/event"

var (
	_ = claim("day-a", punchedFirst)
	_ = claim("day-b", splitAtTheBench)
)

// attemptsLeft is the figure on the wall with its range.
type attemptsLeft struct {
	U, A int64
	Low  int64 `json:"A_lo"`
	High int64 `json:"A_hi"`
}

func (d *day) leaves(want attemptsLeft) {
	d.Helper()
	h := d.view().Headline
	d.same("U", h.Usable, want.U)
	d.same("A", h.Attempts, want.A)
	d.holds("a range of A", h.RangeKnown && !h.HighOpen, true)
	d.same("A_lo", h.Low, want.Low)
	d.same("A_hi", h.High, want.High)
}

// readings are what two counters showed first and last.
type readings struct {
	Left  [2]uint32
	Right [2]uint32 `json:"right_counting_down"`
}

func punchedFirst(p *probe) {
	var in struct {
		Budget    uint32
		Capacity  struct{ Left, Right uint32 }
		Readings  readings
		Outcomes  outcomes
		Retrieved uint32
		Sorted    map[string]uint32
		Rejected  uint32  `json:"bench_rejected"`
		Yield     float64 `json:"planned_yield"`
		Mode      string
	}
	var want struct {
		attemptsLeft
		Punched, Pending, Out, Bench int64
		W, R, D                      int64
	}
	p.read(&in, &want)
	d := newDay(p)
	mode, _ := event.ParseMode(in.Mode)
	d.says(&event.Budget{Grafts: in.Budget})
	d.says(&event.Yield{PerMille: uint32(p.whole("yield", 1000*in.Yield))})
	for _, side := range []struct {
		code     string
		capacity uint32
		counts   event.Direction
		readings [2]uint32
	}{{"L", in.Capacity.Left, event.Up, in.Readings.Left}, {"R", in.Capacity.Right, event.Down, in.Readings.Right}} {
		// 5 mm² an attempt: a quarter of 80/cm² may be taken.
		region := d.says(&event.Region{Code: side.code, Name: side.code, AreaMM2: side.capacity * 5, Density10: 800, SharePerMille: 250})
		pass := d.says(&event.PassBegun{Mode: mode})
		for _, value := range side.readings {
			d.says(&event.Reading{Pass: pass, Region: region, Counter: side.code, Direction: side.counts, Value: value})
		}
		if side.code == "L" {
			d.taps(pass, in.Outcomes)
			d.says(&event.Retrieved{From: event.Buried, Pass: pass, N: in.Retrieved})
		}
	}
	d.sorts(in.Sorted)
	d.says(&event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: in.Rejected})

	v := d.view()
	d.same("punched", v.Ledger.Attempts.Punched, want.Punched)
	d.same("pending", v.Ledger.Attempts.Pending, want.Pending)
	d.same("out", v.Ledger.Out, want.Out)
	d.same("bench", v.Ledger.Bench, want.Bench)
	d.same("W", v.Headline.OnTheWay, want.W)
	d.same("R", v.Headline.ToTake, want.R)
	d.same("D", v.Headline.DonorLeft, want.D)
	d.leaves(want.attemptsLeft)
}

func splitAtTheBench(p *probe) {
	var in struct {
		Budget   uint32
		Outcomes outcomes
		Splits   [][]event.Size `json:"bench_splits"`
		Sorted   map[string]uint32
		Rejected uint32  `json:"bench_rejected"`
		Yield    float64 `json:"planned_yield"`
		Mode     string
	}
	var want struct {
		attemptsLeft
		Bench, G int64
	}
	p.read(&in, &want)
	d := newDay(p)
	mode, _ := event.ParseMode(in.Mode)
	d.says(&event.Budget{Grafts: in.Budget})
	d.says(&event.Yield{PerMille: uint32(p.whole("yield", 1000*in.Yield))})
	d.taps(d.says(&event.PassBegun{Mode: mode}), in.Outcomes)
	for _, pieces := range in.Splits {
		var hairs event.Size
		for _, piece := range pieces {
			hairs += piece
		}
		d.says(&event.Split{From: event.Bench, Size: hairs, Pieces: pieces, N: 1})
	}
	d.sorts(in.Sorted)
	d.says(&event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: in.Rejected})

	v := d.view()
	d.same("bench", v.Ledger.Bench, want.Bench)
	d.same("G", v.Ledger.Gained, want.G)
	d.leaves(want.attemptsLeft)
}
