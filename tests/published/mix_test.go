package published

import (
	"strconv"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/mix"
)

var (
	_ = claim("mix-han", mixMean)
	_ = claim("mix-bad", mixRefused)
)

// shares is a mix by hairs, as parts of one.
type shares struct{ Shares map[string]float64 }

// parts is the same in parts of 10,000, from one hair on.
func (s shares) parts(p *probe) []int64 {
	out := make([]int64, len(s.Shares))
	for hairs, share := range s.Shares {
		n, err := strconv.Atoi(hairs)
		if err != nil || n < 1 || n > len(out) {
			p.Fatalf("%s: got a share of %q hairs, want 1 to %d", p.ID, hairs, len(out))
		}
		out[n-1] = p.whole("share", 10_000*share)
	}
	return out
}

func mixMean(p *probe) {
	var in shares
	var want struct {
		Mean float64 `json:"mean_hairs"`
	}
	p.read(&in, &want)
	got, err := mix.MeanHairs(in.parts(p)...)
	if err != nil {
		p.Fatalf("%s: %v", p.ID, err)
	}
	p.near("mean", float64(got.Num)/float64(got.Den), want.Mean)
}

func mixRefused(p *probe) {
	var in shares
	var want struct{ Refused string }
	p.read(&in, &want)
	parts := in.parts(p)
	zone := event.Zone{Name: "x", AreaMM2: 1, Density10: 1}
	for i := range zone.Mix {
		zone.Mix[i] = uint16(parts[i] / 10)
	}
	_, err := mix.MeanHairs(parts...)
	p.holds("refused as a mix of sizes", fault.Is(zone.Validate(), "mix-sum"), true)
	p.holds("refused for its sum", fault.Is(err, "mix-sum"), true)
	if f := fault.Of(err); f != nil && "sums to "+f.Args[0].Value+" %" != want.Refused {
		p.differs("refused", f, want.Refused)
	}
}
