package session

import (
	"rootledger/shared/budget"
	"rootledger/shared/event"
)

// AskWhat names what the room is asked to look at.
type AskWhat string

// What may be asked, the newest need first.
const (
	AskPastDonor  AskWhat = "past donor"  // the donor allows no more and grafts are still to take: a limit of the patient
	AskDonorFirst AskWhat = "donor first" // the donor stops before the need does
	AskChoose     AskWhat = "choose"      // plan edits made apart wait for the lead
	AskShort      AskWhat = "short"       // a zone has more open sites of a size than grafts of it are held
)

// Ask is one thing that a person can answer. Have and Want are in attempts for
// the donor, in grafts and sites for a shortage; a choice wants one for each of
// the View's conflicts.
type Ask struct {
	What AskWhat    `json:"what"`
	Zone string     `json:"zone"` // of a shortage
	Size event.Size `json:"size"` // of a shortage
	Have int64      `json:"have"`
	Want int64      `json:"want"`
}

const (
	maxAsks   = 3
	shortFrom = 10 // open sites of one size before a shortage asks: the next tray
)

// asks lists what asks for somebody, at most three.
func asks(v *View) []Ask {
	out := []Ask{}
	h := v.Headline
	if h.BudgetKnown && h.Stops == budget.StopsDonor {
		what := AskDonorFirst
		if h.DonorLeft == 0 {
			what = AskPastDonor
		}
		out = append(out, Ask{What: what, Have: h.DonorLeft, Want: h.Attempts})
	}
	if n := len(v.Conflicts); n > 0 {
		out = append(out, Ask{What: AskChoose, Want: int64(n)})
	}
	if short, ok := shortest(v); ok {
		out = append(out, short)
	}
	return out[:min(len(out), maxAsks)]
}

// shortest is the zone and size that lack the most grafts for their open sites.
func shortest(v *View) (worst Ask, ok bool) {
	for _, z := range v.Zones {
		for i, open := range z.Open {
			have := max(0, v.Ledger.Holding[i])
			if open >= shortFrom && open > have && (!ok || open-have > worst.Want-worst.Have) {
				worst, ok = Ask{What: AskShort, Zone: z.Name, Size: event.Size(i + 1), Have: have, Want: open}, true
			}
		}
	}
	return worst, ok
}
