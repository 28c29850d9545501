package main

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"rootledger/server/practice"
	"rootledger/syncengine"
)

// returning is how many counts a phone brings back.
const returning = 10_000

// returnMeasurements are one phone that comes back: how long until a wall has
// all of it, and how many bytes that takes on the wire and on the disk.
func returnMeasurements(settings) []measurement {
	r := new(comeback)
	rest := func(id, what, durability, unit string, of func() float64) measurement {
		return measurement{id, what, durability, func(string) (figures, error) {
			if r.up == 0 {
				return figures{}, errors.New("bench: " + id + " needs P3.time")
			}
			return figures{Unit: unit, N: 1, P50: of(), P99: of()}, nil
		}}
	}
	return []measurement{
		{"P3.time", "10,000 counts come back, until all are on the wall", "WAL, FULL", r.measure},
		rest("P3.up", "bytes from the phone, all of them, of the row above", "none", "kB", func() float64 { return r.up / 1000 }),
		rest("P3.down", "bytes to the wall for each event", "none", "bytes", func() float64 { return r.down / returning }),
		rest("P3.disk", "bytes of the database for each event, after a checkpoint", "WAL, FULL", "bytes", func() float64 { return r.disk / returning }),
	}
}

// comeback keeps the bytes of one run for their rows.
type comeback struct{ up, down, disk float64 }

func (c *comeback) measure(dir string) (f figures, err error) {
	r, err := newRoom(dir)
	if err != nil {
		return figures{}, err
	}
	took, err := c.comeBack(r)
	if err = errors.Join(err, r.end()); err != nil { // the database is then one file
		return figures{}, err
	}
	database, err := os.Stat(filepath.Join(dir, "rootledger.db"))
	if err != nil {
		return figures{}, fmt.Errorf("bench: %w", err)
	}
	c.disk = float64(database.Size())
	return timed([]time.Duration{took}), nil
}

// spreadClock is a clock by which returning counts lie about a second apart, as
// fingers have it, and the last of them is made now.
func spreadClock() func() syncengine.Now {
	ms := time.Now().UnixMilli() - 1000*returning
	return func() syncengine.Now {
		ms += 600 + rand.Int64N(800)
		return syncengine.Now{WallMs: ms, SinceMs: uint64(ms)}
	}
}

// comeBack measures one phone that counted alone and finds the room again.
func (c *comeback) comeBack(r *ourRoom) (took time.Duration, err error) {
	up, err := startMeter(r.serving.Addr)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, up.end()) }()
	down, err := startMeter(r.serving.Addr)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, down.end()) }()
	wall := practice.NewWall(practice.NewAPI(down.base(), r.serving.Office), r.session, now)
	r.stay(wall)
	r.api, r.clock = practice.NewAPI(up.base(), r.serving.Office), spreadClock()
	tapper, err := r.Phone(0)
	if err != nil {
		return 0, err
	}
	phone := tapper.(*tapping)
	phone.phone.Away(true)
	for range returning {
		if _, err := phone.Tap(); err != nil {
			return 0, err
		}
	}
	if err := r.holds(wall, r.office.Events()); err != nil {
		return 0, err
	}
	upBefore, downBefore, began := up.up.Load(), down.down.Load(), time.Now()
	phone.phone.Away(false)
	if err := r.holds(wall, phone.phone.Events()); err != nil {
		return 0, err
	}
	took = time.Since(began)
	c.up, c.down = float64(up.up.Load()-upBefore), float64(down.down.Load()-downBefore)
	return took, nil
}
