package main

import (
	"errors"
	"fmt"
	"sync"
	"time"

	"rootledger/tests/bench/load"
)

// growing is how many rooms one server has at once.
var growing = []int{1, 4, 16}

var growthPace = pace{"12x2", 12, 2}

// growthMeasurements are one server with ever more rooms, and what a connection
// takes of its memory.
func growthMeasurements(s settings) []measurement {
	g := &growth{p99: map[int]float64{}}
	var all []measurement
	for _, rooms := range growing {
		what := fmt.Sprintf("tap to wall, %d rooms × %d phones × %g taps/s", rooms, growthPace.phones, growthPace.perSecond)
		all = append(all, measurement{fmt.Sprintf("P4.rooms.%d", rooms), what, "WAL, FULL", func(dir string) (figures, error) {
			return g.measure(dir, rooms, s.load)
		}})
	}
	most := growing[len(growing)-1]
	return append(all, measurement{"P4.ratio", fmt.Sprintf("p99 with %d rooms / p99 with one, of the rows above", most), "WAL, FULL", func(string) (figures, error) {
		if g.p99[most] == 0 || g.p99[1] == 0 {
			return figures{}, errors.New("bench: P4.ratio needs P4.rooms")
		}
		ratio := g.p99[most] / g.p99[1]
		return figures{Unit: "×", N: 1, P50: ratio, P99: ratio}, nil
	}}, measurement{"P4.memory", fmt.Sprintf("memory of the server's process for each of %d connections in %d rooms", memoryRooms*memoryPhones, memoryRooms), "none", connectionMemory})
}

// growth keeps the figures of one run for their ratio.
type growth struct{ p99 map[int]float64 }

func (g *growth) measure(dir string, rooms int, d time.Duration) (f figures, err error) {
	best, err := tapLimit(dir, pace{phones: rooms * growthPace.phones, perSecond: growthPace.perSecond})
	if err != nil {
		return figures{}, err
	}
	s, err := startServer(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, s.end()) }()
	all := make([]*ourRoom, rooms)
	for i := range all {
		if all[i], err = s.room(fmt.Sprint(i + 1)); err != nil {
			return figures{}, err
		}
	}
	results, errs := make([]load.Result, rooms), make([]error, rooms)
	var loading sync.WaitGroup
	for i, r := range all {
		loading.Go(func() { results[i], errs[i] = load.Latencies(r, growthPace.phones, growthPace.perSecond, d) })
	}
	loading.Wait()
	if err := errors.Join(errs...); err != nil {
		return figures{}, err
	}
	var sum load.Result
	for _, one := range results {
		sum.Samples, sum.Late = append(sum.Samples, one.Samples...), max(sum.Late, one.Late)
	}
	f = timed(sum.Samples)
	f.Limit, f.LateMs = best, millis(sum.Late)
	g.p99[rooms] = f.P99
	return f, nil
}
