package main

import (
	"time"

	"rootledger/tests/bench/limit"
)

const (
	limitAppends = 300
	limitBatches = 100
	limitEchoes  = 1000
	limitPaced   = 60 // of each part of tapLimit at most: a second
	limitLeast   = 10 // of each part at least
)

func limitMeasurements(settings) []measurement {
	return []measurement{
		{"L1", "append 150 bytes to a file, fsync, no pause", "synced", func(dir string) (figures, error) {
			samples, err := limit.AppendSync(dir, limitAppends, 0)
			return timed(samples), err
		}},
		{"L2", "SQLite, 100 rows a commit, no pause", "WAL, FULL", func(dir string) (figures, error) {
			samples, err := limit.Batches(dir, limitBatches)
			return rated(samples, limit.BatchRows, "rows/s"), err
		}},
		{"L3", "websocket round trip, 16 bytes, no pause", "none", func(string) (figures, error) {
			samples, err := limit.Echo(limitEchoes, 0)
			return timed(samples), err
		}},
	}
}

// tapLimit is what a tap from a phone to a wall takes at best at the pace of a
// load, in milliseconds: one way to the server and one to the wall, together a
// round trip, and between them one append that is forced to the disk.
func tapLimit(dir string, p pace) (float64, error) {
	pause := time.Duration(float64(time.Second) / (float64(p.phones) * p.perSecond))
	n := min(limitPaced, max(limitLeast, int(time.Second/pause)))
	appends, err := limit.AppendSync(dir, n, pause)
	if err != nil {
		return 0, err
	}
	echoes, err := limit.Echo(n, pause)
	if err != nil {
		return 0, err
	}
	return millis(percentile(appends, 50) + percentile(echoes, 50)), nil
}
