package event_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// check is one fact and the code of its fault, "" for a good one. The bounds
// are written out here as plain numbers.
type check struct {
	name string
	fact event.Fact
	want fault.Code
}

func ofLen(n int) string { return strings.Repeat("x", n) }

// wide is n characters of four bytes each.
func wide(n int) string { return strings.Repeat("\U0001F600", n) }

const (
	absurd  = math.MaxUint32
	withTab = "tab\there"
)

func opened(caseCode, room string, stations ...event.Station) *event.Opened {
	return &event.Opened{Case: caseCode, Room: room, Stations: stations}
}

func practice(start, real uint64, speed uint32) *event.Opened {
	o := opened("C1", "R1", event.Placing)
	o.Practice = event.Practice{StartMs: start, RealMs: real, Speed: speed}
	return o
}

var peopleChecks = []check{
	{"least", opened("C", "1", event.Extraction), ""},
	{"longest", opened("a-B.9456789012-.", ofLen(16), 1, 2, 3, 4), ""},
	{"no case", opened("", "R1", event.Placing), "case-code"},
	{"long case", opened(ofLen(17), "R1", event.Placing), "case-code"},
	{"case with a space", opened("C 1", "R1", event.Placing), "case-code"},
	{"case with a slash", opened("C/1", "R1", event.Placing), "case-code"},
	{"case with an umlaut", opened("Ö1", "R1", event.Placing), "case-code"},
	{"case begins with a dash", opened("-C1", "R1", event.Placing), "case-code"},
	{"case begins with a dot", opened(".C1", "R1", event.Placing), "case-code"},
	{"case begins with an equals sign", opened("=C1", "R1", event.Placing), "case-code"},
	{"no room", opened("C1", "", event.Placing), "room-name"},
	{"long room", opened("C1", ofLen(17), event.Placing), "room-name"},
	{"room with a line end", opened("C1", "R\n", event.Placing), "room-name"},
	{"no stations", opened("C1", "R1"), "stations-none"},
	{"station 0", opened("C1", "R1", 0), "stations-none"},
	{"station that does not count", opened("C1", "R1", event.Desk), "stations-none"},
	{"unknown station", opened("C1", "R1", 200), "stations-none"},
	{"station twice", opened("C1", "R1", 1, 1), "stations-none"},
	{"stations that descend", opened("C1", "R1", 2, 1), "stations-none"},
	{"five stations", opened("C1", "R1", 1, 2, 3, 4, 5), "stations-none"},
	{"fastest practice", practice(1<<48-1, 1<<48-1, 10_800), ""},
	{"slowest practice", practice(1, 1, 1), ""},
	{"practice too fast", practice(1, 1, 10_801), "practice-speed"},
	{"practice absurdly fast", practice(1, 1, absurd), "practice-speed"},
	{"practice starts too late", practice(1<<48, 1, 1), "practice-speed"},
	{"practice made too late", practice(1, 1<<48, 1), "practice-speed"},

	{"any", &event.Ended{}, ""},
	{"any", &event.Left{}, ""},

	{"least", &event.Joined{Person: "A", Station: event.Extraction}, ""},
	{"longest", &event.Joined{Person: wide(40), Station: event.Office}, ""},
	{"nobody", &event.Joined{Station: event.Lead}, "text-length"},
	{"long person", &event.Joined{Person: ofLen(41), Station: event.Lead}, "text-length"},
	{"person with a control character", &event.Joined{Person: "A\x00", Station: event.Lead}, "text-control"},
	{"no station", &event.Joined{Person: "A"}, "station-unknown"},
	{"unknown station", &event.Joined{Person: "A", Station: 8}, "station-unknown"},
	{"absurd station", &event.Joined{Person: "A", Station: 255}, "station-unknown"},

	{"least", &event.HandedOver{Person: "A"}, ""},
	{"longest", &event.HandedOver{Person: ofLen(40), Checks: refsTo(event.MaxChecks)}, ""},
	{"too many checks", &event.HandedOver{Person: "A", Checks: refsTo(event.MaxChecks + 1)}, "checks-many"},
	{"nobody", &event.HandedOver{}, "text-length"},
	{"long person", &event.HandedOver{Person: wide(41)}, "text-length"},
	{"person with an escape", &event.HandedOver{Person: "\x1b[A"}, "text-control"},
}

var deskChecks = []check{
	{"no reason", &event.Paused{}, ""},
	{"longest reason", &event.Paused{Room: true, Reason: wide(500)}, ""},
	{"long reason", &event.Paused{Reason: ofLen(501)}, "text-length"},
	{"reason with a tab", &event.Paused{Reason: withTab}, "text-control"},

	{"any", &event.Resumed{}, ""},

	{"least", &event.Note{Text: " "}, ""},
	{"longest", &event.Note{Text: wide(500)}, ""},
	{"several lines", &event.Note{Text: "one\ntwo\n"}, ""},
	{"empty", &event.Note{}, "text-length"},
	{"long", &event.Note{Text: ofLen(501)}, "text-length"},
	{"long and wide", &event.Note{Text: wide(501)}, "text-length"},
	{"not UTF-8", &event.Note{Text: "a\xff"}, "text-length"},
	{"zero byte", &event.Note{Text: "a\x00b"}, "text-control"},
	{"tab", &event.Note{Text: withTab}, "text-control"},
	{"carriage return", &event.Note{Text: "a\r\n"}, "text-control"},
	{"last below a space", &event.Note{Text: "\x1f"}, "text-control"},
	{"delete", &event.Note{Text: "\x7f"}, "text-control"},
	{"first above delete", &event.Note{Text: "\u00a0"}, ""},

	{"no reason", &event.Void{Target: refTo(1)}, ""},
	{"longest reason", &event.Void{Target: refTo(1), Reason: ofLen(500)}, ""},
	{"no target", &event.Void{Reason: "x"}, "ref-needed"},
	{"long reason", &event.Void{Target: refTo(1), Reason: ofLen(501)}, "text-length"},
	{"reason with a tab", &event.Void{Target: refTo(1), Reason: withTab}, "text-control"},

	{"one void", &event.Restore{Target: refTo(1), Voids: refsTo(1)}, ""},
	{"most voids", &event.Restore{Target: refTo(1), Voids: refsTo(64)}, ""},
	{"no target", &event.Restore{Voids: refsTo(1)}, "ref-needed"},
	{"no voids", &event.Restore{Target: refTo(1)}, "ref-needed"},
	{"too many voids", &event.Restore{Target: refTo(1), Voids: refsTo(65)}, "edits-many"},

	{"a clock behind", &event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}, RoomMs: event.MaxMs, AheadMs: -event.MaxMs}, ""},
	{"of no replica", &event.ClockNote{Start: event.StartID{1}}, "clock-note"},
	{"of no start", &event.ClockNote{Replica: event.ReplicaID{1}}, "clock-note"},
	{"beyond every stamp", &event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}, RoomMs: event.MaxMs + 1}, "clock-note"},
	{"ahead of everything", &event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}, AheadMs: event.MaxMs + 1}, "clock-note"},
	{"a share", &event.Granted{To: event.ReplicaID{1}, N: 1}, ""},
	{"a share of nobody", &event.Granted{N: 1}, "share-of-nobody"},
	{"a share of nothing", &event.Granted{To: event.ReplicaID{1}}, "count-range"},
	{"a share beyond every entry", &event.Granted{To: event.ReplicaID{1}, N: event.MaxFired + 1}, "count-range"},
	{"a share taken back", &event.Reclaimed{From: event.ReplicaID{1}, N: event.MaxFired}, ""},
	{"taken back from nobody", &event.Reclaimed{N: 1}, "share-of-nobody"},
	{"nothing taken back", &event.Reclaimed{From: event.ReplicaID{1}}, "count-range"},
	{"behind everything", &event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}, AheadMs: -event.MaxMs - 1}, "clock-note"},
}

func allChecks() []check {
	var out []check
	for _, list := range [][]check{peopleChecks, planChecks, extractionChecks, sortingChecks, placingChecks, deskChecks, dishChecks, correctionChecks, setupChecks, doseChecks, qualityChecks} {
		out = append(out, list...)
	}
	return out
}

// A bad fact is refused with its code by Validate and by Seal; a good one is
// sealed, read back as it was, and counts.
func TestValidate(t *testing.T) {
	for _, c := range allChecks() {
		t.Run(c.fact.Kind().String()+"/"+c.name, func(t *testing.T) {
			same(t, "validate", codeOf(c.fact.Validate()), c.want)
			e := eventOf(c.fact)
			same(t, "seal", codeOf(e.Seal()), c.want)
			if c.want != "" {
				same(t, "body", len(e.Body), 0)
				same(t, "kind of fault", fault.Of(c.fact.Validate()).Kind, fault.Invalid)
				return
			}
			got, err := event.Decode(e.Body)
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			if !reflect.DeepEqual(got.Fact, c.fact) {
				t.Errorf("read back: got %#v, want %#v", got.Fact, c.fact)
			}
			same(t, "valid", got.Valid(), nil)
		})
	}
}

// A bad fact that arrives from elsewhere is read, kept, and has the same fault.
func TestReceivedBadFactsAreNotValid(t *testing.T) {
	for _, c := range allChecks() {
		if c.want == "" || c.name == "not UTF-8" {
			continue
		}
		t.Run(c.fact.Kind().String()+"/"+c.name, func(t *testing.T) {
			e, err := event.Decode(event.Encode(eventOf(c.fact)))
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			same(t, "valid", codeOf(e.Valid()), c.want)
		})
	}
}

func TestEveryKindIsChecked(t *testing.T) {
	always := map[event.Kind]bool{event.KindEnded: true, event.KindLeft: true, event.KindResumed: true}
	good, bad := make(map[event.Kind]bool), make(map[event.Kind]bool)
	for _, c := range allChecks() {
		if c.want == "" {
			good[c.fact.Kind()] = true
		} else {
			bad[c.fact.Kind()] = true
		}
	}
	for _, k := range event.Kinds() {
		if !good[k] || bad[k] == always[k] {
			t.Errorf("%s: got good %v, bad %v, want good true, bad %v", k, good[k], bad[k], !always[k])
		}
	}
}

// Late may stand on the entries of a tally, and on nothing else.
func TestLate(t *testing.T) {
	for _, fact := range goldenFacts {
		t.Run(fact.Kind().String(), func(t *testing.T) {
			group := fact.Kind() / 10
			want := fault.Code("late-kind")
			if group >= 4 && group <= 6 && fact.Kind() != event.KindInspected && fact.Kind() != event.KindLooked || fact.Kind() >= event.KindFired && fact.Kind() <= event.KindRetrieved ||
				fact.Kind() == event.KindOpeningCount || fact.Kind() == event.KindDishDone {
				want = ""
			}
			e := eventOf(fact)
			e.Late = true
			same(t, "late", codeOf(e.Seal()), want)
			got, err := event.Decode(event.Encode(e))
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			same(t, "late, received", codeOf(got.Valid()), want)
			e.Late = false
			same(t, "in time", codeOf(e.Seal()), "")
		})
	}
}
