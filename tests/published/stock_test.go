package published

import "rootledger/shared/event"

var _ = claim("day-c", placedAhead)

func placedAhead(p *probe) {
	var in struct {
		Out, Sorted     uint32
		RejectedBench   uint32 `json:"bench_rejected"`
		PlaceTaps       uint32 `json:"place_taps"`
		CameBack        uint32 `json:"came_back"`
		RejectedPlacing uint32 `json:"rejected_placing"`
		Recount         int64  `json:"holding_recount"`
	}
	var want struct {
		Placed, U, Bench, Holding int64
		SettledBy                 string `json:"settled_by"`
	}
	p.read(&in, &want)
	d := newDay(p)
	const size = 2
	zone := d.says(&event.Zone{Name: "Front", AreaMM2: 400, Density10: 300, Mix: [event.Sizes]uint16{0, 1000}})
	d.taps(d.says(&event.PassBegun{Mode: event.Each}), outcomes{Intact: in.Out})
	d.says(&event.Sorted{Size: size, N: in.Sorted})
	d.says(&event.Rejected{From: event.Bench, Reason: event.ReasonDamaged, N: in.RejectedBench})
	d.says(&event.Placed{Zone: zone, Size: size, N: in.PlaceTaps})
	d.says(&event.CameBack{Zone: zone, Size: size, N: in.CameBack})
	d.says(&event.Rejected{From: event.Holding, Size: size, Reason: event.ReasonDried, N: in.RejectedPlacing})

	v := d.view()
	d.same("placed", v.Ledger.PlacedTotal, want.Placed)
	d.same("U", v.Headline.Usable, want.U)
	d.same("bench", v.Ledger.Bench, want.Bench)
	d.same("holding", v.Ledger.HoldingTotal, want.Holding)

	// The recount finds this many, so the ledger lacks the rest.
	lacks := in.Recount - v.Ledger.HoldingTotal
	if want.SettledBy != "a late sort entry of 10" || lacks != 10 {
		p.differs("an entry that is lacking", lacks, want.SettledBy)
	}
	d.saysLate(&event.Sorted{Size: size, N: uint32(lacks)})
	v = d.view()
	d.same("placed after the late entry", v.Ledger.PlacedTotal, want.Placed)
	d.same("bench after the late entry", v.Ledger.Bench, 0)
	d.same("holding after the late entry", v.Ledger.HoldingTotal, in.Recount)
}
