package bridge

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/quality"
	"rootledger/shared/stats"
)

// chances works out what a setting of the watch leads to, standing or not; its
// faults are those of recording it. In order: attempts, 1 for planned ones, the
// chance of a false alarm among them in parts of 10,000, attempts to one, attempts
// to an alarm at the share to notice, and the chance that it comes within 400.
func (g *Engine) chances(in Call, d *Duties) error {
	fact, ok := event.DecodeFact(event.KindWatch, in.Fact).(*event.Watch)
	if !ok {
		return fault.New(fault.Damaged, "call-damaged")
	}
	if err := fact.Validate(); err != nil {
		return err
	}
	c, planned := g.replica.State().ChancesOf(*fact), int64(0)
	if c.Planned {
		planned = 1
	}
	d.Worked = []int64{c.Attempts, planned, c.FalseParts, c.FalseEvery, c.NoticedIn, c.NoticeParts}
	d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	return nil
}

// chart lists a pass in groups: the mean share and the limits in parts of 10,000,
// the outcomes after the last group, and of each group how many were cut, 1 for
// one outside the limits, and when it was full.
func (g *Engine) chart(in Call, d *Duties) {
	s := g.replica.State()
	c := s.Chart(in.At)
	d.Worked = []int64{0, 0, 0, c.Rest}
	if len(c.Groups) > 0 {
		d.Worked[0], d.Worked[1], d.Worked[2] = stats.ShareLimitsParts(c.Cut, int64(len(c.Groups)), quality.GroupSize)
	}
	for _, one := range c.Groups {
		ms, _ := s.At(one.Last)
		out := int64(0)
		if one.Out {
			out = 1
		}
		d.Worked = append(d.Worked, one.Cut, out, ms)
	}
}
