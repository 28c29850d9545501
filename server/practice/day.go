package practice

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"rootledger/shared/event"
)

// Day is a made-up session, worked out before anybody taps: what every phone
// does and when, and what really happened to every graft. It depends on the
// seed and the number of grafts alone.
type Day struct {
	Grafts  int
	Actions []Action // by time
	Close   []Action // what is counted again once all of that is done
	Truth   Truth

	random  *rand.Rand
	out     []int // minutes at which grafts came out, in ms of the day
	holding []held
	open    [zones][event.Sizes]int // sites made, not filled
}

// Truth is what people really did, in attempts, grafts and sites.
type Truth struct {
	Punched  int64
	Outcomes [event.Outcomes]int64
	Out      int64
	Bench    int64
	Holding  event.BySize
	Placed   event.BySize
	ByZone   [zones]event.BySize
	Sites    int64
	Gained   int64
	Rejected int64 // at the bench and at placing
}

// Action is one tap: who, when (ms since the day began), and what.
type Action struct {
	AtMs  int
	Phone string
	Fact  func(names Names) event.Fact
	Also  Also
}

// Names are the zones, regions and passes as they are known once made.
type Names map[string]event.Ref

// Also is what goes with a tap.
type Also uint8

// What may go with a tap.
const (
	Plain      Also = iota
	Slip            // tapped by mistake, and undone at once
	Twice           // its frame is sent once more
	Leaves          // the phone loses the network instead of tapping
	Returns         // the phone has the network again
	Remembered      // the event gets the name that Fact's pass is called by
)

// The made-up clinic.
const (
	zones  = 2
	minute = 60_000
)

var (
	zoneNames   = [zones]string{"Front", "Crown"}
	regionNames = [...]string{"L", "R"}
	passNames   = [...]string{"first", "second", "third"}
	mixes       = [zones][event.Sizes]uint16{{400, 450, 150, 0}, {50, 500, 350, 100}}
)

// Team is every phone of the day but the office: name, person and station.
var Team = []struct {
	Name, Person string
	Station      event.Station
}{
	{"punch-1", "Ash", event.Extraction}, {"punch-2", "Birch", event.Extraction},
	{"scope-1", "Cedar", event.Sorting}, {"scope-2", "Elder", event.Sorting},
	{"knife", "Hazel", event.SiteMaking},
	{"hand-1", "Linden", event.Placing}, {"hand-2", "Maple", event.Placing},
}

// held is one sorted graft that is not placed yet.
type held struct {
	at   int
	size event.Size
}

// NewDay works a day out.
func NewDay(seed uint64, grafts int) *Day {
	d := &Day{Grafts: grafts, random: rand.New(rand.NewPCG(seed, uint64(grafts)))}
	d.extract()
	slices.Sort(d.out)
	d.sortGrafts()
	d.makeSites()
	d.place()
	d.do(475*minute, "knife", func(Names) event.Fact { return &event.Note{Text: "=last graft placed, all dishes empty"} })
	d.countAgain()
	d.slips()
	slices.SortStableFunc(d.Actions, func(a, b Action) int { return cmp.Compare(a.AtMs, b.AtMs) })
	return d
}

// countAgain plays a blind recount at the end, once nobody counts any more: what
// lies on the bench and in the dishes is counted by people who do not see what the
// tallies say.
func (d *Day) countAgain() {
	bench, holding := uint32(d.Truth.Bench), uint32(d.Truth.Holding.Total())
	d.Close = []Action{
		{AtMs: 473 * minute, Phone: "scope-1", Fact: func(Names) event.Fact { return &event.Recount{Of: event.Bench, N: bench} }},
		{AtMs: 474 * minute, Phone: "hand-1", Fact: func(Names) event.Fact { return &event.Recount{Of: event.Holding, N: holding} }},
	}
}

func (d *Day) do(at int, phone string, fact func(Names) event.Fact) {
	d.Actions = append(d.Actions, Action{AtMs: at, Phone: phone, Fact: fact})
}

func (d *Day) chance(perMille int) bool { return d.random.IntN(1000) < perMille }

// extract plays three passes: one counted each, one pulled (foot key, device
// counter, outcomes tapped later), one by exception.
func (d *Day) extract() {
	attempts := d.Grafts * 115 / 100
	first, second := attempts*4/10, attempts*4/10
	d.pass("first", "punch-1", event.Each, 0, 10*minute, 130*minute, first)
	d.pass("second", "punch-2", event.Pulled, 1, 15*minute, 150*minute, second)
	d.pass("third", "punch-1", event.ByException, 1, 140*minute, 210*minute, attempts-first-second)
}

func (d *Day) pass(name, phone string, mode event.Mode, region, from, to, attempts int) {
	where := regionNames[region]
	d.Actions = append(d.Actions, Action{AtMs: from, Phone: phone, Also: Remembered,
		Fact: func(Names) event.Fact { return &event.PassBegun{Mode: mode, DiameterUM: 900} }})
	counter, tried := newCounter(d, name, phone, where, from), d.try(name, phone, mode, from)
	for i := range attempts {
		at := from + minute + i*(to-from-2*minute)/attempts + d.random.IntN(5000)
		outcome, setup, trial := d.outcome(), tried.on(i, at), tried.trial
		d.Truth.Punched++
		d.Truth.Outcomes[outcome-1]++
		if mode != event.Each {
			counter.fire(at, mode)
		}
		if mode != event.ByException || outcome != event.Intact {
			d.do(at+4000, phone, func(n Names) event.Fact {
				return &event.Attempt{Pass: n[name], Region: n[where], Outcome: outcome, N: 1, Setup: n[setup], Trial: n[trial]}
			})
		}
		switch {
		case outcome <= event.Partial:
			d.came(at + 4000)
		case outcome == event.Buried && d.chance(700):
			d.do(at+minute, phone, func(n Names) event.Fact {
				return &event.Retrieved{From: event.Buried, Pass: n[name], Region: n[where], N: 1}
			})
			d.came(at + minute)
		}
	}
	d.do(to+2*minute, phone, func(n Names) event.Fact { return &event.PassEnded{Pass: n[name]} })
}

func (d *Day) came(at int) {
	d.out = append(d.out, at)
	d.Truth.Out++
}

func (d *Day) outcome() event.Outcome {
	roll := d.random.IntN(1000)
	for i, upTo := range []int{900, 930, 960, 972, 980} {
		if roll < upTo {
			return event.Outcome(i + 1)
		}
	}
	return event.Empty
}

// counter is a device with a counter of its own that runs down from 2,500, and
// a foot key. Readings are taken every 50 attempts; shots between the first
// and the last reading are in the readings already.
type counter struct {
	day                *Day
	name, phone, where string
	value, since       int
}

func newCounter(d *Day, name, phone, where string, from int) *counter {
	c := &counter{day: d, name: name, phone: phone, where: where, value: 2500}
	if name == "second" {
		c.read(from + minute/2)
	}
	return c
}

func (c *counter) read(at int) {
	value := uint32(c.value)
	c.day.do(at, c.phone, func(n Names) event.Fact {
		return &event.Reading{Pass: n[c.name], Region: n[c.where], Counter: "handle", Direction: event.Down, Value: value}
	})
}

func (c *counter) fire(at int, mode event.Mode) {
	c.value--
	c.day.do(at, c.phone, func(n Names) event.Fact {
		return &event.Fired{Pass: n[c.name], Region: n[c.where], N: 1}
	})
	if c.since++; c.since == 50 && mode == event.Pulled {
		c.since = 0
		c.read(at + 1)
	}
}

// sortGrafts plays two microscopes that take what lies on the bench.
func (d *Day) sortGrafts() {
	free := [2]int{20 * minute, 22 * minute}
	scopes := [2]string{"scope-1", "scope-2"}
	pace := 200 * minute / max(1, len(d.out)) // of both together
	for i, out := range d.out {
		who := i % 2
		at := max(free[who], out+2*minute)
		free[who] = at + 2*pace*9/10
		d.judge(at, scopes[who])
	}
}

func (d *Day) judge(at int, phone string) {
	roll := d.random.IntN(1000)
	size := event.Size(4)
	for i, upTo := range []int{250, 720, 950} {
		if roll < upTo {
			size = event.Size(i + 1)
			break
		}
	}
	switch {
	case d.chance(20):
		d.Truth.Rejected++
		d.do(at, phone, func(Names) event.Fact {
			return &event.Rejected{From: event.Bench, Reason: event.ReasonDamaged, N: 1}
		})
	case size == 3 && d.chance(150):
		d.Truth.Gained++
		d.holding = append(d.holding, held{at, 1}, held{at, 2})
		d.do(at, phone, func(Names) event.Fact {
			return &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 1}
		})
	default:
		d.holding = append(d.holding, held{at, size})
		d.do(at, phone, func(Names) event.Fact { return &event.Sorted{Size: size, N: 1} })
	}
}
