package crash

import (
	"fmt"
	"io"
	"os"
	"sync"
	"text/tabwriter"
)

// lines are what the checks of this run came to, in the order in which they ended.
var lines struct {
	sync.Mutex
	all []line
}

// line is one check: of how many it speaks, and how many acknowledged counts
// were not there afterwards.
type line struct {
	check, howMany string
	lost           int
}

// note adds a line to the table that ends the run.
func note(check string, lost int, howMany string, args ...any) {
	lines.Lock()
	defer lines.Unlock()
	lines.all = append(lines.all, line{check, fmt.Sprintf(howMany, args...), lost})
}

// printTable writes a line for each check that came to its end.
func printTable(to io.Writer) error {
	w := tabwriter.NewWriter(to, 0, 0, 3, ' ', 0)
	fmt.Fprintf(w, "\ncheck\thow many\tlost\n")
	for _, l := range lines.all {
		fmt.Fprintf(w, "%s\t%s\t%d\n", l.check, l.howMany, l.lost)
	}
	return w.Flush()
}

// soaking says whether the long form of every check was asked for.
func soaking() bool { return os.Getenv("SOAK") == "1" }
