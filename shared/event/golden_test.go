package event_test

import (
	"encoding/hex"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"rootledger/shared/event"
)

var update = flag.Bool("update", false, "write the golden files of this package anew")

// goldenFacts has one fact of every kind with every field set. A change of its
// bytes is a change of the format: old sessions must still be read.
var goldenFacts = []event.Fact{
	&event.Opened{
		Case: "C-2027.014", Room: "Room-2",
		Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing},
		Practice: event.Practice{StartMs: 1_800_000_000_000, RealMs: 1_799_999_000_000, Speed: 60},
	},
	&event.Ended{},
	&event.Joined{Person: "Ünal K.", Station: event.Sorting, Was: event.ReplicaID{1, 2, 3, 4, 5, 6, 7, 8}},
	&event.Left{},
	&event.HandedOver{Person: "M. Ö.", Checks: refsTo(3)},
	&event.OpeningCount{Of: event.KindAttempt, Pass: refTo(5), Region: refTo(4), Outcome: event.Intact, Zone: refTo(3), Size: 2, N: 640},

	&event.Budget{Grafts: 2500, Reason: "scar in the donor area", Supersedes: refsTo(2)},
	&event.Zone{
		Of: refTo(3), Name: "Hairline", AreaMM2: 2400, Density10: 450,
		Mix: [event.Sizes]uint16{600, 250, 120, 30}, Supersedes: refsTo(3),
	},
	&event.Region{
		Of: refTo(4), Code: "OC", Name: "Occipital", AreaMM2: 9000, Density10: 815, Today: true,
		SharePerMille: 350, Harvested: 1200, HairsPerUnit100: 215, Supersedes: refsTo(1),
	},
	&event.Yield{PerMille: 930, Supersedes: refsTo(1)},
	&event.Floor{HairsPerCM2x10: 1150, Supersedes: refsTo(1)},
	&event.Watch{P0Parts: 450, P1Parts: 1_000, H100: 475, Supersedes: refsTo(1)},
	&event.Keeping{AmberMin: 180, RedMin: 300, PlacingMs: 1_800_000_000_000, PerHour10: 4_500, Solution: "chilled saline",
		Temperature10: -5, TemperatureKnown: true, Supersedes: refsTo(1)},

	&event.PassBegun{Mode: event.Pulled, DiameterUM: 900, Operator: "Dr. A"},
	&event.PassEnded{Pass: refTo(5)},
	&event.Fired{Pass: refTo(5), Region: refTo(4), N: 1500},
	&event.Attempt{Pass: refTo(5), Region: refTo(4), Outcome: event.Partial, N: 3, Setup: refTo(8), Trial: refTo(9)},
	&event.Reading{Pass: refTo(5), Region: refTo(4), Counter: "punch 1", Direction: event.Down, Value: 65_536},
	&event.Retrieved{From: event.Buried, Pass: refTo(5), Region: refTo(4), N: 2},

	&event.Setup{Name: "Sharp, short", DiameterUM: 900, Edge: "sharp", WaitMs: 150,
		Motions: []event.Motion{event.Rotation, event.Oscillation, event.Vibration}, ArcsDeg: []uint32{0, 540, 0},
		RPM: []uint32{3000, 1500, 0}, Power: []uint32{80, 0, 100}, StepsMs: []uint32{200, 150, 50}, Replaces: refTo(8)},
	&event.SetupChosen{Pass: refTo(5), Setup: refTo(8), Trial: refTo(9), Turn: 7},
	&event.Trial{Pass: refTo(5), Setups: refsTo(3), Block: 25, Seed: 4_000_000_000},
	&event.TrialConcluded{Trial: refTo(9), Note: "the shorter turn from here on"},

	&event.Sorted{Size: 2, N: 25, Dish: refTo(6)},
	&event.Rejected{From: event.Holding, Size: 3, Reason: event.ReasonDried, N: 4, Dish: refTo(6)},
	&event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 7, Dish: refTo(6)},

	&event.Inspected{Pass: refTo(5), Region: refTo(4), Grafts: 20, Whole: 44, Cut: 3},
	&event.Looked{Pass: refTo(5), Grafts: 12, Damaged: 1, Note: "the rim is blunt", Upto: refsTo(2)},

	&event.Sites{Zone: refTo(3), Size: 1, N: 300},
	&event.SitesClosed{Zone: refTo(3), Size: 4, N: 12},

	&event.Placed{Zone: refTo(3), Size: 2, N: 24, Dish: refTo(6)},
	&event.CameBack{Zone: refTo(3), Size: 2, N: 1, Dish: refTo(6)},

	&event.Paused{Room: true, Reason: "lunch"},
	&event.Resumed{Room: true},
	&event.Note{Text: "Second punch from here on.\nSee the list."},

	&event.Dish{Label: "12", Size: 2},
	&event.DishDone{Dish: refTo(6), Zone: refTo(3), Placed: [event.Sizes]uint32{1, 24, 3, 4}, Rejected: [event.Sizes]uint32{5, 6, 7, 8},
		Reason: event.ReasonDried, Returned: [event.Sizes]uint32{9, 10, 11, 12}},
	&event.DishClosed{Dish: refTo(6)},
	&event.Recount{Of: event.Holding, Dish: refTo(6), Size: 2, N: 27},

	&event.Void{Target: refTo(7), Reason: "wrong zone"},
	&event.Restore{Target: refTo(7), Voids: refsTo(2)},
	&event.Refiled{Targets: refsTo(2), Sets: 63, Pass: refTo(5), Region: refTo(4), Zone: refTo(3), Dish: refTo(6), Size: 3, Setup: refTo(8)},
	&event.Settled{What: event.Pending, At: refTo(5), Region: refTo(4), Amount: -6, Reason: "fired in the air"},

	&event.ClockNote{Replica: event.ReplicaID{1, 2, 3, 4, 5, 6, 7, 8}, Start: event.StartID{1, 2, 3, 4, 5, 6, 7, 8},
		SinceMs: 61_000, RoomMs: 1_800_000_061_000, AheadMs: -185_000},
	&event.Granted{To: event.ReplicaID{1, 2, 3, 4, 5, 6, 7, 8}, N: 240},
	&event.Reclaimed{From: event.ReplicaID{1, 2, 3, 4, 5, 6, 7, 8}, N: 57},

	&event.Agent{Of: refTo(8), Substance: "articaine", Epinephrine: true, PerKgUG: 7_000, CapUG: 500_000, DailyUG: 900_000,
		Strengths: []uint32{4_000, 2_000}, Source: "the house's list", Supersedes: refsTo(1)},
	&event.Weight{Grams: 81_500, Asked: true, Supersedes: refsTo(1)},
	&event.Dosed{Agent: refTo(8), VolumeUL: 1_800, Strength: 500, Ratio: 200_000, Site: "donor, left",
		Tumescent: true, Earlier: true, Asked: true},
	&event.DoseRule{Substance: "lidocaine", Apart: true, PerKgUG: 28_000, Strength: 100, Source: "the house's list", Reason: "as agreed",
		Supersedes: refsTo(1)},
}

// versions are the kinds that gained fields: the files of their earlier versions
// stay, and stay readable.
var versions = map[event.Kind]int{event.KindJoined: 2, event.KindSplit: 2, event.KindCameBack: 2,
	event.KindAttempt: 2, event.KindRefiled: 2, event.KindLooked: 2, event.KindHandedOver: 2}

func goldenPath(name string) string { return filepath.Join("testdata", name+".hex") }

func goldenName(k event.Kind) string {
	return fmt.Sprintf("%d-%s.v%d", k, strings.ReplaceAll(k.String(), " ", "-"), max(1, versions[k]))
}

func readGolden(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(goldenPath(name))
	if err != nil {
		t.Fatalf("golden: %v", err)
	}
	body, err := hex.DecodeString(strings.Join(strings.Fields(string(text)), ""))
	if err != nil {
		t.Fatalf("golden %s: %v", name, err)
	}
	return body
}

// compareGolden holds body to the file, or writes the file when told to.
func compareGolden(t *testing.T, name string, body []byte) {
	t.Helper()
	if *update {
		var lines strings.Builder
		for rest := hex.EncodeToString(body); rest != ""; {
			n := min(64, len(rest))
			lines.WriteString(rest[:n] + "\n")
			rest = rest[n:]
		}
		if err := os.WriteFile(goldenPath(name), []byte(lines.String()), 0o644); err != nil {
			t.Fatalf("golden: %v", err)
		}
	}
	if want := readGolden(t, name); string(body) != string(want) {
		t.Errorf("body:\n got %x\nwant %x", body, want)
	}
}

func TestGolden(t *testing.T) {
	for _, fact := range goldenFacts {
		name := goldenName(fact.Kind())
		t.Run(name, func(t *testing.T) {
			e := sealed(t, fact)
			compareGolden(t, name, e.Body)
			got, err := event.Decode(readGolden(t, name))
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			if !reflect.DeepEqual(got, e) {
				t.Errorf("decoded:\n got %+v of %+v\nwant %+v of %+v", got, got.Fact, e, e.Fact)
			}
			if err := got.Valid(); err != nil {
				t.Errorf("valid: got %v, want no fault", err)
			}
			agree(t, e.Body)
		})
	}
}

// Every file of every version is read and written again as it is.
func TestEveryVersionIsRead(t *testing.T) {
	files, err := filepath.Glob(goldenPath("*"))
	if err != nil || len(files) < len(event.Kinds()) {
		t.Fatalf("got %d files, %v", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".hex")
		t.Run(name, func(t *testing.T) {
			body := readGolden(t, name)
			e, err := event.Decode(body)
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			if _, unread := e.Fact.(*event.Unread); !unread && !strings.Contains(name, "-extra") {
				same(t, "written again", hex.EncodeToString(event.Encode(e)), hex.EncodeToString(body))
			}
		})
	}
}

func TestEveryKindHasAGolden(t *testing.T) {
	for _, k := range event.Kinds() {
		t.Run(goldenName(k), func(t *testing.T) {
			e, err := event.Decode(readGolden(t, goldenName(k)))
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			same(t, "kind", e.Fact.Kind(), k)
		})
	}
}

// excluded are the fields that another field of the same fact excludes.
var excluded = map[event.Kind]event.Fact{
	event.KindRecount: &event.Recount{Of: event.OpenSites, Dish: refTo(6), Zone: refTo(3), Size: 2, N: 1},
	event.KindDosed: &event.Dosed{Agent: refTo(8), Label: event.Bupivacaine, VolumeUL: 1, Strength: 1, Ratio: 1, Site: "a", Tumescent: true,
		Earlier: true, Asked: true},
	event.KindSettled: &event.Settled{What: event.InDish, At: refTo(6), Region: refTo(4), Size: 2, Amount: 1, Reason: "a"},
}

// A golden with an empty field would not notice that the field is lost.
func TestGoldenFactsAreFull(t *testing.T) {
	for _, fact := range goldenFacts {
		t.Run(fact.Kind().String(), func(t *testing.T) {
			if full := excluded[fact.Kind()]; full != nil { // no valid fact of the kind is; its walk still keeps every field
				e, err := event.Decode(event.Encode(eventOf(full)))
				if err != nil || !reflect.DeepEqual(e.Fact, full) {
					t.Errorf("got %+v, %v, want %+v", e.Fact, err, full)
				}
				fact = full
			}
			noZero(t, "fact", reflect.ValueOf(fact).Elem())
		})
	}
}

func noZero(t *testing.T, name string, v reflect.Value) {
	t.Helper()
	switch {
	case v.Type() == reflect.TypeFor[event.Ref]() || v.Kind() != reflect.Struct && v.Kind() != reflect.Array:
		if v.IsZero() {
			t.Errorf("%s: got zero, want a value", name)
		}
	case v.Kind() == reflect.Array:
		for i := range v.Len() {
			noZero(t, fmt.Sprint(name, i), v.Index(i))
		}
	default:
		for i := range v.NumField() {
			noZero(t, v.Type().Field(i).Name, v.Field(i))
		}
	}
}

// The layout in plain numbers: keys and values as they are written, put into
// bytes by the other library.
func TestLayout(t *testing.T) {
	ref := func(r event.Ref) []any { return []any{r.Replica[:], r.Seq, r.Check[:]} }
	check := func(k event.Kind, layout map[uint64]any) {
		same(t, k.String(), hex.EncodeToString(readGolden(t, goldenName(k))), hex.EncodeToString(encode(t, layout)))
	}
	attempt := envelope(33)
	attempt[9] = map[uint64]any{1: ref(refTo(5)), 2: ref(refTo(4)), 3: uint64(2), 4: uint64(3), 6: ref(refTo(8)), 7: ref(refTo(9))}
	attempt[12] = true
	check(event.KindAttempt, attempt)

	rejected := envelope(41)
	rejected[9] = map[uint64]any{1: uint64(2), 2: uint64(3), 3: uint64(4), 4: uint64(4), 5: ref(refTo(6))}
	rejected[12] = true
	check(event.KindRejected, rejected)

	restore := envelope(81)
	restore[9] = map[uint64]any{1: ref(refTo(7)), 2: []any{ref(refTo(1)), ref(refTo(2))}}
	check(event.KindRestore, restore)

	of := eventOf(&event.Opened{})
	opened := envelope(10)
	delete(opened, 3)
	opened[2], opened[10], opened[11] = uint64(1), of.Session[:], of.Phone[:]
	opened[9] = map[uint64]any{1: "C-2027.014", 2: "Room-2", 3: []any{uint64(1), uint64(2), uint64(3), uint64(4)},
		4: uint64(1_800_000_000_000), 5: uint64(1_799_999_000_000), 6: uint64(60)}
	check(event.KindOpened, opened)
}

// envelope is a seventh event of some kind with an empty fact, in plain numbers.
func envelope(kind uint64) map[uint64]any {
	e := eventOf(&event.Ended{})
	return map[uint64]any{1: e.Replica[:], 2: e.Seq, 3: e.Prev[:], 4: uint64(e.Stamp), 5: uint64(e.WallMs),
		6: e.Start[:], 7: e.SinceMs, 8: kind, 9: map[uint64]any{}}
}
