// Command simulate plays seeded days of the real engine with faults, and says
// whether every promise was kept.
package main

import (
	"flag"
	"fmt"
	"os"
	"time"

	"rootledger/tests/simulation"
)

func main() {
	seeds := flag.Uint64("seeds", 2000, "how many days to play")
	first := flag.Uint64("start", 1, "the first seed")
	stop := flag.Bool("stop", false, "stop at the first broken promise, and do not look for a shorter day")
	trace := flag.Bool("trace", false, "print what was done, also when nothing is wrong")
	flag.Parse()
	began := time.Now()
	most := 10
	if *stop {
		most = 1
	}
	sum := play(*first, *seeds, most, *trace)
	fmt.Printf("%d seeds, %d faults, %d events, %d violations, in %.1f s\n", sum.seeds, sum.faults, sum.events, len(sum.bad), time.Since(began).Seconds())
	for _, seed := range sum.bad[:min(len(sum.bad), 3)] {
		if *stop {
			fmt.Printf("seed %d: %v\n", seed, simulation.Play(simulation.Write(seed)).Violation)
		} else {
			fmt.Print(simulation.Shorten(simulation.Write(seed)).Trace())
		}
		fmt.Printf("the whole day again: make simulate SEEDS=1 START=%d\n", seed)
	}
	if len(sum.bad) > 0 {
		os.Exit(1)
	}
}

type total struct {
	seeds, faults, events uint64
	bad                   []uint64
}

// play plays days until most of them have broken a promise.
func play(first, seeds uint64, most int, trace bool) (sum total) {
	simulation.PlayAll(first, seeds, func(r simulation.Result) (enough bool) {
		sum.seeds++
		sum.faults += uint64(r.Faults)
		sum.events += uint64(r.Events)
		if r.Violation != nil {
			sum.bad = append(sum.bad, r.Seed)
		}
		if trace {
			fmt.Print(r.Trace())
		}
		return len(sum.bad) >= most
	})
	return sum
}
