package command_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"rootledger/server/command"
	"rootledger/server/export"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// Behind the View stand a line of all set-ups, one of each trial, in full, and
// one of what the watch on cut attempts leads to.
func TestReplayOfATrial(t *testing.T) {
	r := syncengine.New(syncengine.Identity{Session: event.SessionID{1}, Replica: event.ReplicaID{1}, Phone: event.PhoneID{1}, Start: event.StartID{1}})
	var events []*event.Event
	record := func(fact event.Fact) event.Ref {
		t.Helper()
		e, err := r.Record(fact, false, syncengine.Now{WallMs: 1_800_000_000_000})
		if err != nil {
			t.Fatal(err)
		}
		events = append(events, e)
		return e.Ref()
	}
	record(&event.Joined{Person: "Lea", Station: event.Lead})
	pass := record(&event.PassBegun{Mode: event.Each})
	var arms []event.Ref
	for _, name := range []string{"A", "B"} {
		arms = append(arms, record(&event.Setup{Name: name, DiameterUM: 900, Motions: []event.Motion{event.Rotation},
			ArcsDeg: []uint32{0}, RPM: []uint32{0}, Power: []uint32{0}, StepsMs: []uint32{500}}))
	}
	trial := record(&event.Trial{Pass: pass, Setups: arms, Block: 20, Seed: 3})
	for i, arm := range arms { // 3 of 4 against 1 of 4: Fisher's tea tasting
		record(&event.Attempt{Pass: pass, Outcome: event.Intact, N: uint32(3 - 2*i), Setup: arm, Trial: trial})
		record(&event.Attempt{Pass: pass, Outcome: event.Total, N: uint32(1 + 2*i), Setup: arm, Trial: trial})
	}
	var lines, out bytes.Buffer
	write := export.NewJSONLines(&lines)
	for _, e := range events {
		if err := write.Write(e); err != nil {
			t.Fatal(err)
		}
	}
	if err := command.Replay(&lines, &out, 0); err != nil {
		t.Fatal(err)
	}
	printed := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(printed) != 4 || !strings.HasPrefix(printed[3], `{"attempts":2500,"planned":false,"falseParts":19`) {
		t.Fatalf("got %d lines, want the View, all set-ups, the trial and the watch: %s", len(printed), out.String())
	}
	var all, one struct {
		Rows []struct {
			Name     string
			Attempts int64
		}
		Against []struct {
			Full    bool
			FisherP int64
		}
	}
	for i, into := range []any{&all, &one} {
		if err := json.Unmarshal([]byte(printed[1+i]), into); err != nil {
			t.Fatal(err)
		}
	}
	if len(all.Rows) != 2 || len(all.Against) != 0 || all.Rows[0].Name != "A" || all.Rows[0].Attempts != 4 {
		t.Errorf("all set-ups: got %+v", all)
	}
	if len(one.Against) != 1 || !one.Against[0].Full || one.Against[0].FisherP != 4857 {
		t.Errorf("the trial: got %+v", one)
	}
}
