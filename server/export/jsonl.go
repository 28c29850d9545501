package export

import (
	"bufio"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// line is one event for reading; only Body is read back.
type line struct {
	At      string          `json:"at"`
	Replica event.ReplicaID `json:"replica"`
	Seq     uint64          `json:"seq"`
	Kind    string          `json:"kind"`
	Late    bool            `json:"late,omitempty"`
	Fact    event.Fact      `json:"fact"`
	Body    string          `json:"body"`
}

// JSONLines writes events without loss, one a line.
type JSONLines struct{ out *json.Encoder }

// NewJSONLines writes to w.
func NewJSONLines(w io.Writer) *JSONLines {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	return &JSONLines{out}
}

// Write writes one event.
func (j *JSONLines) Write(e *event.Event) error {
	err := j.out.Encode(line{At: time.UnixMilli(e.Stamp.Ms()).UTC().Format("2006-01-02T15:04:05.000Z"),
		Replica: e.Replica, Seq: e.Seq, Kind: e.Fact.Kind().String(), Late: e.Late, Fact: e.Fact,
		Body: base64.StdEncoding.EncodeToString(e.Body)})
	if err != nil {
		return fmt.Errorf("export: json lines: %w", err)
	}
	return nil
}

// maxLine is the longest line that is read: a body in base64 and its readable
// fields, four times over.
const maxLine = 16 * event.MaxBody

// ReadJSONLines reads back what JSONLines wrote: the body of every line, in the
// order of the file. It fails with the number of the first line that is no event.
func ReadJSONLines(r io.Reader) ([]*event.Event, error) {
	in := bufio.NewScanner(r)
	in.Buffer(make([]byte, 0, 64<<10), maxLine)
	var out []*event.Event
	n := int64(0)
	for in.Scan() {
		n++
		if len(in.Bytes()) == 0 {
			continue
		}
		e, err := readLine(in.Bytes())
		if err != nil {
			return nil, lineFault(n, err)
		}
		out = append(out, e)
	}
	if err := in.Err(); err != nil {
		return nil, lineFault(n+1, err)
	}
	return out, nil
}

func readLine(text []byte) (*event.Event, error) {
	var l struct {
		Body string `json:"body"`
	}
	if err := json.Unmarshal(text, &l); err != nil {
		return nil, err
	}
	if l.Body == "" {
		return nil, errors.New("no body")
	}
	body, err := base64.StdEncoding.DecodeString(l.Body)
	if err != nil {
		return nil, err
	}
	return event.Decode(body)
}

func lineFault(n int64, err error) error {
	return fmt.Errorf("%w: %w", fault.New(fault.Damaged, "line-damaged").WithInt("line", n).With("cause", err.Error()), err)
}
