package syncengine

import (
	"testing"

	"rootledger/shared/event"
)

// A restore without voids cancels those that stand where it is said: of one that
// nobody there knew of yet, it says nothing.
func TestARestoreCancelsTheVoidsThatStand(t *testing.T) {
	one, lead := New(numbered(1)), New(numbered(2))
	exchange := func(from, to *Replica) {
		peer := from.Know(to.Vector(), nobody)
		take(t, to, dayStart, batched(t, from, &peer)...)
	}
	record(t, lead, &event.Joined{Person: "Lea", Station: event.Lead}, dayStart)
	ten := record(t, one, &event.Sorted{Size: 1, N: 10}, dayStart).Ref()
	exchange(one, lead)
	record(t, one, &event.Void{Target: ten}, dayStart)
	record(t, lead, &event.Void{Target: ten}, dayStart)
	exchange(one, lead)
	if got := sortedOf(lead); got != 0 {
		t.Fatalf("undone twice: got %d sorted, want 0", got)
	}
	both := record(t, lead, &event.Restore{Target: ten}, dayStart)
	if got := len(both.Fact.(*event.Restore).Voids); got != 2 || sortedOf(lead) != 10 {
		t.Errorf("got %d voids cancelled, %d sorted, want 2 and 10", got, sortedOf(lead))
	}
	exchange(lead, one)
	if got := sortedOf(one); got != 10 {
		t.Errorf("on the other phone: got %d sorted, want 10", got)
	}
	record(t, one, &event.Void{Target: ten}, dayStart) // again: a void that the restore does not name
	exchange(one, lead)
	if one, lead := sortedOf(one), sortedOf(lead); one != 0 || lead != 0 {
		t.Errorf("undone again: got %d and %d sorted, want 0", one, lead)
	}
}
