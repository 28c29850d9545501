package syncengine

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"rootledger/shared/event"
)

// tapper is a phone that counts all day: about two taps a second, its since
// and its wall read apart by a millisecond at times.
type tapper struct {
	author
	clock  clock
	pick   *rand.Rand
	skewMs int64 // how far its clock is from the room's
	facts  []event.Fact
}

func newTapper(id byte, skewMs int64, facts []event.Fact) *tapper {
	return &tapper{author{id: event.ReplicaID{id, 7: id}}, clock{}, rand.New(rand.NewPCG(uint64(id), 1)), skewMs, facts}
}

// tap is its next count at ms of the room's clock.
func (p *tapper) tap(t failer, ms int64) *event.Event {
	t.Helper()
	e := &event.Event{Replica: p.id, Seq: 1, Session: testSession, Phone: event.PhoneID{p.id[0], 15: 1}}
	if p.head != nil {
		e.Seq, e.Prev, e.Session, e.Phone = p.head.Seq+1, p.head.Hash, event.SessionID{}, event.PhoneID{}
	}
	e.WallMs, e.Start = ms+p.skewMs, event.StartID{p.id[0], 7: 3}
	e.SinceMs = uint64(ms - dayStart + p.pick.Int64N(2))
	e.Stamp = p.clock.tick(e.WallMs)
	e.Fact = p.facts[p.pick.IntN(len(p.facts))]
	p.head = remade(t, e)
	return p.head
}

func sortingTaps() (out []event.Fact) {
	for size := range event.Size(4) {
		out = append(out, &event.Sorted{Size: size + 1, N: 1})
	}
	return append(out, &event.Rejected{From: event.Bench, Size: 2, Reason: event.ReasonCut, N: 1})
}

func extractionTaps() (out []event.Fact) {
	pass, region := event.Ref{Replica: event.ReplicaID{1, 7: 1}, Seq: 14, Check: [8]byte{1: 7}}, event.Ref{Replica: event.ReplicaID{1, 7: 1}, Seq: 9, Check: [8]byte{5: 9}}
	for outcome := event.Intact; outcome <= event.Empty; outcome++ {
		out = append(out, &event.Attempt{Pass: pass, Region: region, Outcome: outcome, N: 1})
	}
	return out
}

// taps is n counts of some phones by turns, who hear of each other at times.
func taps(t failer, n int, phones ...*tapper) []*event.Event {
	t.Helper()
	ms := int64(dayStart)
	out := make([]*event.Event, 0, n)
	for i := range n {
		p := phones[i%len(phones)]
		ms += (350 + p.pick.Int64N(300)) / int64(len(phones))
		e := p.tap(t, ms)
		out = append(out, e)
		if heard := phones[p.pick.IntN(len(phones))]; heard != p {
			heard.clock.adopt(e.Stamp, ms+heard.skewMs)
		}
	}
	return out
}

// dozen is twelve phones, their clocks up to 30 ms apart.
func dozen() (out []*tapper) {
	for i := range byte(12) {
		facts := sortingTaps()
		if i%2 == 0 {
			facts = extractionTaps()
		}
		out = append(out, newTapper(i+1, int64(i)*5-30, facts))
	}
	return out
}

// typicalDays are what the format is measured by.
var typicalDays = []struct {
	name   string
	phones func() []*tapper
	most   float64 // bytes an event
}{
	{"one phone sorts", func() []*tapper { return []*tapper{newTapper(1, 0, sortingTaps())} }, 6},
	{"one phone extracts", func() []*tapper { return []*tapper{newTapper(1, 0, extractionTaps())} }, 6},
	{"twelve phones by turns", dozen, 10},
}

func TestTypicalCountsTakeFewBytes(t *testing.T) {
	for _, tt := range typicalDays {
		t.Run(tt.name, func(t *testing.T) {
			events := taps(t, 10_000, tt.phones()...)
			got := float64(packedBack(t, events)) / float64(len(events))
			t.Logf("%.2f bytes an event", got)
			if got > tt.most {
				t.Errorf("got %.2f bytes an event, want at most %v", got, tt.most)
			}
		})
	}
}

func benchmarkRows(b *testing.B, run func(b *testing.B, events []*event.Event, frames [][]byte)) {
	for _, tt := range typicalDays {
		b.Run(tt.name, func(b *testing.B) {
			events := taps(b, 10_000, tt.phones()...)
			frames := pack(b, events)
			b.ReportAllocs()
			b.ResetTimer()
			run(b, events, frames)
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(events)), "ns/event")
			b.ReportMetric(float64(len(bytes.Join(frames, nil)))/float64(len(events)), "bytes/event")
		})
	}
}

func BenchmarkPack(b *testing.B) {
	benchmarkRows(b, func(b *testing.B, events []*event.Event, _ [][]byte) {
		for range b.N {
			pack(b, events)
		}
	})
}

func BenchmarkUnpack(b *testing.B) {
	benchmarkRows(b, func(b *testing.B, _ []*event.Event, frames [][]byte) {
		for range b.N {
			for _, frame := range frames {
				if err := unpack(frame, func(*event.Event) error { return nil }); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}

// BenchmarkDecodeBodies is what any receiver pays for the same events.
func BenchmarkDecodeBodies(b *testing.B) {
	benchmarkRows(b, func(b *testing.B, events []*event.Event, _ [][]byte) {
		for range b.N {
			for _, e := range events {
				if _, err := event.Decode(e.Body); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}
