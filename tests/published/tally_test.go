package published

import (
	"rootledger/shared/event"
	"rootledger/shared/mix"
)

var _ = claim("hairs-per-graft", hairsPerGraft)

func hairsPerGraft(p *probe) {
	var in struct {
		Counts struct {
			One   int64 `json:"1"`
			Two   int64 `json:"2"`
			Three int64 `json:"3"`
			Four  int64 `json:"4"`
		}
	}
	var want struct {
		Grafts, Hairs int64
		PerGraft      float64 `json:"hairs_per_graft"`
	}
	p.read(&in, &want)
	counts := event.BySize{in.Counts.One, in.Counts.Two, in.Counts.Three, in.Counts.Four}
	got := mix.HairsPerGraft(counts)
	p.same("grafts", counts.Total(), want.Grafts)
	p.same("hairs", mix.Hairs(counts), want.Hairs)
	p.near("hairs per graft", float64(got.Num)/float64(got.Den), want.PerGraft)
	p.near("hundredths", float64(got.Hundredths())/100, want.PerGraft)
}
