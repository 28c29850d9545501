package scenes

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// Extreme is a day at the ends of what may be planned and counted.
type Extreme struct {
	Name  string
	Zones []string // their names
	Away  bool     // no phone is heard
	Begun bool     // something was counted

	code           string
	budget         int    // grafts; below zero none
	need           uint32 // grafts of all zones
	regions        int
	room           uint32 // attempts that each region allows
	taken          int    // grafts, and so on
	sorted, placed int
	sites          int
	practice       bool
	ended          bool
	apart          bool // limits, doses and plans ask
}

// end is what makes a day extreme.
type end struct {
	name   string
	change func(*Extreme)
}

// ends are by what they change: of one line a day has one at most.
var ends = [][]end{
	{{"no budget", func(e *Extreme) { e.budget = -1 }}, {"no plan", func(e *Extreme) { e.budget, e.regions, e.Zones = -1, 0, e.Zones[:1] }}},
	{{"ten zones", func(e *Extreme) { e.Zones = longest }}},
	{{"no grafts", func(e *Extreme) { e.taken, e.sorted, e.placed, e.sites = 0, 0, 0, 40 }},
		{"many grafts", func(e *Extreme) {
			e.budget, e.need, e.room, e.taken, e.sorted, e.placed, e.sites = min(e.budget, 1)*9_999, 19_998, 6_000, 11_480, 11_112, 9_988, 10_999
		}},
		{"below zero", func(e *Extreme) { e.sorted, e.placed = e.taken+1_234, e.taken+2_468 }}},
	{{"eight regions", func(e *Extreme) { e.regions, e.room = min(2*e.regions, 8), e.room*2/5 }},
		{"eight past the donor", func(e *Extreme) { e.regions, e.room = min(2*e.regions, 8), max(1, uint32(e.taken)/25) }}},
	{{"all away", func(e *Extreme) { e.Away = true }}},
	{{"asks", func(e *Extreme) { e.apart, e.sorted = true, max(e.sorted, e.taken+7) }}},
	{{"practice", func(e *Extreme) { e.practice, e.code = true, longestCode }}, {"ended", func(e *Extreme) { e.ended = true }}},
}

var longestCode = strings.Repeat("W", event.MaxLabel)

// longest are names of as many letters as a zone's may have: of many words, of
// one, of the widest letters, and from right to left.
var longest = []string{"Hairline, first two rows", "Temple point on the left", "Temple point on the east", "FRONTALTUFTBEHINDTHEROWS",
	"Mittelscheitelwirbelrand", "Parting, right of middle", "WWWWWW MMMMMM WWWWWW WWW", "קו השיער, שתי שורות בצדד", "Crown, inside the whorls", "Scar above the left ears"}

// Extremes are days at the ends, each alone, and some at many of them, as many
// as asked for: the same of the same seed.
func Extremes(seed uint64, together int) []Extreme {
	usual := Extreme{Begun: true, Zones: []string{"Front", "Middle", "Crown"}, code: "A-12", budget: 2_400, need: 2_400, regions: 4, room: 900,
		taken: 1_300, sorted: 1_110, placed: 354, sites: 470}
	bare := usual
	bare.Name, bare.Begun, bare.code = "nothing counted", false, longestCode
	bare.taken, bare.sorted, bare.placed, bare.sites = 0, 0, 0, 0
	days := []Extreme{bare}
	for _, one := range slices.Concat(ends...) {
		day := usual
		day.Name = one.name
		one.change(&day)
		days = append(days, day)
	}
	chance := rand.New(rand.NewPCG(seed, 0))
	for range together {
		day := usual
		day.code = longestCode
		var names []string
		for _, line := range ends {
			if i := chance.IntN(len(line) + 1); i < len(line) {
				line[i].change(&day)
				names = append(names, line[i].name)
			}
		}
		day.Name = strings.Join(names, ", ")
		days = append(days, day)
	}
	return days
}

const dayLong = 4 * time.Hour

// Open opens the day in a room and plays it: what was counted came in four
// hours, the most of it before.
func (e *Extreme) Open(r *rig.Rig) error {
	opening := r.Opening(e.code)
	if e.practice {
		began := uint64(time.Now().Add(-dayLong).UnixMilli())
		opening.Practice = event.Practice{StartMs: began, RealMs: began, Speed: 1}
	}
	r.Ago(dayLong)
	if err := r.OpenWith(opening, e.plan()...); err != nil {
		return err
	}
	if err := errors.Join(r.Do(r.Office, &event.PassBegun{Mode: event.Each, DiameterUM: 900}), r.Within(r.Office.InRoom)); err != nil {
		return err
	}
	var phones []*practice.Phone
	for i, person := range []string{"Hazel", "Cedar", "Rowan", "Linden"} {
		p, err := r.Join(person, event.Extraction+event.Station(i))
		if err != nil {
			return err
		}
		phones = append(phones, p)
	}
	for hour := 3; hour >= 0; hour-- {
		r.Ago(time.Duration(hour) * time.Hour)
		for i, counts := range e.counts(r) {
			for _, c := range counts {
				if err := countedAt(hour, r, phones[i], c); err != nil {
					return err
				}
			}
		}
	}
	return e.close(r, phones)
}

// plan is the budget, and the zones and regions, each as large as the others.
func (e *Extreme) plan() []event.Fact {
	var plan []event.Fact
	if e.budget >= 0 {
		plan = append(plan, &event.Budget{Grafts: uint32(e.budget)})
	}
	for _, name := range e.Zones {
		plan = append(plan, &event.Zone{Name: name, AreaMM2: 2 * e.need / uint32(len(e.Zones)), Density10: 500, Mix: [4]uint16{300, 450, 200, 50}})
	}
	for i := range e.regions {
		code := string([]byte{"MWBSUNRH"[i], 'W'})
		plan = append(plan, &event.Region{Code: code, Name: "Donor " + code, AreaMM2: e.room * 25 / 4, Density10: 800, SharePerMille: 200, HairsPerUnit100: 210})
	}
	return plan
}

// counts are the day's counts by station, as what was there.
func (e *Extreme) counts(r *rig.Rig) [4][]event.OpeningCount {
	var all [4][]event.OpeningCount
	add := func(station int, n int, one event.OpeningCount) {
		if one.N = uint32(n); n > 0 {
			all[station] = append(all[station], one)
		}
	}
	taken := event.OpeningCount{Of: event.KindAttempt, Pass: r.Names["pass"]}
	for i, fact := range e.plan() {
		region, is := fact.(*event.Region)
		if !is {
			continue
		}
		taken.Region, taken.Outcome = r.Names[region.Code], event.Intact
		first := i == len(e.plan())-e.regions // it gave more
		add(0, e.taken/max(1, e.regions+1)*map[bool]int{true: 2, false: 1}[first], taken)
	}
	if e.regions == 0 {
		taken.Outcome = event.Intact
		add(0, e.taken, taken)
	}
	taken.Outcome = event.Total
	add(0, e.taken/40, taken)
	for i, share := range []int{30, 45, 20, 5} {
		size := event.Size(i + 1)
		add(1, e.sorted*share/100, event.OpeningCount{Of: event.KindSorted, Size: size})
		for j, zone := range e.Zones {
			if j < 3 {
				parts := 100 * min(3, len(e.Zones))
				add(2, e.sites*share/parts, event.OpeningCount{Of: event.KindSites, Zone: r.Names[zone], Size: size})
				add(3, e.placed*share/parts, event.OpeningCount{Of: event.KindPlaced, Zone: r.Names[zone], Size: size})
			}
		}
	}
	return all
}

// countedAt says the part of a count that was counted so many hours ago.
func countedAt(hour int, r *rig.Rig, p *practice.Phone, c event.OpeningCount) error {
	hourly := min(c.N/8, event.MaxEntry)
	if hour == 3 {
		c.N -= 3 * hourly
		return r.Do(p, &c)
	}
	if c.N = hourly; c.N == 0 {
		return nil
	}
	return r.Do(p, c.Count())
}

// close is what is said last: what asks, that it ended, and that nobody is heard.
func (e *Extreme) close(r *rig.Rig, phones []*practice.Phone) error {
	for _, p := range phones {
		if err := r.Within(p.InRoom); err != nil {
			return err
		}
	}
	if e.apart {
		first := r.Names[e.Zones[0]]
		edit := func(area uint32, yield uint32) []event.Fact {
			return []event.Fact{&event.Zone{Of: first, Name: e.Zones[0], AreaMM2: area, Density10: 450, Mix: [4]uint16{100, 550, 300, 50}}, &event.Yield{PerMille: yield}}
		}
		if err := errors.Join(tell(r.Office, []event.Fact{&event.Keeping{AmberMin: 30, RedMin: 45}}),
			apart(r, edit(1_700, 850), edit(1_900, 900)),
			facts(r, "Maple", event.Desk, &event.Weight{Grams: 48_500},
				&event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: 19_000, Strength: 2_000, Ratio: 200_000, Site: "back", Asked: true},
				&event.Dosed{Label: event.Bupivacaine, VolumeUL: 24_000, Strength: 500, Asked: true})); err != nil {
			return err
		}
	}
	if e.ended {
		if err := errors.Join(r.Do(r.Office, &event.Ended{}), r.Within(r.Office.InRoom)); err != nil {
			return err
		}
	}
	if e.Away {
		for _, p := range phones {
			p.Away(true)
		}
	}
	return nil
}
