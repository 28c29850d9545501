package simulation

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// Script is one simulated day: what people do and what goes wrong, and when. A
// seed makes one, and the same script always plays the same.
type Script struct {
	Seed    uint64
	Phones  int // without the office's
	Walls   int
	EndMs   int64 // when the faults stop
	Actions []Action
}

// Action is one thing that somebody does, or that goes wrong.
type Action struct {
	AtMs int64
	Do   string // a key of deeds
	Who  int    // which phone, modulo how many there are
	Arg  int64
}

func (a Action) String() string {
	return fmt.Sprintf("%6.2f s  %s (phone %d, %d)", float64(a.AtMs)/1000, a.Do, a.Who, a.Arg)
}

// Write draws the script of a seed: thirty to ninety seconds in which people tap
// as fast as they can and between three and thirty things go wrong.
func Write(seed uint64) Script {
	random := rand.New(rand.NewPCG(seed, 0x736372697074))
	s := Script{Seed: seed, Phones: 2 + random.IntN(3), Walls: 1 + random.IntN(2), EndMs: 30_000 + random.Int64N(60_000)}
	add := func(do string) {
		s.Actions = append(s.Actions, Action{AtMs: 500 + random.Int64N(s.EndMs-500), Do: do, Who: random.IntN(8), Arg: random.Int64N(1 << 30)})
	}
	for range 40 + random.IntN(80) {
		add(people[random.IntN(len(people))])
	}
	kinds := faults
	if random.IntN(3) == 0 { // a day on which the same few things go wrong again and again
		kinds = []string{faults[random.IntN(len(faults))], faults[random.IntN(len(faults))], faults[random.IntN(len(faults))]}
	}
	for range 3 + random.IntN(28) {
		add(kinds[random.IntN(len(kinds))])
	}
	return s
}

// people is what they do, the common things more than once.
var people = []string{
	"sort", "sort", "sort", "sort", "place", "place", "punch", "punch", "read", "fire", "reject", "split",
	"undo", "undo", "undo another's", "restore", "budget", "zone", "region", "hand over", "pause", "note", "end", "pass",
	"dish", "dish done", "dish closed", "recount", "recount", "recount the bench", "tell late", "tell late",
	"refile", "refile", "refile another's", "refile an old one", "settle", "settle", "settle anyhow", "opening",
	"inspect", "look", "watch", "keeping",
	"weigh", "weigh", "dose", "dose", "dose", "agent", "agent anyhow", "rule of doses",
}

// faults is what goes wrong.
var faults = []string{
	"network off", "network in", "network out", "network slow", "network twice", "cut", "flap",
	"page dies", "page dies while writing", "disk refuses", "clock jumps", "clock stuck", "clock back across a restart",
	"storage wiped", "backup of a phone", "phone restored", "one store set back", "profile cloned", "second tab",
	"carry by hand", "carry twice", "carry while away",
	"server killed", "server killed before a commit", "server killed after a commit", "server killed between acks",
	"server's disk fails", "backup of the server", "server restored", "server wiped", "another server", "damaged frame", "forged event",
}

// Deeds lists every key that an action may have.
func Deeds() []string {
	out := make([]string, 0, len(deeds))
	for name := range deeds {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}
