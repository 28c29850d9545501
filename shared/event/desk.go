package event

// Paused begins a declared pause of this phone's station, or of the whole
// room when Room is set.
type Paused struct {
	Room   bool   `json:"room,omitempty"`
	Reason string `json:"reason,omitempty"`
}

// Kind is KindPaused.
func (*Paused) Kind() Kind { return KindPaused }

func (p *Paused) fields(f *fields) {
	flag(f, 1, &p.Room)
	text(f, 2, &p.Reason)
}

// Validate holds Reason to 0..500 characters.
func (p *Paused) Validate() error { return checkLines("reason", p.Reason, 0, maxText) }

// Resumed ends a declared pause.
type Resumed struct {
	Room bool `json:"room,omitempty"`
}

// Kind is KindResumed.
func (*Resumed) Kind() Kind { return KindResumed }

func (r *Resumed) fields(f *fields) { flag(f, 1, &r.Room) }

// Validate accepts every end of a pause.
func (*Resumed) Validate() error { return nil }

// Note is a remark for the sheet.
type Note struct {
	Text string `json:"text"`
}

// Kind is KindNote.
func (*Note) Kind() Kind { return KindNote }

func (n *Note) fields(f *fields) { text(f, 1, &n.Text) }

// Validate holds Text to 1..500 characters.
func (n *Note) Validate() error { return checkLines("note", n.Text, 1, maxText) }
