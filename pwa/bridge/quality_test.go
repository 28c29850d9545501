package bridge

import (
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

func TestChancesAndCharts(t *testing.T) {
	g := Engine{replica: syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{1}, Phone: event.PhoneID{1}, Start: event.StartID{1}})}
	record := func(fact event.Fact) event.Ref {
		t.Helper()
		e, err := g.replica.Record(fact, false, syncengine.Now{WallMs: 1_800_000_000_000, SinceMs: 1})
		if err != nil {
			t.Fatal(err)
		}
		return e.Ref()
	}
	record(&event.Joined{Person: "Lea", Station: event.Lead})
	pass := record(&event.PassBegun{Mode: event.Each})
	for range 3 {
		record(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 47})
		record(&event.Attempt{Pass: pass, Outcome: event.Partial, N: 3})
	}
	record(&event.Attempt{Pass: pass, Outcome: event.Empty, N: 4})
	d := g.Do(Call{Type: CallChart, At: pass})
	if len(d.Worked) != 4+3*3 || d.Worked[0] != 600 || d.Worked[1] != 0 || d.Worked[2] != 1608 || d.Worked[3] != 4 || d.Worked[4] != 3 {
		t.Errorf("chart: got %v", d.Worked)
	}
	if d = g.Do(Call{Type: CallChart, At: event.Ref{Seq: 77}}); !slices.Equal(d.Worked, []int64{0, 0, 0, 0}) {
		t.Errorf("a pass that is not there: got %v", d.Worked)
	}
	d = g.Do(Call{Type: CallChances, Fact: event.EncodeFact(&event.Watch{P0Parts: 500, P1Parts: 1_000, H100: 500})})
	if len(d.Worked) != 6 || d.Worked[0] != 2_500 || d.Worked[1] != 0 || d.Worked[2] < 1_900 || d.Worked[2] > 2_000 {
		t.Errorf("chances: got %v", d.Worked)
	}
	for want, fact := range map[fault.Code][]byte{
		"watch-order":  event.EncodeFact(&event.Watch{P0Parts: 500, P1Parts: 400, H100: 500}),
		"watch-share":  event.EncodeFact(&event.Watch{}),
		"call-damaged": {0xff},
	} {
		if d = g.Do(Call{Type: CallChances, Fact: fact}); len(d.Answers) != 1 || d.Answers[0].Fault == nil || d.Answers[0].Fault.Code != want {
			t.Errorf("%s: got %+v", want, d.Answers)
		}
	}
}
