package sheet

import (
	"slices"
	"strconv"
	"strings"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// careOfDoses is what is said beside every figure of doses, as keys.
var careOfDoses = []string{"label maximum", "no credit for time", "pooled", "equipment first", "a log"}

// doses states the weight and who entered it, every agent's limits and their
// source, what was given of each against its limit, the lead's rules, every dose,
// and what must be said beside them.
func (b *builder) doses(s *session.State, v session.View) {
	d := v.Doses
	b.number("dose", "", "doses", d.Count, "doses")
	if d.Count == 0 && !d.WeightKnown && len(d.Rules) == 0 && len(d.Agents) == event.Labels {
		return
	}
	for _, key := range careOfDoses {
		b.code("dose", "", "caution", "caution, "+key)
	}
	for _, key := range d.Cautions {
		if slices.Contains(careOfDoses, key) {
			continue
		}
		b.code("dose", "", "caution", "caution, "+key)
	}
	if d.WeightKnown {
		b.number("dose", d.WeightBy, "weight", d.Grams, "g")
		b.time("dose", d.WeightBy, "weight, entered", d.WeightMs)
		b.asked(d.WeightBy, "weight, asked", d.WeightAsked)
	}
	b.agents(d)
	for _, g := range d.Groups {
		about := groupName(g)
		b.share("dose", about, "given of the limit", g.UG, g.LimitUG, "ug")
		if g.DailyUG > 0 {
			b.share("dose", about, "given of the daily limit", g.UG, g.DailyUG, "ug")
			b.share("dose", about, "dose nearest its own limit", g.TopUG, g.TopLimitUG, "ug")
		}
		b.number("dose", about, "largest dose", g.LargestUG, "ug")
	}
	b.share("dose", "", "sum of the shares", d.Parts, 10_000, "")
	b.number("dose", "", "vasoconstrictor", d.VasoconstrictorNG, "ng")
	b.rules(d)
	b.everyDose(s)
}

func (b *builder) asked(about, measure string, asked bool) {
	if asked {
		b.code("dose", about, measure, "asked, confirmed")
	}
}

// agents states the limits of every agent, and where they are from.
func (b *builder) agents(d session.Doses) {
	for _, a := range d.Agents {
		about := agentName(a.Substance, a.Epinephrine)
		for _, limit := range []struct {
			measure, unit string
			n             int64
		}{{"limit by weight", "ug/kg", a.PerKgUG}, {"limit of one dose", "ug", a.CapUG}, {"daily limit", "ug", a.DailyUG}, {"limit that counts", "ug", a.LimitUG}} {
			if limit.n > 0 {
				b.number("dose", about, limit.measure, limit.n, limit.unit)
			}
		}
		if a.Source == "" {
			b.code("dose", about, "source", "label of "+a.Label.String())
		} else {
			b.text("dose", about, "source", a.Source)
		}
	}
}

// rules states what the lead said, by whom and why.
func (b *builder) rules(d session.Doses) {
	for _, r := range d.Rules {
		if r.Apart {
			b.code("dose", r.Substance, "rule", "held apart")
		}
		if r.PerKgUG > 0 {
			b.number("dose", r.Substance, "dilute regime, limit", r.PerKgUG, "ug/kg")
			b.number("dose", r.Substance, "dilute regime, strength", int64(r.Strength), "% x 1000")
			b.text("dose", r.Substance, "dilute regime, source", r.Source)
		}
		b.text("dose", r.Substance, "rule, by", r.Person)
		b.text("dose", r.Substance, "rule, reason", r.Reason)
		b.time("dose", r.Substance, "rule, set", r.AtMs)
	}
}

// everyDose lists all that stand, in order.
func (b *builder) everyDose(s *session.State) {
	for i, e := range s.Standing(event.KindDosed) {
		d := s.DoseOf(e)
		about := strings.TrimSuffix(strconv.Itoa(i+1)+", "+agentName(d.Substance, d.Epinephrine)+" ("+d.Person+")", " ()")
		b.time("dose", about, "given", d.AtMs)
		b.number("dose", about, "volume", d.VolumeUL, "uL")
		b.number("dose", about, "strength", int64(d.Strength), "% x 1000")
		b.number("dose", about, "dose", d.UG, "ug")
		if d.Ratio > 0 {
			b.share("dose", about, "vasoconstrictor, one part in", 1, int64(d.Ratio), "")
		}
		if d.Site != "" {
			b.text("dose", about, "site", d.Site)
		}
		if d.Tumescent {
			b.code("dose", about, "regime", "dilute")
		}
		if d.Earlier {
			b.code("dose", about, "time", "given before it was entered")
		}
		b.asked(about, "dose, asked", d.Asked)
	}
}

func agentName(substance string, epinephrine bool) string {
	if epinephrine {
		return substance + " with epinephrine"
	}
	return substance
}

// groupName is a substance, and how it is held where that needs saying.
func groupName(g session.DoseGroup) string {
	switch {
	case g.Tumescent:
		return g.Substance + ", dilute"
	case g.Plain && g.Epinephrine:
		return g.Substance + ", plain and with epinephrine"
	}
	return agentName(g.Substance, g.Epinephrine)
}
