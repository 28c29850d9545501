package pace

import (
	"rootledger/shared/event"
	"rootledger/shared/stats"
)

// Verdict says how one pace compares with another.
type Verdict uint8

// The verdicts.
const (
	CannotTell Verdict = iota
	Slower
	Faster
)

// String is the verdict's name.
func (v Verdict) String() string { return [...]string{"can't tell", "slower", "faster"}[v] }

// MarshalText writes the verdict's name.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// Comparison is two samples and whether their paces differ.
type Comparison struct {
	Before, Now Sample
	Tested      bool  // both are long enough; else PParts says nothing
	PParts      int64 // two-sided p in parts of 10,000; 1 is at most 1
	Verdict     Verdict
}

// alphaParts is below which p two paces are said to differ, in parts of 10,000.
const alphaParts = 500

// Compare tells whether the pace of now is another than before, by the
// conditional binomial: if both are one, those of now are binomial among all
// events, with now's share of the active time (Przyborowski J, Wilenski H,
// Biometrika 1940;31:313-323). Slower or faster is said when the two-sided p is
// below 0.05. It supposes that events come one by one, which a Bulk leaves open.
// Less than five active minutes on either side: no test.
func Compare(before, now Sample) Comparison {
	out := Comparison{Before: before, Now: now}
	if before.ActiveMs < minActiveMs || now.ActiveMs < minActiveMs || before.Events < 0 || now.Events < 0 {
		return out
	}
	out.Tested = true
	out.PParts = stats.RatesParts(now.Events, now.ActiveMs, before.Events, before.ActiveMs)
	if out.PParts < alphaParts {
		out.Verdict = Slower
		if now.Events*before.ActiveMs > before.Events*now.ActiveMs {
			out.Verdict = Faster
		}
	}
	return out
}

// Trend compares a station's last 30 minutes with the 30 before. It is worked out
// only when one of the two is another than at the call before.
func (t *Tally) Trend(at event.Station, nowMs int64, day Day) Comparison {
	s := t.station(at)
	if s == nil {
		return Comparison{}
	}
	before := t.Sample(at, nowMs-2*WindowMs, nowMs-WindowMs, day)
	now := t.Sample(at, nowMs-WindowMs, nowMs, day)
	if s.trend.Before != before || s.trend.Now != now {
		s.trend = Compare(before, now)
	}
	return s.trend
}
