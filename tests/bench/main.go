// Command bench measures how long a tap takes from a phone to a wall, beside
// what the disk, the database and the socket take alone and what the smallest
// honest server takes. It prints a table and writes bench.json.
//
// Everything runs in this process, on 127.0.0.1, on files in a directory that
// is removed afterwards. All measurements of one run come one after the other
// before the next run begins, so that a busy minute of the machine falls on all
// of them alike.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"strings"
	"time"
)

const (
	maxRuns    = 50
	maxSeconds = 60
)

// measurement is one row of the table.
type measurement struct {
	id         string
	what       string
	durability string
	// run measures once, on files in dir, which is fresh and empty.
	run func(dir string) (figures, error)
}

// settings are what the measurements are made from.
type settings struct {
	runs    int
	load    time.Duration // how long one load lasts
	only    []string      // beginnings of ids; none is all
	dir     string        // where the files go
	outFile string
}

// groups makes the table: one function for each file of measurements, in the
// order of the rows. To add rows, add a function.
var groups = []func(s settings) []measurement{
	limitMeasurements,
	floorMeasurements,
	ourMeasurements,
	returnMeasurements,
	ingestMeasurements,
	growthMeasurements,
	openingMeasurements,
	glassMeasurements,
	handMeasurements,
	paintMeasurements,
	engineMeasurements,
	simulationMeasurements,
}

func main() {
	s, err := parse(os.Args[1:])
	if errors.Is(err, flag.ErrHelp) {
		return
	}
	if err == nil {
		err = bench(s)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func parse(args []string) (settings, error) {
	flags := flag.NewFlagSet("bench", flag.ContinueOnError)
	runs := flags.Int("runs", 5, "how often everything is measured")
	seconds := flags.Int("seconds", 5, "how long one load lasts")
	only := flags.String("only", "", "ids to measure, or their beginnings, with commas between")
	dir := flags.String("dir", "", "directory for the files, on the disk to be measured (default the system's)")
	out := flags.String("out", "bench.json", "file for the figures of all runs")
	if err := flags.Parse(args); err != nil {
		return settings{}, err
	}
	if *runs < 1 || *runs > maxRuns || *seconds < 1 || *seconds > maxSeconds {
		return settings{}, fmt.Errorf("-runs is 1 to %d, -seconds 1 to %d", maxRuns, maxSeconds)
	}
	s := settings{runs: *runs, load: time.Duration(*seconds) * time.Second, dir: *dir, outFile: *out}
	if *only != "" {
		s.only = strings.Split(*only, ",")
	}
	return s, nil
}

func bench(s settings) (err error) {
	chosen := choose(s)
	if len(chosen) == 0 {
		return fmt.Errorf("no measurement begins with %q", s.only)
	}
	dir, err := os.MkdirTemp(s.dir, "bench-")
	if err != nil {
		return fmt.Errorf("directory: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	head := newHeader(s, dir)
	fmt.Print(head)
	rows := make([]row, len(chosen))
	for i, m := range chosen {
		rows[i] = row{ID: m.id, What: m.what, Durability: m.durability}
	}
	for run := range s.runs {
		for i, m := range chosen {
			f, err := once(m, dir)
			if err != nil {
				return fmt.Errorf("%s, run %d: %w", m.id, run+1, err)
			}
			rows[i].Runs = append(rows[i].Runs, f)
		}
		fmt.Fprintf(os.Stderr, "run %d of %d done\n", run+1, s.runs)
	}
	fmt.Print("\n", table(rows))
	return save(s.outFile, head, rows)
}

func choose(s settings) []measurement {
	var chosen []measurement
	for _, group := range groups {
		for _, m := range group(s) {
			wanted := len(s.only) == 0
			for _, start := range s.only {
				wanted = wanted || strings.HasPrefix(m.id, start)
			}
			if wanted {
				chosen = append(chosen, m)
			}
		}
	}
	return chosen
}

// once runs a measurement in a directory of its own.
func once(m measurement, parent string) (f figures, err error) {
	dir, err := os.MkdirTemp(parent, "run-")
	if err != nil {
		return figures{}, fmt.Errorf("directory: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	return m.run(dir)
}
