package bridge

import (
	"testing"

	"github.com/fxamacker/cbor/v2"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

func aSetup(name string, stepMs uint32) *event.Setup {
	return &event.Setup{Name: name, DiameterUM: 900, WaitMs: 150, Motions: []event.Motion{event.Rotation, event.Oscillation},
		ArcsDeg: []uint32{0, 120}, RPM: []uint32{3000, 0}, Power: []uint32{0, 0}, StepsMs: []uint32{200, stepMs}}
}

// A draft needs no session, and is refused as recording it would be.
func TestDraftSetup(t *testing.T) {
	for name, tt := range map[string]struct {
		fact []byte
		want fault.Code
	}{
		"a good one":     {event.EncodeFact(aSetup("A", 200)), ""},
		"a step of 0 ms": {event.EncodeFact(aSetup("A", 0)), "step-ms"},
		"no name":        {event.EncodeFact(aSetup("", 200)), "text-length"},
		"nothing":        {[]byte{0xa0}, "setup-steps"},
		"no map":         {[]byte{0x01}, "call-damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			var g Engine
			d := g.Do(Call{Type: CallSetup, Tap: 5, Fact: tt.fact})
			if len(d.Answers) != 1 || d.Answers[0].Tap != 5 {
				t.Fatalf("got %+v", d.Answers)
			}
			code := fault.Code("")
			if f := d.Answers[0].Fault; f != nil {
				code = f.Code
			}
			if code != tt.want || (d.Setup != nil) != (code == "") {
				t.Errorf("got %q and %+v, want %q", code, d.Setup, tt.want)
			}
			if code == "" && (d.Setup.Derived.CycleMs != 550 || d.Setup.Derived.Steps[0].RimUMPerS != 141_372) {
				t.Errorf("derived: got %+v", d.Setup.Derived)
			}
		})
	}
}

// Answers lie behind all other duties, as arrays in the order of their fields.
func TestComparisonCrosses(t *testing.T) {
	g := started(t, 1, "Cedar")
	tapped(t, g, &event.Joined{Person: "Cedar", Station: event.Lead})
	pass := tapped(t, g, &event.PassBegun{Mode: event.Each})
	arms := []event.Ref{tapped(t, g, aSetup("A", 200)), tapped(t, g, aSetup("B", 400))}
	trial := tapped(t, g, &event.Trial{Pass: pass, Setups: arms, Block: 10})
	for i, arm := range arms {
		tapped(t, g, &event.Attempt{Pass: pass, Outcome: event.Intact, N: 50, Setup: arm, Trial: trial})
		tapped(t, g, &event.Attempt{Pass: pass, Outcome: event.Total, N: uint32(5 + 10*i), Setup: arm, Trial: trial})
	}
	d := g.Do(Call{Type: CallCompare, At: trial, Seq: 1, Tap: 3})
	if d.Compare == nil || len(d.Compare.Against) != 1 || !d.Compare.Against[0].Full || d.Answers[0].Tap != 3 {
		t.Fatalf("got %+v, %+v", d.Compare, d.Answers)
	}
	if half := g.Do(Call{Type: CallCompare, At: trial}); half.Compare.Against[0].Full || half.Compare.Against[0].FisherP != 0 {
		t.Errorf("a phone asks for less: got %+v", half.Compare.Against)
	}
	var out []any
	if err := cbor.Unmarshal(d.encode(), &out); err != nil {
		t.Fatal(err)
	}
	if len(out) < 18 || len(out[16].([]any)) != 0 {
		t.Fatalf("got %d duties, a draft %v", len(out), out[16])
	}
	compared := out[17].([]any)
	row := compared[1].([]any)[1].([]any)
	if compared[0] != trial.String() || row[0] != arms[1].String() || row[1] != "B" || row[2] != uint64(65) {
		t.Errorf("got %v", compared)
	}
	draft := g.Do(Call{Type: CallSetup, Fact: event.EncodeFact(aSetup("C", 1))})
	if err := cbor.Unmarshal(draft.encode(), &out); err != nil || out[16].([]any)[1] != "C" || len(out[17].([]any)) != 0 {
		t.Errorf("a draft: got %v, %v", out, err)
	}
}

// A section that no event touched is not encoded again, and still crosses when
// it changes.
func TestKeptSectionsCross(t *testing.T) {
	g := started(t, 1, "Cedar")
	tapped(t, g, &event.Joined{Person: "Cedar", Station: event.Extraction})
	pass := tapped(t, g, &event.PassBegun{Mode: event.Each})
	view := func() map[string]bool {
		v := g.Replica().View(1, nil)
		shown := map[string]bool{}
		for _, c := range g.sections.Changed(&v) {
			shown[map[int]string{17: "setups", 18: "chosen", 19: "trials"}[c.Section]] = true
		}
		return shown
	}
	record := func(fact event.Fact) event.Ref {
		t.Helper()
		e, err := g.Replica().Record(fact, false, g.now())
		if err != nil {
			t.Fatal(err)
		}
		return e.Ref()
	}
	view()
	record(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 1})
	if got := view(); got["setups"] || got["chosen"] || got["trials"] {
		t.Errorf("a plain tap: got %v", got)
	}
	setup := record(aSetup("A", 200))
	if got := view(); !got["setups"] || got["chosen"] || got["trials"] {
		t.Errorf("a set-up: got %v", got)
	}
	record(&event.SetupChosen{Pass: pass, Setup: setup})
	if got := view(); got["setups"] || !got["chosen"] || got["trials"] {
		t.Errorf("a choice: got %v", got)
	}
	record(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 1, Setup: setup})
	if got := view(); got["setups"] || got["chosen"] || got["trials"] {
		t.Errorf("a tap with a set-up: got %v", got)
	}
	other := record(aSetup("B", 200))
	record(&event.Trial{Pass: pass, Setups: []event.Ref{setup, other}, Block: 5})
	if got := view(); !got["setups"] || !got["trials"] {
		t.Errorf("a trial: got %v", got)
	}
}
