package event_test

import (
	"slices"
	"testing"

	"rootledger/shared/event"
)

func TestKinds(t *testing.T) {
	kinds := event.Kinds()
	if !slices.IsSorted(kinds) || len(kinds) != len(slices.Compact(slices.Clone(kinds))) {
		t.Errorf("got %v, want ascending kinds, each once", kinds)
	}
	same(t, "goldens", len(goldenFacts), len(kinds))
	names := make(map[string]bool)
	for i, k := range kinds {
		fact := event.New(k)
		same(t, "kind of a new "+k.String(), fact.Kind(), k)
		same(t, "golden's kind", goldenFacts[i].Kind(), k)
		if fact == event.New(k) && k != event.KindEnded && k != event.KindLeft {
			t.Errorf("%s: got the same fact twice, want two", k)
		}
		if names[k.String()] {
			t.Errorf("name %q: got it twice, want once", k)
		}
		names[k.String()] = true
		if k.Counts() && !k.Voidable() {
			t.Errorf("%s: counts, but can not be undone", k)
		}
	}
	for _, k := range []event.Kind{0, 9, 77, 200, 65535} {
		if fact := event.New(k); fact != nil || k.Counts() || k.Voidable() {
			t.Errorf("%s: got %v, want nothing", k, fact)
		}
	}
	same(t, "unknown kind", event.Kind(65535).String(), "kind 65535")
}

// What must be known before the golden facts count. Kinds that are not listed
// need nothing: their references may arrive first.
func TestNeeds(t *testing.T) {
	zone, region := event.Need{Ref: refTo(3), Kind: event.KindZone}, event.Need{Ref: refTo(4), Kind: event.KindRegion}
	pass, dish := event.Need{Ref: refTo(5), Kind: event.KindPassBegun}, event.Need{Ref: refTo(6), Kind: event.KindDish}
	setup, trial := event.Need{Ref: refTo(8), Kind: event.KindSetup}, event.Need{Ref: refTo(9), Kind: event.KindTrial}
	arms := []event.Need{pass}
	for _, one := range refsTo(3) {
		arms = append(arms, event.Need{Ref: one, Kind: event.KindSetup})
	}
	agent := event.Need{Ref: refTo(8), Kind: event.KindAgent}
	want := map[event.Kind][]event.Need{
		event.KindZone: {zone}, event.KindRegion: {region},
		event.KindPassEnded: {pass},
		event.KindFired:     {pass, region}, event.KindAttempt: {pass, region, setup, trial},
		event.KindReading: {pass, region}, event.KindRetrieved: {pass, region},
		event.KindInspected: {pass, region}, event.KindLooked: {pass},
		event.KindSorted: {dish}, event.KindRejected: {dish},
		event.KindSites: {zone}, event.KindSitesClosed: {zone},
		event.KindPlaced: {zone, dish}, event.KindCameBack: {zone, dish}, event.KindSplit: {dish},
		event.KindOpeningCount: {pass, region, zone},
		event.KindDishDone:     {dish, zone}, event.KindDishClosed: {dish}, event.KindRecount: {dish},
		event.KindRefiled: {pass, region, zone, dish, setup}, event.KindSettled: {pass, region},
		event.KindSetup: {setup}, event.KindSetupChosen: {pass, setup, trial}, event.KindTrial: arms, event.KindTrialConcluded: {trial},
		event.KindAgent: {agent}, event.KindDosed: {agent},
	}
	for _, fact := range goldenFacts {
		t.Run(fact.Kind().String(), func(t *testing.T) {
			before := []event.Need{{Ref: refTo(1), Kind: 1}}
			got := eventOf(fact).Needs(before)
			if !slices.Equal(got[:1], before) || !slices.Equal(got[1:], want[fact.Kind()]) {
				t.Errorf("got %v, want %v behind %v", got, want[fact.Kind()], before)
			}
			same(t, "needs of an empty fact", len(eventOf(event.New(fact.Kind())).Needs(nil)), 0)
		})
	}
}

// named is an enumeration's value that is also written by name.
type named interface {
	comparable
	String() string
	MarshalText() ([]byte, error)
}

func checkNames[T named](t *testing.T, parse func(string) (T, bool), zero, unknown T, want map[string]T) {
	t.Helper()
	for name, v := range want {
		same(t, "string", v.String(), name)
		text, err := v.MarshalText()
		same(t, "marshal", string(text), name)
		same(t, "marshal's error", err, nil)
		got, ok := parse(name)
		same(t, "parse "+name, got, v)
		same(t, "parse "+name, ok, true)
	}
	same(t, "string of zero", zero.String(), "")
	same(t, "string of an unknown one", unknown.String(), "")
	for _, bad := range []string{"", "no such name", " "} {
		got, ok := parse(bad)
		same(t, "parse of "+bad, got, zero)
		same(t, "parse of "+bad, ok, false)
	}
}

func TestNames(t *testing.T) {
	checkNames(t, event.ParseStation, 0, 8, map[string]event.Station{"extraction": 1, "sorting": 2, "sites": 3,
		"placing": 4, "desk": 5, "lead": 6, "office": 7})
	checkNames(t, event.ParseOutcome, 0, 7, map[string]event.Outcome{"intact": 1, "partial": 2, "total": 3,
		"topped": 4, "buried": 5, "empty": 6})
	checkNames(t, event.ParseMode, 0, 4, map[string]event.Mode{"each": 1, "pulled": 2, "exception": 3})
	checkNames(t, event.ParseDirection, 0, 255, map[string]event.Direction{"up": 1, "down": 2})
	checkNames(t, event.ParseStock, 0, 4, map[string]event.Stock{"bench": 1, "holding": 2, "open sites": 3})
	checkNames(t, event.ParseIdentity, 0, 12, map[string]event.Identity{"pending": 1, "intact": 2, "against": 3, "buried": 4, "bench": 5,
		"holding": 6, "sites": 7, "placed": 8, "beyond": 9, "reading": 10, "dish": 11})
	checkNames(t, event.ParseReason, 0, 8, map[string]event.Reason{"cut": 1, "no hair": 2, "damaged": 3,
		"dried": 4, "lost": 5, "surplus": 6, "other": 7})
	checkNames(t, event.ParseLabel, 0, 5, map[string]event.Label{"lidocaine": 1, "lidocaine with epinephrine": 2,
		"bupivacaine": 3, "bupivacaine with epinephrine": 4})
}
