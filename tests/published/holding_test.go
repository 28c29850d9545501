package published

import (
	"slices"
	"strconv"
	"strings"

	"rootledger/pwa/words"
	"rootledger/shared/holding"
)

var (
	_ = claim("obt-fifo", timeOut)
	_ = claim("kim-4c", survivalIsQuoted)
)

// spanOf is n grafts that lie evenly in some hours: graft i of n at (i - 1/2)/n.
type spanOf struct {
	N      int64
	Evenly [2]float64 `json:"evenly_h"`
}

func (s spanOf) at(i int64) int64 {
	const hour = 3_600_000
	from, to := int64(s.Evenly[0]*hour), int64(s.Evenly[1]*hour)
	return from + (2*i+1)*(to-from)/(2*s.N)
}

// timeOut plays the check's grafts one by one.
func timeOut(p *probe) {
	var in struct{ Out, Placed spanOf }
	var want struct {
		Mean  float64 `json:"mean_h"`
		Min   float64 `json:"fifo_min_h"`
		Max   float64 `json:"fifo_max_h"`
		Hours float64 `json:"graft_hours"`
	}
	p.read(&in, &want)
	const hour = 3_600_000
	var tally, first holding.Tally
	for i := range in.Out.N {
		tally.Add(holding.Entry{Move: holding.Came, AtMs: dayMs + in.Out.at(i), N: 1}, 1)
		first.Add(holding.Entry{Move: holding.Came, AtMs: dayMs + in.Out.at(i), N: 1}, 1)
	}
	for i := range in.Placed.N {
		tally.Add(holding.Entry{Move: holding.Placed, AtMs: dayMs + in.Placed.at(i), N: 1}, 1)
	}
	first.Add(holding.Entry{Move: holding.Placed, AtMs: dayMs + in.Placed.at(0), N: 1}, 1)
	f := tally.Read(dayMs+10*hour, 0)
	p.near("mean", float64(f.MeanMs)/hour, want.Mean)
	p.near("longest", float64(f.LongestMs)/hour, want.Max)
	p.near("the first one's", float64(first.Read(dayMs, in.Out.N).LongestMs)/hour, want.Min)
	p.near("graft-hours", float64(f.MeanMs)*float64(f.Left)/hour, want.Hours)
}

// survivalIsQuoted: what was published of grafts that were kept stands on the page
// about figures as it was published, beside the default limits; nothing computes
// with it.
func survivalIsQuoted(p *probe) {
	var in struct{ Hours []float64 }
	var want struct{ Percent []int }
	p.read(&in, &want)
	quoted := words.English().Text("figureCheck.oldest out")
	var parts []string
	for i, percent := range want.Percent {
		when := strconv.Itoa(int(in.Hours[i]))
		if in.Hours[i] < 1 {
			when = strconv.Itoa(int(60*in.Hours[i]+0.5)) + " minutes"
		} else if !slices.ContainsFunc(in.Hours[:i], func(h float64) bool { return h >= 1 }) {
			when += " hours"
		}
		parts = append(parts, strconv.Itoa(percent)+" % at "+when)
	}
	if all := strings.Join(parts, ", "); !strings.Contains(quoted, all) || !strings.Contains(quoted, "not a forecast") {
		p.differs("quoted", quoted, all)
	}
	p.same("the red limit, hours", holding.DefaultRedMin, int64(60*in.Hours[1]))
}
