package published

import (
	"math"

	"rootledger/shared/event"
	"rootledger/shared/pace"
)

var _ = claim("pace", pacePerHour)

// pacePerHour counts a station one by one over the check's hours. A pace is told
// in tenths, so the check's are held to it in tenths.
func pacePerHour(p *probe) {
	var in struct {
		Events    int64
		Hours     float64
		Remaining int64
	}
	var want struct {
		PerHour float64 `json:"per_hour"`
		Lo, Hi  float64
		Eta     float64 `json:"eta_h"`
		EtaLo   float64 `json:"eta_lo"`
		EtaHi   float64 `json:"eta_hi"`
	}
	p.read(&in, &want)
	const hour, begun = 3_600_000, int64(1_000_000)
	now := begun + int64(in.Hours*hour)
	var tally pace.Tally
	add := func(seq uint64, atMs, n int64) {
		tally.Add(pace.Entry{Station: event.Placing, Ref: event.Ref{Seq: seq}, AtMs: atMs, N: n}, 1)
	}
	add(1, begun, 0)
	for i := range in.Events {
		add(uint64(i)+2, now-i, 1)
	}
	f := tally.Read(event.Placing, now, pace.Day{})
	tenths := func(perHour float64) int64 { return int64(math.Round(10 * perHour)) }
	p.same("tenths per hour", f.PerHour10, tenths(want.PerHour))
	p.same("lo", f.Low10, tenths(want.Lo))
	p.same("hi", f.High10, tenths(want.Hi))
	finish := f.Finish(now, in.Remaining)
	hours := func(atMs int64) float64 { return float64(atMs-now) / hour }
	p.near("hours", hours(finish.AtMs), want.Eta)
	p.near("hours at the least", hours(finish.EarliestMs), want.EtaLo)
	p.near("hours at the most", hours(finish.LatestMs), want.EtaHi)
}
