package published

import "rootledger/shared/stats"

// bounds is a 95 % interval.
type bounds struct{ Lo, Hi float64 }

var (
	_ = claim("wilson-81-263", wilson)
	_ = claim("wilson-15-148", wilson)
	_ = claim("wilson-0-20", wilson)
	_ = claim("newcombe-56-70", newcombe)
	_ = claim("garwood-5", garwood)
	_ = claim("garwood-0", garwood)
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

func newcombe(p *probe) {
	var in struct{ A, B [2]int64 }
	var want struct{ Diff, Lo, Hi float64 }
	p.read(&in, &want)
	lo, hi := stats.Newcombe(in.A[0], in.A[1], in.B[0], in.B[1])
	p.near("lo", lo, want.Lo)
	p.near("hi", hi, want.Hi)
	p.near("diff", float64(in.A[0])/float64(in.A[1])-float64(in.B[0])/float64(in.B[1]), want.Diff)
}

func garwood(p *probe) {
	var in struct{ X int64 }
	var want bounds
	p.read(&in, &want)
	lo, hi := stats.Garwood(in.X)
	p.near("lo", lo, want.Lo)
	p.near("hi", hi, want.Hi)
}
