package session

import (
	"rootledger/shared/budget"
	"rootledger/shared/event"
)

// AskWhat names what the room is asked to look at.
type AskWhat string

// What may be asked. Limits of the patient come first, then what stops the
// work soonest.
const (
	AskPastDonor  AskWhat = "past donor"   // the donor allows no more and grafts are still to take
	AskPastShare  AskWhat = "past share"   // more was taken from a region than its share
	AskBelowFloor AskWhat = "below floor"  // fewer hairs stand in a region than should
	AskDonorFirst AskWhat = "donor first"  // the donor stops before the need does
	AskRecount    AskWhat = "recount"      // tallies do not agree, and nobody has counted the objects again
	AskChoose     AskWhat = "choose"       // plan edits made apart wait for the lead
	AskShort      AskWhat = "short"        // a zone has more open sites of a size than grafts of it are held
	AskSingles    AskWhat = "singles"      // in the end there will be fewer singles than the plan needs
	AskLook       AskWhat = "look"         // more attempts were cut than usual, and nobody looked at the last grafts since
	AskPauseAhead AskWhat = "pause, ahead" // a graft taken now would be out for longer than a limit: pause extraction
	AskPauseOld   AskWhat = "pause, old"   // the oldest graft is out for longer than a limit: pause extraction
	AskOld        AskWhat = "old"          // it is, and nothing is being taken: place the oldest first
	AskPastDose   AskWhat = "past dose"    // more of an anaesthetic was given than its limit
	AskPastDoses  AskWhat = "past doses"   // the shares of several add up to more than the limit
)

// Ask is one thing that a person can answer. Have and Want are in attempts for
// the donor and a share, in hairs per cm² × 10 for the floor, in grafts and
// sites for a shortage, in grafts for singles, in minutes for a time out, in mg for a
// dose and in per cent for all doses. A choice wants one for each of
// the View's conflicts; a recount has the newest difference's amount, and wants
// one for each difference that needs it. A look has the attempts that were cut,
// and wants those they are of; its place is the pass's number.
type Ask struct {
	What   AskWhat        `json:"what"`
	Limit  bool           `json:"limit"` // past a limit of the patient
	Zone   string         `json:"zone"`  // where: a zone's name, a region's code, a dish's label
	Size   event.Size     `json:"size"`  // of a shortage, or a difference
	Of     event.Identity `json:"of"`    // of a difference
	Have   int64          `json:"have"`
	Want   int64          `json:"want"`
	Splits int64          `json:"splits"` // that make up for singles, as far as they can

	SinceMs int64 `json:"sinceMs"` // of a look: when the first of those attempts was entered
}

const (
	maxAsks   = 3
	shortFrom = 10 // open sites of one size, or singles, before a shortage asks: the next tray
	mixFrom   = 30 // grafts sorted before the mix asks, as for the yield
)

// asks lists what asks for somebody, at most three.
func asks(v *View) []Ask {
	out := askList{}
	add := out.add
	h := v.Headline
	if v.Session.EndedMs > 0 { // there is no next step; what does not agree, and what nobody chose, stays
		add(newestRecount(v))
		add(Ask{What: AskChoose, Want: int64(len(v.Conflicts))}, len(v.Conflicts) > 0)
		return out
	}
	add(tooLong(v, true))
	donor := Ask{What: AskDonorFirst, Have: h.DonorLeft, Want: h.Attempts}
	first := h.BudgetKnown && h.Stops == budget.StopsDonor
	if first && h.DonorLeft == 0 {
		donor.What, donor.Limit = AskPastDonor, true
	} else {
		add(pastRegion(v.Regions, v.Ledger.FloorHairs10))
	}
	add(donor, donor.Limit)
	add(pastDose(&v.Doses)) // nothing that is done ends it, so it hides no other limit
	add(donor, first && !donor.Limit)
	add(tooLong(v, false))
	if h.follows() { // else there is none that a look could spare
		add(look(v.Quality.Watched))
	}
	add(newestRecount(v))
	add(Ask{What: AskChoose, Want: int64(len(v.Conflicts))}, len(v.Conflicts) > 0)
	add(shortest(v))
	if h.Budget >= v.Ledger.NeedTotal { // a smaller budget leaves a part of the plan for another day
		add(singles(&v.Mix))
	}
	return out
}

type askList []Ask

func (l *askList) add(one Ask, ok bool) {
	if ok && len(*l) < maxAsks {
		*l = append(*l, one)
	}
}

// pastRegion is the region that is furthest past its share, in attempts; when
// none is, the one that is furthest below the floor.
func pastRegion(regions []Region, floor10 int64) (worst Ask, ok bool) {
	for _, r := range regions {
		if r.PastShare && (!ok || r.Punched-r.Capacity > worst.Have-worst.Want) {
			worst, ok = Ask{What: AskPastShare, Limit: true, Zone: r.Code, Have: r.Punched, Want: r.Capacity}, true
		}
	}
	if ok {
		return worst, ok
	}
	for _, r := range regions {
		if r.BelowFloor && (!ok || r.ResidualHairs10 < worst.Have) {
			worst, ok = Ask{What: AskBelowFloor, Limit: true, Zone: r.Code, Have: r.ResidualHairs10, Want: floor10}, true
		}
	}
	return worst, ok
}

// newestRecount is the newest open difference whose objects nobody has counted
// again; of equally new ones the first listed.
func newestRecount(v *View) (newest Ask, ok bool) {
	var n, since int64
	for _, d := range v.Differences {
		if !d.Open || !d.RecountFirst {
			continue
		}
		n++
		if !ok || d.SinceMs > since {
			newest, ok, since = Ask{What: AskRecount, Of: d.What, Zone: v.placeOf(d.At), Size: d.Size, Have: d.Amount}, true, d.SinceMs
		}
	}
	newest.Want = n
	return newest, ok
}

// placeOf is a zone's name or a dish's label, "" for neither.
func (v *View) placeOf(at event.Ref) string {
	for _, z := range v.Zones {
		if z.Ref == at {
			return z.Name
		}
	}
	for _, d := range v.Dishes {
		if d.Ref == at {
			return d.Label
		}
	}
	return ""
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

// singles asks for splits when the singles that are expected fall short by more
// than chance explains: by more than twice the standard deviation of how many
// singles are among the r grafts that remain, when k of the n sorted are,
//
//	√(p (1 − p) r (1 + r / n)), p = k / n
//
// (the prediction of a binomial count from another one, by the usual normal
// approximation; textbook, from memory). Squares of whole numbers decide.
func singles(m *Mix) (Ask, bool) {
	n, k, r, short := m.Sorted.Total(), m.Sorted[0], m.Remaining, -m.Over[0]
	if !m.Known || n < mixFrom || short < shortFrom {
		return Ask{}, false
	}
	k = min(max(k, 0), n)
	// bounds: 4 k (n − k) <= n² <= 4 × 10⁸ and r (n + r) <= 8 × 10⁸, so below 2⁶³
	if short*short*n <= 4*k*(n-k)*r/n*(n+r)/n {
		return Ask{}, false
	}
	return Ask{What: AskSingles, Size: 1, Have: m.Expected[0], Want: m.Need[0], Splits: m.SplitsTotal}, true
}
