package published

import "rootledger/shared/stats"

// bounds is a 95 % interval.
type bounds struct{ Lo, Hi float64 }

var (
	_ = claim("wilson-81-263", wilson)
	_ = claim("wilson-15-148", wilson)
	_ = claim("wilson-0-20", wilson)
)

func wilson(p *probe) {
	var in struct {
		X, N int64
		Z    float64 // where the check says it; always the one that stats has
	}
	var want bounds
	p.read(&in, &want)
	lo, hi := stats.Wilson(in.X, in.N)
	p.near("lo", lo, want.Lo)
	p.near("hi", hi, want.Hi)
}
