package session

import (
	"strconv"

	"rootledger/shared/attempt"
	"rootledger/shared/event"
	"rootledger/shared/quality"
	"rootledger/shared/stats"
)

// Quality is whether the grafts are whole: rates, and the passes whose cut
// attempts are watched. A phone that counts at a table draws no rates: it has no
// rows, and of the watched passes only those that ask.
type Quality struct {
	P0Parts  int64        `json:"p0Parts"` // the setting that counts: the usual share of cut attempts, in parts of 10,000
	P1Parts  int64        `json:"p1Parts"` // the share that should be noticed soon
	H100     int64        `json:"h100"`    // the sum that asks for a look, × 100
	Standing int64        `json:"standing"`
	Rows     []QualityRow `json:"rows"`    // all first, then by pass, operator, region and punch set-up
	Watched  []Watched    `json:"watched"` // by pass; none of passes by exception, whose order is not known
}

// QualityBy says what a row of rates is about.
type QualityBy string

// The ways in which attempts are looked at.
const (
	ByAll      QualityBy = "all"
	ByPass     QualityBy = "pass"
	ByOperator QualityBy = "operator"
	ByRegion   QualityBy = "region"
	BySetup    QualityBy = "setup" // of attempts that name one; a sample names none
)

// QualityRow is the rates of some attempts.
type QualityRow struct {
	By         QualityBy     `json:"by"`
	At         event.Ref     `json:"at"`         // the pass, region or set-up
	Name       string        `json:"name"`       // the operator, the region's code, or the set-up's name; "" for attempts that name no region
	Number     int64         `json:"number"`     // of the pass, from 1
	BuriedOpen int64         `json:"buriedOpen"` // of all only, less those declared left: nobody says of which they are; 0 in other rows
	Inspected  int64         `json:"inspected"`  // grafts under the microscope
	Rates      quality.Rates `json:"rates"`
}

// Watched is one pass's sum. Trials and cut are since it was last 0, or since the
// last look; while it asks, of what raised it and all after.
type Watched struct {
	Pass     event.Ref `json:"pass"`
	Number   int64     `json:"number"` // of the pass, from 1
	Asks     bool      `json:"asks"`
	Sum100   int64     `json:"sum100"` // × 100
	Trials   int64     `json:"trials"`
	Cut      int64     `json:"cut"`
	SinceMs  int64     `json:"sinceMs"`  // when the first of the trials was entered, 0 for none
	AskingMs int64     `json:"askingMs"` // since when it asks, 0 for not
}

// quality fills the section for a replica.
func (s *State) quality(f *fold, passes []Pass, me event.ReplicaID) Quality {
	w := s.qualities.Watch()
	v := Quality{P0Parts: int64(w.P0Parts), P1Parts: int64(w.P1Parts), H100: int64(w.H100), Standing: int64(f.watches)}
	at := s.Station(me)
	counts := at >= event.Extraction && at <= event.Placing
	v.Watched, v.Rows = s.watched(f, counts), []QualityRow{}
	if !counts {
		v.Rows = s.rates.of(s, f, passes)
	}
	return v
}

// rates is the rows of rates as they were made last. They are many, so only what
// can change one has them made anew; a list that was handed out is never changed.
type rates struct {
	rows  []QualityRow
	fresh bool
}

func (r *rates) of(s *State, f *fold, passes []Pass) []QualityRow {
	if !r.fresh {
		r.rows, r.fresh = s.qualityRows(f, passes), true
	}
	return r.rows
}

// meet forgets the rows, unless an event of a kind can change none of them.
func (r *rates) meet(k event.Kind) {
	switch k {
	case event.KindSorted, event.KindRejected, event.KindSplit, event.KindSites, event.KindSitesClosed, event.KindPlaced,
		event.KindCameBack, event.KindDish, event.KindDishDone, event.KindDishClosed, event.KindRecount, event.KindDosed,
		event.KindLooked, event.KindPaused, event.KindResumed, event.KindNote, event.KindClockNote,
		event.KindGranted, event.KindReclaimed:
	default:
		r.fresh = false
	}
}

func (s *State) watched(f *fold, asking bool) []Watched {
	out := []Watched{}
	for i, p := range f.passes {
		sum := s.qualities.Read(p.Ref)
		if p.Begun.Mode == event.ByException || asking && sum.Alarmed == nil {
			continue
		}
		one := Watched{Pass: p.Ref, Number: int64(i + 1), Asks: sum.Alarmed != nil, Sum100: sum.Sum / (stats.Billion / 100), Trials: sum.Trials, Cut: sum.Cut}
		if sum.Since != nil {
			one.SinceMs = s.atMs(sum.Since)
		}
		if one.Asks {
			one.AskingMs = s.atMs(sum.Alarmed)
		}
		out = append(out, one)
	}
	return out
}

// rowSums gathers rows: what was attempted and inspected, by what it is about.
type rowSums []*rowSum

type rowSum struct {
	row      QualityRow
	outcomes [event.Outcomes]int64
	sample   quality.Sample
}

// to is the row of one thing, made when it is met first.
func (r *rowSums) to(by QualityBy, at event.Ref, name string) *rowSum {
	for _, one := range *r {
		if one.row.By == by && one.row.At == at && one.row.Name == name {
			return one
		}
	}
	one := &rowSum{row: QualityRow{By: by, At: at, Name: name}}
	*r = append(*r, one)
	return one
}

// place adds what one pass gave in one region to all that it belongs to. A place
// of which all was undone has no row: whether it ever had one depends on the order.
func (r *rowSums) place(f *fold, number int, p *Pass, region event.Ref, c *attempt.Counts, sample quality.Sample) {
	if *c == (attempt.Counts{}) && sample.Grafts == 0 {
		return
	}
	code := ""
	if at := f.regionAt(region); at >= 0 {
		code = f.regions[at].Code
	}
	pass := r.to(ByPass, p.Ref, "")
	pass.row.Number = int64(number)
	for _, one := range [...]*rowSum{(*r)[0], pass, r.to(ByOperator, event.Ref{}, p.Operator), r.to(ByRegion, region, code)} {
		for i, n := range c.Outcomes {
			one.outcomes[i] += n
		}
		one.sample = one.sample.Plus(sample)
	}
}

// qualityRows lists all attempts, then each pass, operator, region and set-up.
func (s *State) qualityRows(f *fold, passes []Pass) []QualityRow {
	var sums rowSums
	all := sums.to(ByAll, event.Ref{}, "")
	none := new(attempt.Counts)
	for i := range f.passes {
		p := &f.passes[i]
		for k := range p.ByRegion {
			sums.place(f, i+1, &passes[i], p.ByRegion[k].Region, &p.ByRegion[k].Counts, quality.Sample{})
		}
		for k := range len(f.regions) + 1 {
			at := quality.Place{Pass: p.Ref}
			if k > 0 {
				at.Region = f.regions[k-1].Ref
			}
			sums.place(f, i+1, &passes[i], at.Region, none, s.qualities.Sampled(at))
		}
	}
	for _, e := range s.punches.setups.Setups() {
		if one := s.punches.setups.Find(e.Ref()); one.Outcomes != ([event.Outcomes]int64{}) {
			sums.to(BySetup, e.Ref(), one.Made.Name).outcomes = one.Outcomes
		}
	}
	all.row.BuriedOpen = f.buried // less those declared left
	out := make([]QualityRow, 0, len(sums))
	for _, by := range [...]QualityBy{ByAll, ByPass, ByOperator, ByRegion, BySetup} {
		for _, one := range sums {
			if one.row.By == by {
				one.row.Inspected = one.sample.Grafts
				one.row.Rates.Fill(&one.outcomes, one.sample)
				out = append(out, one.row)
			}
		}
	}
	return out
}

// look asks for a look at the last grafts of the pass that asks for it newest.
func look(watched []Watched) (newest Ask, ok bool) {
	var asking int64
	for _, w := range watched {
		if w.Asks && (!ok || w.AskingMs > asking) {
			newest, ok, asking = Ask{What: AskLook, Zone: strconv.FormatInt(w.Number, 10), Have: w.Cut, Want: w.Trials, SinceMs: w.SinceMs}, true, w.AskingMs
		}
	}
	return newest, ok
}

// Chances is what a setting of the watch leads to in this session.
type Chances struct {
	Attempts    int64 `json:"attempts"`    // expected in all: punched, and what the budget still takes, or the donor area if that is less
	Planned     bool  `json:"planned"`     // false: no budget says how many, so 2,500 are taken
	FalseParts  int64 `json:"falseParts"`  // the chance of an alarm among them while nothing is wrong, in parts of 10,000
	FalseEvery  int64 `json:"falseEvery"`  // attempts until such an alarm, on average; 10^9: more than 20,000
	NoticedIn   int64 `json:"noticedIn"`   // attempts until an alarm at the share to notice, on average; 10^9: more than 20,000
	NoticeParts int64 `json:"noticeParts"` // the chance that it comes within 400 attempts
}

// unplanned is how many attempts a session is taken for when no budget says so,
// and noticeWithin in how many a raised share should show (common practice, no source).
const (
	unplanned    = 2_500
	noticeWithin = 400
)

// ChancesOf works out what a setting leads to. It costs some 20 ms at the defaults
// and half a second where both shares are small, so it is a question and no part
// of the View.
func (s *State) ChancesOf(w event.Watch) Chances {
	f := s.fold()
	c := Chances{Attempts: unplanned, Planned: f.tallies.BudgetKnown}
	if c.Planned {
		more := f.figures.Attempts
		if f.tallies.DonorKnown {
			more = min(more, max(0, f.tallies.DonorLeft))
		}
		c.Attempts = max(1, f.attempts.Punched+more)
	}
	chart := stats.Chart{P0Parts: int64(w.P0Parts), P1Parts: int64(w.P1Parts), H100: int64(w.H100)}
	c.FalseParts, c.FalseEvery = chart.AlarmParts(chart.P0Parts, c.Attempts), chart.RunLength(chart.P0Parts)
	c.NoticedIn, c.NoticeParts = chart.RunLength(chart.P1Parts), chart.AlarmParts(chart.P1Parts, noticeWithin)
	return c
}

// Watch is the setting of the watch that counts.
func (s *State) Watch() event.Watch { return s.qualities.Watch() }

// Chart is the chart of a pass's cut attempts in groups, none of a pass by exception.
func (s *State) Chart(pass event.Ref) quality.Chart {
	if s.attempts.Mode(pass) == event.ByException {
		return quality.Chart{}
	}
	return s.qualities.Chart(pass)
}
