package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
	"unicode/utf8"
)

// header says where and when the figures are from.
type header struct {
	Date       string  `json:"date"`
	Go         string  `json:"go"`
	Platform   string  `json:"platform"`
	Cores      int     `json:"cores"`
	GOMAXPROCS int     `json:"gomaxprocs"`
	FileSystem string  `json:"fileSystem"`
	Load       string  `json:"loadAverage"`
	Runs       int     `json:"runs"`
	Seconds    float64 `json:"seconds"`
	Note       string  `json:"note"`
}

const note = "The machine is shared and noisy: compare figures within one table, not across tables."

func newHeader(s settings, dir string) header {
	return header{Date: time.Now().UTC().Format(time.RFC3339), Go: runtime.Version(),
		Platform: runtime.GOOS + "/" + runtime.GOARCH, Cores: runtime.NumCPU(), GOMAXPROCS: runtime.GOMAXPROCS(0),
		FileSystem: fileSystem(dir), Load: loadAverage(), Runs: s.runs, Seconds: s.load.Seconds(), Note: note}
}

// String is the header as it is printed.
func (h header) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s, %s, %d cores, GOMAXPROCS %d\n", h.Date, h.Go, h.Platform, h.Cores, h.GOMAXPROCS)
	fmt.Fprintf(&b, "files on %s, load average before %s, %d runs, loads of %g s\n", h.FileSystem, h.Load, h.Runs, h.Seconds)
	b.WriteString(h.Note + "\nServer, phones and wall share one process and its cores; sockets are on 127.0.0.1.\n")
	if h.FileSystem == "tmpfs" || h.FileSystem == "ramfs" {
		b.WriteString("WARNING: these files are in memory, so nothing here is durable. Name a directory on a disk with -dir.\n")
	}
	return b.String()
}

// fileSystem is the kind of file system that holds dir, as far as the system
// tells.
func fileSystem(dir string) string {
	kind, longest := "an unknown file system", 0
	full, err := filepath.Abs(dir)
	if err == nil {
		full, err = filepath.EvalSymlinks(full)
	}
	if err != nil {
		return kind
	}
	mounts, err := os.ReadFile("/proc/mounts")
	if err != nil {
		return kind
	}
	for line := range strings.Lines(string(mounts)) {
		fields := strings.Fields(line)
		if len(fields) < 3 {
			continue
		}
		point := strings.TrimSuffix(fields[1], "/") + "/"
		if len(point) >= longest && strings.HasPrefix(full+"/", point) {
			kind, longest = fields[2], len(point) // of two at one place the later one holds
		}
	}
	return kind
}

func loadAverage() string {
	text, err := os.ReadFile("/proc/loadavg")
	if fields := strings.Fields(string(text)); err == nil && len(fields) > 0 {
		return fields[0]
	}
	return "unknown"
}

var columns = []string{"id", "what", "durability", "unit", "n", "p50 median [min–max]", "p99 median [min–max]",
	"limit of p50", "p50 / limit", "latest tap"}

const legend = `n: samples of one run. p50, p99: of one run, nearest rank; then the median of all runs [least–most].
limit: what p50 could be at best, measured just before in the same run; the ratio is taken in each run.
For a tap: one append with fsync and one websocket round trip, each at the pace of the load. At that pace
cores and disk go to sleep between operations, so it is more than the rows without a pause add up to.
latest tap: how many ms behind its time the latest tap of a load was sent, in the worst run.
`

// table writes the rows with aligned columns, as Markdown does.
func table(rows []row) string {
	lines := [][]string{columns}
	for _, r := range rows {
		lines = append(lines, r.cells())
	}
	widths := make([]int, len(columns))
	for _, line := range lines {
		for i, cell := range line {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	var b strings.Builder
	for n, line := range lines {
		for i, cell := range line {
			b.WriteString("| " + cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+1))
		}
		b.WriteString("|\n")
		if n > 0 {
			continue
		}
		for _, width := range widths {
			b.WriteString("|" + strings.Repeat("-", width+2))
		}
		b.WriteString("|\n")
	}
	return b.String() + legend
}

func (r row) cells() []string {
	limit, ratio := "–", "–"
	unit, n, late := "–", "–", 0.0
	for _, f := range r.Runs {
		unit, n, late = f.Unit, fmt.Sprint(f.N), math.Max(late, f.LateMs)
		if f.Limit > 0 {
			limit = r.across(func(f figures) float64 { return f.Limit })
			ratio = r.across(func(f figures) float64 { return f.P50 / f.Limit })
		}
	}
	latest := "–"
	if late > 0 {
		latest = short(late)
	}
	return []string{r.ID, r.What, r.Durability, unit, n,
		r.across(func(f figures) float64 { return f.P50 }), r.across(func(f figures) float64 { return f.P99 }),
		limit, ratio, latest}
}

// save writes the header and the figures of all runs.
func save(path string, h header, rows []row) error {
	text, err := json.MarshalIndent(struct {
		Header header `json:"header"`
		Rows   []row  `json:"rows"`
	}{h, rows}, "", "\t")
	if err != nil {
		return fmt.Errorf("figures: %w", err)
	}
	if err := os.WriteFile(path, append(text, '\n'), 0o644); err != nil {
		return fmt.Errorf("figures: %w", err)
	}
	return nil
}
