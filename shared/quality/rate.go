package quality

import (
	"rootledger/shared/event"
	"rootledger/shared/stats"
)

// Rate is n of a number with its 95 % interval (Wilson), in parts of 10,000. Not
// known, and all 0 but N and Of, when nothing was tried or N does not fit Of.
type Rate struct {
	N     int64 `json:"n"`
	Of    int64 `json:"of"`
	Known bool  `json:"known"`
	Parts int64 `json:"parts"`
	Low   int64 `json:"low"`
	High  int64 `json:"high"`
}

// RateOf is n of a number.
func RateOf(n, of int64) Rate {
	r := Rate{N: n, Of: of}
	if r.Parts, r.Known = stats.ShareParts(n, of); r.Known {
		r.Low, r.High = stats.WilsonParts(n, of)
	}
	return r
}

// Rates are the rates of some attempts. Published usage of denominators differs,
// so each states its own (the society's terms of 2013, seen second-hand; common
// practice, no source for the denominators).
type Rates struct {
	Total     Rate `json:"total"`     // totally transected, of all outcomes: GTR
	Partial   Rate `json:"partial"`   // partly transected, of those extracted: intact, partly and totally transected: PTR
	Topped    Rate `json:"topped"`    // of all outcomes
	Buried    Rate `json:"buried"`    // of all outcomes, retrieved ones included
	Empty     Rate `json:"empty"`     // of all outcomes
	Follicles Rate `json:"follicles"` // cut follicles, of all follicles of the samples: FTR
}

// RatesOf are the rates of outcomes and of samples.
func RatesOf(outcomes [event.Outcomes]int64, sample Sample) (r Rates) {
	r.Fill(&outcomes, sample)
	return r
}

// Fill works the rates of outcomes and of samples out.
func (r *Rates) Fill(outcomes *[event.Outcomes]int64, sample Sample) {
	all := int64(0)
	for _, n := range outcomes {
		all += n
	}
	partial, total := outcomes[event.Partial-1], outcomes[event.Total-1]
	r.Total = RateOf(total, all)
	r.Partial = RateOf(partial, outcomes[event.Intact-1]+partial+total)
	r.Topped = RateOf(outcomes[event.Topped-1], all)
	r.Buried = RateOf(outcomes[event.Buried-1], all)
	r.Empty = RateOf(outcomes[event.Empty-1], all)
	r.Follicles = RateOf(sample.Cut, sample.Whole+sample.Cut)
}
