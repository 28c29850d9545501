package words

import (
	"testing"

	"rootledger/shared/event"
)

// Every difference has its name, what explains it, what to count again, and
// what to enter.
func TestDifferencesHaveTheirWords(t *testing.T) {
	for what := event.Pending; what <= event.InDish; what++ {
		for _, beginning := range []string{"difference.", "differenceWhy.", "differenceDo.", "recountDo."} {
			if _, ok := English()[beginning+what.String()]; !ok {
				t.Errorf("en.json has no %s%s", beginning, what)
			}
		}
	}
}
