package event

// Bounds of a trial.
const (
	minArms  = 2
	MaxArms  = 4 // set-ups tried against each other
	minBlock = 5
	MaxBlock = 100 // attempts of one turn
)

// Trial begins to try set-ups in turn on one patient, in one pass. Each turn is
// Block attempts with one set-up; Seed orders the turns (see package trial).
type Trial struct {
	Pass   Ref    `json:"pass"`
	Setups []Ref  `json:"setups"`
	Block  uint32 `json:"block"`
	Seed   uint32 `json:"seed"`
}

// Kind is KindTrial.
func (*Trial) Kind() Kind { return KindTrial }

func (t *Trial) fields(f *fields) {
	ref(f, 1, &t.Pass, KindPassBegun)
	refs(f, 2, &t.Setups)
	if f.mode == listing {
		for _, s := range t.Setups {
			f.need = append(f.need, Need{s, KindSetup})
		}
	}
	number(f, 3, &t.Block)
	number(f, 4, &t.Seed)
}

// Validate needs a pass, 2..MaxArms set-ups that all differ, and a block of
// 5..MaxBlock attempts. Any seed will do.
func (t *Trial) Validate() error {
	if n := len(t.Setups); n < minArms || n > MaxArms {
		return invalid("trial-arms").WithInt("got", int64(n)).WithInt("max", MaxArms)
	}
	if hasTwice(t.Setups) {
		return invalid("trial-twice")
	}
	if t.Block < minBlock || t.Block > MaxBlock {
		return invalid("trial-block").WithInt("got", int64(t.Block)).WithInt("min", minBlock).WithInt("max", MaxBlock)
	}
	return checkNeeded("pass", t.Pass)
}

// TrialConcluded ends a trial with what was made of it: no further turn begins.
// Attempts that name the trial count still, however late they come.
type TrialConcluded struct {
	Trial Ref    `json:"trial"`
	Note  string `json:"note"`
}

// Kind is KindTrialConcluded.
func (*TrialConcluded) Kind() Kind { return KindTrialConcluded }

func (c *TrialConcluded) fields(f *fields) {
	ref(f, 1, &c.Trial, KindTrial)
	text(f, 2, &c.Note)
}

// Validate needs a trial and a note of 1..500 characters.
func (c *TrialConcluded) Validate() error {
	return first(checkNeeded("trial", c.Trial), checkLines("note", c.Note, 1, maxText))
}
