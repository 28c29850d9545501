package main

import (
	"errors"
	"fmt"
	"time"

	"rootledger/tests/bench/floor"
	"rootledger/tests/bench/load"
)

// pace is the load of one measurement.
type pace struct {
	name      string
	phones    int
	perSecond float64
}

// paces are the loads that every server gets.
var paces = []pace{{"12x5", 12, 5}, {"20x2.5", 20, 2.5}}

// open starts a server on files in dir. Its end is called once.
type open func(dir string) (room load.Room, end func() error, err error)

// tapsToWall is one measurement for each pace: phones tap, a wall shows.
func tapsToWall(s settings, server, durability string, start open) []measurement {
	var all []measurement
	for _, p := range paces {
		what := fmt.Sprintf("tap to wall, %s, %d phones × %g taps/s", server, p.phones, p.perSecond)
		all = append(all, measurement{"P1." + server + "." + p.name, what, durability, func(dir string) (figures, error) {
			return tapRun(dir, p, s.load, start)
		}})
	}
	return all
}

func tapRun(dir string, p pace, d time.Duration, start open) (f figures, err error) {
	best, err := tapLimit(dir, p)
	if err != nil {
		return figures{}, err
	}
	room, end, err := start(dir)
	if err != nil {
		return figures{}, err
	}
	result, err := load.Latencies(room, p.phones, p.perSecond, d)
	if err = errors.Join(err, end()); err != nil {
		return figures{}, err
	}
	f = timed(result.Samples)
	f.Limit, f.LateMs = best, millis(result.Late)
	return f, nil
}

func floorMeasurements(s settings) []measurement {
	return tapsToWall(s, "floor", "WAL, FULL", func(dir string) (load.Room, func() error, error) {
		f, err := floor.Start(dir)
		if err != nil {
			return nil, nil, err
		}
		return f.Room(), f.Close, nil
	})
}
