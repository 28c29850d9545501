package session

import (
	"rootledger/shared/event"
	"rootledger/shared/quality"
	"rootledger/shared/stats"
	"rootledger/shared/trial"
)

// Comparison is what set-ups gave: the arms of a trial, or all set-ups of the
// session that something was attempted with. It is asked for, not a part of the
// View, for it costs more than a tap may.
type Comparison struct {
	Trial   event.Ref     `json:"trial"` // zero: all set-ups of the session, which nobody drew by lot
	Rows    []SetupResult `json:"rows"`
	Against []Against     `json:"against"` // of a trial: each arm after the first against the first
}

// SetupResult is what one set-up gave. Shares print their numerator and
// denominator, for published usage differs.
type SetupResult struct {
	Setup    event.Ref             `json:"setup"`
	Name     string                `json:"name"`
	Attempts int64                 `json:"attempts"` // outcomes, in all
	Outcomes [event.Outcomes]int64 `json:"outcomes"`
	NotWhole quality.Rate          `json:"notWhole"` // partly and totally transected, of outcomes
	GTR      quality.Rate          `json:"gtr"`      // totally transected, of outcomes
	PTR      quality.Rate          `json:"ptr"`      // partly transected, of intact, partly and totally transected
}

// Against is one arm against the first: the difference of their shares that were
// not whole, this arm's less the first's, so above 0 where this one cut more. A
// difference whose interval holds 0 tells neither from the other.
type Against struct {
	Setup event.Ref `json:"setup"`
	Known bool      `json:"known"` // both have outcomes
	Diff  int64     `json:"diff"`  // parts of 10,000
	Low   int64     `json:"low"`   // Newcombe's 95 % interval
	High  int64     `json:"high"`

	Full      bool  `json:"full"`      // what follows was asked for
	FisherP   int64 `json:"fisherP"`   // Fisher's exact test, two-sided, parts of 10,000; 1 is at most 1 in 10,000
	Worse     int64 `json:"worse"`     // chance that this arm cuts more, under flat priors, parts of 10,000
	MoreKnown bool  `json:"moreKnown"` // false where the shares are alike: no number would tell
	More      int64 `json:"more"`      // attempts more, of each of the two, whole blocks, that it would take to tell; 0: none, or the interval tells them apart already
}

// Compare compares the arms of a trial, or lists all set-ups where trial is zero
// or is not there. Full works out the figures of the office as well.
func (s *State) Compare(ref event.Ref, full bool) Comparison {
	out := Comparison{Rows: []SetupResult{}, Against: []Against{}}
	t := s.trials.tally.Find(ref)
	if t == nil {
		for _, e := range s.punches.setups.Setups() {
			setup := e.Ref()
			if o := s.punches.setups.Find(setup).Outcomes; o != [event.Outcomes]int64{} {
				out.Rows = append(out.Rows, s.result(setup, o))
			}
		}
		return out
	}
	out.Trial = ref
	for i, setup := range t.Begun.Setups {
		out.Rows = append(out.Rows, s.result(setup, t.Outcomes(int64(i))))
		if i > 0 {
			out.Against = append(out.Against, against(t, &out.Rows[0], &out.Rows[i], full))
		}
	}
	return out
}

func (s *State) result(ref event.Ref, o [event.Outcomes]int64) SetupResult {
	v := SetupResult{Setup: ref, Name: s.punches.setups.Find(ref).Made.Name, Outcomes: o}
	for _, n := range o {
		v.Attempts += n
	}
	partial, total := o[event.Partial-1], o[event.Total-1]
	v.NotWhole = quality.RateOf(partial+total, v.Attempts)
	v.GTR = quality.RateOf(total, v.Attempts)
	v.PTR = quality.RateOf(partial, o[event.Intact-1]+partial+total)
	return v
}

func against(t *trial.Trial, a, b *SetupResult, full bool) Against {
	v := Against{Setup: b.Setup, Full: full}
	x1, n1, x2, n2 := a.NotWhole.N, a.NotWhole.Of, b.NotWhole.N, b.NotWhole.Of
	if v.Diff, v.Known = stats.DifferenceParts(x2, n2, x1, n1); !v.Known {
		return v
	}
	v.Low, v.High = stats.NewcombeParts(x2, n2, x1, n1)
	if full {
		v.FisherP, v.Worse = stats.FisherParts(x1, n1, x2, n2), stats.LargerParts(x1, n1, x2, n2)
		v.More, v.MoreKnown = stats.Needed(x1, n1, x2, n2)
		switch told := v.Low > 0 || v.High < 0; {
		case told:
			v.More, v.MoreKnown = 0, true
		case v.MoreKnown:
			v.More = t.Blocks(v.More - min(n1, n2))
		}
	}
	return v
}
