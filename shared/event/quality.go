package event

// Watch sets how the cut attempts of a pass are watched, by a Bernoulli CUSUM:
// P0Parts is the share that is partly or totally transected when all is well,
// P1Parts the share that should be noticed soon, both in parts of 10,000; H100
// is the sum at which the room is asked to look, × 100.
type Watch struct {
	P0Parts    uint32 `json:"p0Parts"`
	P1Parts    uint32 `json:"p1Parts"`
	H100       uint32 `json:"h100"`
	Supersedes []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindWatch.
func (*Watch) Kind() Kind { return KindWatch }

func (w *Watch) fields(f *fields) {
	number(f, 1, &w.P0Parts)
	number(f, 2, &w.P1Parts)
	number(f, 3, &w.H100)
	refs(f, 4, &w.Supersedes)
}

// Validate holds P0Parts to 10..5,000, P1Parts to 20..9,000 and above P0Parts,
// and H100 to 100..2,000.
func (w *Watch) Validate() error {
	switch {
	case w.P0Parts < 10 || w.P0Parts > 5_000 || w.P1Parts < 20 || w.P1Parts > 9_000:
		return invalid("watch-share")
	case w.P1Parts <= w.P0Parts:
		return invalid("watch-order")
	case w.H100 < 100 || w.H100 > 2_000:
		return invalid("watch-limit")
	}
	return checkSupersedes(w.Supersedes)
}

// Inspected is a sample under the microscope: of so many grafts of a pass, the
// follicles that are whole and those that are cut.
type Inspected struct {
	Pass   Ref    `json:"pass"`
	Region Ref    `json:"region,omitzero"`
	Grafts uint32 `json:"grafts"`
	Whole  uint32 `json:"whole"`
	Cut    uint32 `json:"cut"`
}

// Kind is KindInspected.
func (*Inspected) Kind() Kind { return KindInspected }

func (i *Inspected) fields(f *fields) {
	ref(f, 1, &i.Pass, KindPassBegun)
	ref(f, 2, &i.Region, KindRegion)
	number(f, 3, &i.Grafts)
	number(f, 4, &i.Whole)
	number(f, 5, &i.Cut)
}

// Validate needs a pass, Grafts in 1..MaxEntry, and one to maxFollicles
// follicles for each of them.
func (i *Inspected) Validate() error {
	least, all := uint64(i.Grafts), uint64(i.Whole)+uint64(i.Cut)
	if err := first(checkNeeded("pass", i.Pass), checkN(i.Grafts, MaxEntry)); err != nil {
		return err
	}
	if all < least || all > maxFollicles*least {
		return invalid("follicles-range").WithInt("got", int64(all)).WithInt("min", int64(least)).WithInt("max", int64(maxFollicles*least))
	}
	return nil
}

// Looked says that somebody looked at the last grafts of a pass: at how many,
// and how many of them are damaged. It is what clears an alarm. What it saw is,
// of each phone in Upto, every attempt up to the one named there; what another
// phone had tapped was not seen. Without Upto it saw all that sorts before it.
type Looked struct {
	Pass    Ref    `json:"pass"`
	Grafts  uint32 `json:"grafts"`
	Damaged uint32 `json:"damaged"`
	Note    string `json:"note,omitempty"`
	Upto    []Ref  `json:"upto,omitempty"` // one a phone: its newest attempt of the pass; the pass itself when there was none
}

// Kind is KindLooked.
func (*Looked) Kind() Kind { return KindLooked }

func (l *Looked) fields(f *fields) {
	ref(f, 1, &l.Pass, KindPassBegun)
	number(f, 2, &l.Grafts)
	number(f, 3, &l.Damaged)
	text(f, 4, &l.Note)
	refs(f, 5, &l.Upto)
}

// Validate needs a pass, Grafts in 1..MaxEntry and no more Damaged than that.
func (l *Looked) Validate() error {
	if l.Damaged > l.Grafts {
		return invalid("damaged-above").WithInt("got", int64(l.Damaged)).WithInt("max", int64(l.Grafts))
	}
	return first(checkNeeded("pass", l.Pass), checkN(l.Grafts, MaxEntry), checkLines("note", l.Note, 0, maxText), checkSupersedes(l.Upto))
}
