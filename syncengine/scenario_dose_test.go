package syncengine

import (
	"strconv"
	"strings"

	"rootledger/shared/dose"
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// thousandths reads "0.5" as 500.
func (s *stage) thousandths(text string) uint32 {
	f, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
	if err != nil {
		s.t.Fatalf("%s: %v", s.line, err)
	}
	return uint32(1000*f + 0.5)
}

const decimal = `([\d.,]+)`

// doseVerbs are weights, agents, doses and the lead's rules about them.
var doseVerbs = []verb{
	line(`enters a weight of `+decimal+` kg(, as asked)?`, func(s *stage, a []string) event.Fact {
		return &event.Weight{Grams: s.thousandths(a[1]), Asked: a[2] != ""}
	}),
	line(`configures `+name+`: (?:`+decimal+` mg/kg, )?`+decimal+` mg`, func(s *stage, a []string) event.Fact {
		f := &event.Agent{Substance: a[1], CapUG: s.thousandths(a[3]), Source: "the house's list"}
		if a[2] != "" {
			f.PerKgUG = s.thousandths(a[2])
		}
		return f
	}),
	line(`gives `+decimal+` mL of `+decimal+` % ([a-z ]+?)(?: 1:`+number+`)?(, dilute)?(, earlier)?(, as asked)?`, func(s *stage, a []string) event.Fact {
		f := &event.Dosed{VolumeUL: s.thousandths(a[1]), Strength: s.thousandths(a[2]), Tumescent: a[5] != "", Earlier: a[6] != "", Asked: a[7] != ""}
		if label, ok := event.ParseLabel(a[3]); ok {
			f.Label = label
		} else {
			f.Agent = s.ref("agent " + a[3])
		}
		if a[4] != "" {
			f.Ratio = s.number(a[4])
		}
		return f
	}),
	line(`holds `+name+` apart, because (.+)`, func(_ *stage, a []string) event.Fact {
		return &event.DoseRule{Substance: a[1], Apart: true, Reason: a[2]}
	}),
	line(`chooses a dilute regime for `+name+`: `+decimal+` mg/kg at `+decimal+` %, because (.+)`, func(s *stage, a []string) event.Fact {
		return &event.DoseRule{Substance: a[1], PerKgUG: s.thousandths(a[2]), Strength: s.thousandths(a[3]), Source: "the house's list", Reason: a[4]}
	}),
}

// mgOf is what was given of a substance, in mg, ordinarily and dilute.
func mgOf(substance string) func(session.View) int64 {
	return func(v session.View) (ug int64) {
		for _, g := range v.Doses.Groups {
			if g.Substance == substance {
				ug += g.UG
			}
		}
		return ug / 1000
	}
}

var doseFigures = map[string]func(session.View) int64{
	"mg of lidocaine":      mgOf("lidocaine"),
	"mg of bupivacaine":    mgOf("bupivacaine"),
	"mg of articaine":      mgOf("articaine"),
	"doses":                func(v session.View) int64 { return v.Doses.Count },
	"held apart":           func(v session.View) int64 { return int64(len(v.Doses.Groups)) },
	"share":                func(v session.View) int64 { return v.Doses.Parts },
	"share with 1 mL more": func(v session.View) int64 { return v.Doses.NextParts },
	"limit":                func(v session.View) int64 { return v.Doses.Groups[0].LimitUG / 1000 },
	"vasoconstrictor":      func(v session.View) int64 { return v.Doses.VasoconstrictorNG / 1000 },
	"grams":                func(v session.View) int64 { return v.Doses.Grams },
	"weights":              func(v session.View) int64 { return v.Doses.Weights },
	"near": func(v session.View) int64 {
		return map[dose.Warning]int64{dose.Near: 1}[v.Doses.State]
	},
	"past": func(v session.View) int64 {
		return map[dose.Warning]int64{dose.Past: 1}[v.Doses.State]
	},
}
