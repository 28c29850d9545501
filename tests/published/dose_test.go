package published

import (
	"rootledger/shared/dose"
	"rootledger/shared/event"
	"rootledger/shared/session"
)

var (
	_ = claim("lido-plain", func(p *probe) { labelLimit(p, event.Lidocaine) })
	_ = claim("lido-epi", func(p *probe) { labelLimit(p, event.LidocaineEpinephrine) })
	_ = claim("dose-mg", milligrams)
	_ = claim("epi-strength", vasoconstrictor)
	_ = claim("dose-two-agents", twoAgents)
)

// labelLimit holds the limit of a label at every weight, as the screens show it.
func labelLimit(p *probe, label event.Label) {
	var in struct{ Kg []float64 }
	var want struct{ Mg []float64 }
	p.read(&in, &want)
	p.same("weights", int64(len(in.Kg)), int64(len(want.Mg)))
	d := newDay(p)
	for i, kg := range in.Kg {
		var heads []event.Ref
		if i > 0 {
			heads = []event.Ref{d.last.Ref()}
		}
		d.says(&event.Weight{Grams: uint32(p.whole("weight", 1000*kg)), Supersedes: heads})
		for _, a := range d.view().Doses.Agents {
			if a.Label == label {
				d.same("µg", a.LimitUG, p.whole("mg", 1000*want.Mg[i]))
			}
		}
	}
}

// milligrams holds what a volume of a strength is.
func milligrams(p *probe) {
	var in struct {
		ML      float64 `json:"ml"`
		Percent float64
	}
	var want struct{ Mg int64 }
	p.read(&in, &want)
	d := newDay(p)
	d.says(&event.Dosed{Label: event.Lidocaine, VolumeUL: uint32(p.whole("µL", 1000*in.ML)), Strength: uint32(p.whole("strength", 1000*in.Percent))})
	d.same("mg", d.view().Doses.Groups[0].UG, 1000*want.Mg)
}

// vasoconstrictor: what is added of the stock is what the mixture holds, and a
// dose of all of it at the ratio that is expected holds just that.
func vasoconstrictor(p *probe) {
	var in struct {
		Add   float64 `json:"add_ml_1_in_1000"`
		Into  float64 `json:"into_ml"`
		Final float64 `json:"final_ml"`
	}
	var want struct {
		PerML float64 `json:"micrograms_per_ml"`
		Ratio string
	}
	p.read(&in, &want)
	p.same("volume", p.whole("into", in.Into), p.whole("final", in.Final))
	ng := dose.VasoconstrictorNG(p.whole("µL", 1000*in.Add), 1000)
	p.near("µg/mL", float64(ng)/1000/in.Final, want.PerML)
	p.holds("ratio", want.Ratio == "1:200,000", true)
	d := newDay(p)
	d.says(&event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: uint32(p.whole("µL", 1000*in.Final)), Strength: 1000, Ratio: 200_000})
	d.same("ng", d.view().Doses.VasoconstrictorNG, ng)
}

// twoAgents holds the sum of the shares of two agents.
func twoAgents(p *probe) {
	var in struct {
		Kg          float64
		Lidocaine   float64 `json:"lidocaine_epi_mg"`
		Bupivacaine float64 `json:"bupivacaine_epi_mg"`
		Caps        []int64 `json:"caps_mg"`
	}
	var want struct{ Fraction float64 }
	p.read(&in, &want)
	d := newDay(p)
	d.says(&event.Weight{Grams: uint32(p.whole("g", 1000*in.Kg))})
	gives := func(label event.Label, mg float64, strength uint32) { // strength in % × 1000
		d.says(&event.Dosed{Label: label, VolumeUL: uint32(p.whole("µL", mg*100_000/float64(strength))), Strength: strength, Ratio: 200_000})
	}
	gives(event.LidocaineEpinephrine, in.Lidocaine, 2000)
	gives(event.BupivacaineEpinephrine, in.Bupivacaine, 500)
	v := d.view().Doses
	for i, g := range []session.DoseGroup{v.Groups[0], v.Groups[1]} {
		d.same("cap", g.LimitUG, 1000*in.Caps[i])
	}
	d.near("fraction", float64(v.Parts)/10_000, want.Fraction)
}
