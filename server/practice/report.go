package practice

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"

	"rootledger/server/export"
	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

// Report is what people really did against what the room says.
type Report struct {
	Case     string `json:"case"`
	Seed     uint64 `json:"seed"`
	Events   int    `json:"events"`
	Rows     []Row  `json:"rows"`
	Replay   bool   `json:"replayIsTheSame"` // the exported events fold to the wall's bytes
	Refused  int    `json:"refused"`         // events that the server would not take
	Differed int    `json:"differed"`
}

// Row is one figure from three sides.
type Row struct {
	Figure string `json:"figure"`
	Done   int64  `json:"done"`  // what people did
	Wall   int64  `json:"wall"`  // what the wall says
	Sheet  int64  `json:"sheet"` // what the sheet says
}

// Agrees says whether the three sides are equal.
func (r Row) Agrees() bool { return r.Done == r.Wall && r.Wall == r.Sheet }

// OK says that no count was lost, doubled or told otherwise.
func (r Report) OK() bool { return r.Differed == 0 && r.Replay && r.Refused == 0 }

// report waits until the wall has everything, and compares.
func (r *room) report(ctx context.Context) (Report, error) {
	out := Report{Seed: r.config.Seed, Events: r.written()}
	err := r.wall.Until(ctx, func(events int, _, _ uint64) bool { return events >= out.Events })
	if err != nil {
		return out, err
	}
	wall := r.wall.Settled()
	out.Case = wall.Session.Case
	sheet, err := r.sheet(ctx)
	if err != nil {
		return out, err
	}
	out.Rows = compare(r.day.Truth, wall, sheet)
	for _, row := range out.Rows {
		if !row.Agrees() {
			out.Differed++
		}
	}
	for _, p := range r.phones {
		out.Refused += len(p.Refused())
	}
	out.Replay, err = r.replays(ctx, wall)
	return out, err
}

// written is how many events all phones together wrote.
func (r *room) written() int {
	n := int(r.office.written())
	for _, p := range r.phones {
		n += int(p.written())
	}
	return n
}

func (p *Phone) written() uint64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.replica.Head().Seq
}

// cells is a sheet by section, about, size and measure.
type cells map[string]int64

func (r *room) sheet(ctx context.Context) (cells, error) {
	text, err := r.api.Sheet(ctx, r.session, "csv")
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("practice: sheet: %w", err)
	}
	out := make(cells)
	for _, row := range rows {
		if n, err := strconv.ParseInt(row[4], 10, 64); err == nil {
			out[cell(row[0], row[1], row[2], row[3])] += n
		}
	}
	return out, nil
}

func cell(section, about, size, measure string) string {
	return section + "|" + about + "|" + size + "|" + measure
}

func compare(t Truth, v session.View, c cells) []Row {
	l := v.Ledger
	rows := []Row{{"attempts", t.Punched, l.Attempts.Punched, c[cell("pass", "", "", "attempts")]}}
	for o := event.Intact; o <= event.Empty; o++ {
		rows = append(rows, Row{o.String(), t.Outcomes[o-1], l.Attempts.Outcomes[o-1], c[cell("pass", "", "", o.String())]})
	}
	rows = append(rows,
		Row{"out", t.Out, l.Out, c[cell("grafts", "", "", "out")]},
		Row{"on the bench", t.Bench, l.Bench, c[cell("grafts", "", "", "on the bench")]},
		Row{"rejected", t.Rejected, l.RejectedBench + l.RejectedPlacing,
			c[cell("grafts", "", "", "rejected at the bench")] + c[cell("grafts", "", "", "rejected at placing")]},
		Row{"gained by splitting", t.Gained, l.Gained, c[cell("grafts", "", "", "gained by splitting")]},
		Row{"in holding", t.Holding.Total(), l.HoldingTotal, c[cell("grafts", "", "", "in holding, all")]},
		Row{"placed", t.Placed.Total(), l.PlacedTotal, c[cell("grafts", "", "", "placed, all")]})
	recounts := Row{Figure: "recounts that the ledger does not bear out"}
	for _, one := range v.Recounts {
		if one.Amount != 0 {
			recounts.Wall++
		}
		if c[cell("recount", "", "", one.What.String()+", newest, ledger above it")] != 0 {
			recounts.Sheet++
		}
	}
	rows = append(rows, recounts)
	var sites, sheetSites int64
	for _, z := range v.Zones {
		sites += z.Sites.Total()
		zone := 0
		for zone = range zoneNames {
			if zoneNames[zone] == z.Name {
				break
			}
		}
		for i := range z.Placed {
			size := strconv.Itoa(i + 1)
			rows = append(rows, Row{"placed " + z.Name + " " + size, t.ByZone[zone][i], z.Placed[i], c[cell("plan", z.Name, size, "placed")]})
			sheetSites += c[cell("plan", z.Name, size, "sites made")]
		}
	}
	return append(rows, Row{"sites", t.Sites, sites, sheetSites})
}

// replays folds the exported events without a server and holds the figures to
// the wall's, byte for byte.
func (r *room) replays(ctx context.Context, wall session.View) (bool, error) {
	text, err := r.api.Sheet(ctx, r.session, "jsonl")
	if err != nil {
		return false, err
	}
	events, err := export.ReadJSONLines(bytes.NewReader(text))
	if err != nil {
		return false, err
	}
	replica := syncengine.New(syncengine.Identity{Session: r.session})
	if _, refused := replica.Receive(events, syncengine.Now{}); len(refused) > 0 {
		return false, refused[0].Fault
	}
	replayed, err := json.Marshal(replica.View(replica.State().NewestMs(), nil))
	if err != nil {
		return false, fmt.Errorf("practice: replay: %w", err)
	}
	live, err := json.Marshal(wall)
	return bytes.Equal(replayed, live), err
}

// Table writes the report for people.
func (r Report) Table(out io.Writer) error {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "case %s, seed %d: %d events\n\n", r.Case, r.Seed, r.Events)
	fmt.Fprintln(t, "figure\tpeople did\tthe wall says\tthe sheet says\t")
	for _, row := range r.Rows {
		mark := ""
		if !row.Agrees() {
			mark = "DIFFERS"
		}
		fmt.Fprintf(t, "%s\t%d\t%d\t%d\t%s\n", row.Figure, row.Done, row.Wall, row.Sheet, mark)
	}
	fmt.Fprintln(t)
	fmt.Fprintf(t, "events the server would not take: %d\n", r.Refused)
	fmt.Fprintf(t, "replayed without a server, the figures are the same bytes: %v\n", r.Replay)
	if r.OK() {
		fmt.Fprintln(t, "no count was lost, none was counted twice")
	} else {
		fmt.Fprintf(t, "%d figures differ\n", r.Differed)
	}
	return t.Flush()
}
