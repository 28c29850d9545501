package main

import (
	"fmt"
	"time"

	"rootledger/tests/simulation"
)

// days is how many simulated days one run plays.
const days = 200

func simulationMeasurements(settings) []measurement {
	return []measurement{{"P10", "days with faults played by the simulator, a minute; 400 make 2,000 in five minutes", "none", playDays}}
}

// playDays fails when a promise is broken.
func playDays(string) (figures, error) {
	began := time.Now()
	var broken error
	simulation.PlayAll(1, days, func(r simulation.Result) bool {
		if r.Violation != nil {
			broken = fmt.Errorf("bench: seed %d: %w", r.Seed, r.Violation)
		}
		return broken != nil
	})
	return rated([]time.Duration{time.Since(began)}, days*60, "days/min"), broken
}
