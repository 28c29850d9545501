package main

import (
	"context"
	"errors"
	"fmt"

	"rootledger/shared/event"
	"rootledger/tests/bench/floor"
	"rootledger/tests/bench/laden"
	"rootledger/tests/bench/limit"
	"rootledger/tests/bench/load"
)

const (
	ingestPhones  = 16
	ingestFlushes = 125
	ingestTaps    = 50 // of one flush
)

// ingestMeasurements are how many events a second become durable when the
// server sets the pace, beside the rows that the database alone takes.
func ingestMeasurements(settings) []measurement {
	row := func(server string, start func(dir string) ([]load.Flusher, func() error, error)) measurement {
		what := fmt.Sprintf("durable ingest, %s, %d phones, flushes of %d, closed loop", server, ingestPhones, ingestTaps)
		return measurement{"P2." + server, what, "WAL, FULL", func(dir string) (figures, error) { return ingest(dir, start) }}
	}
	return []measurement{row("floor", floorFlushers), row("rootledger", ourFlushers)}
}

// ingest is the rate of the whole loop, and the rate that there would be if
// every flush took as long as one of a hundred does. The limit is the rate of
// commits of 100 rows, with nothing around them.
func ingest(dir string, start func(dir string) ([]load.Flusher, func() error, error)) (f figures, err error) {
	batches, err := limit.Batches(dir, limitBatches)
	if err != nil {
		return figures{}, err
	}
	phones, end, err := start(dir)
	if err != nil {
		return figures{}, err
	}
	result, err := load.Ingest(phones, ingestFlushes, ingestTaps)
	if err = errors.Join(err, end()); err != nil {
		return figures{}, err
	}
	f = rated(result.Flushes, ingestPhones*ingestTaps, "events/s")
	f.P50 = ingestPhones * ingestFlushes * ingestTaps / result.Time.Seconds()
	f.Limit = rated(batches, limit.BatchRows, "rows/s").P50
	return f, nil
}

func floorFlushers(dir string) (phones []load.Flusher, end func() error, err error) {
	f, err := floor.Start(dir)
	if err != nil {
		return nil, nil, err
	}
	room, open := f.Room(), []load.Phone{}
	for i := range ingestPhones {
		phone, err := room.Phone(i)
		if err != nil {
			return nil, nil, errors.Join(err, f.Close())
		}
		open, phones = append(open, phone), append(phones, phone.(load.Flusher))
	}
	return phones, func() (err error) {
		for _, phone := range open {
			err = errors.Join(err, phone.Close())
		}
		return errors.Join(err, f.Close())
	}, nil
}

// flushing is a phone whose counts are written before the loop begins.
type flushing struct {
	*laden.Phone
	ctx context.Context
}

// Flush sends the next n counts and waits until they are stored.
func (f flushing) Flush(n int) error {
	ctx, cancel := context.WithTimeout(f.ctx, patience)
	defer cancel()
	return errors.Join(f.Send(n), f.Wait(ctx))
}

func ourFlushers(dir string) (phones []load.Flusher, end func() error, err error) {
	r, err := newRoom(dir)
	if err != nil {
		return nil, nil, err
	}
	var open []*laden.Phone
	end = func() error {
		for _, phone := range open {
			phone.Leave()
		}
		return r.end()
	}
	for range ingestPhones {
		phone, err := r.laden(ingestFlushes * ingestTaps)
		if err != nil {
			return nil, nil, errors.Join(err, end())
		}
		open, phones = append(open, phone), append(phones, flushing{phone, r.ctx})
	}
	for _, phone := range open {
		if err := phone.Connect(r.ctx); err != nil {
			return nil, nil, errors.Join(err, end())
		}
	}
	return phones, end, nil
}

// laden is a phone with n events written, not connected yet.
func (r *ourRoom) laden(n int) (*laden.Phone, error) {
	return laden.New(r.ctx, r.api, r.session, n, now, func() event.Fact {
		return &event.Sorted{Size: 1, N: 1}
	})
}
