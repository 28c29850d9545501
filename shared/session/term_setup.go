package session

import "rootledger/shared/event"

// setup is the terms of what is figured of set-ups and trials.
func (w *terms) setup(s *State) {
	switch w.q.Of {
	case FigureSetup:
		w.derived()
	case FigureNotWhole:
		w.notWhole(s)
	case FigureTrial:
		w.against(s)
	case FigureTurn:
		w.turn()
	}
}

func (w *terms) derived() {
	for i := range w.v.Setups {
		v := &w.v.Setups[i]
		if w.q.At.IsZero() {
			w.addOf("setup", v.Derived.CycleMs, 1, FigureSetup, v.Ref, 0)
		}
		if v.Ref != w.q.At {
			continue
		}
		d := &v.Derived
		w.add("punch um", v.DiameterUM, 0)
		w.add("wait ms", v.WaitMs, 0)
		for _, step := range d.Steps {
			w.add("step ms", step.Ms, 0)
			if step.RimUMPerS > 0 {
				w.add("rpm", step.RPM, 0)
				w.addOf("rim mm/s", (step.RimUMPerS+50)/100, 10, 0, event.Ref{}, 0)
			}
			if step.StrokeUM > 0 {
				w.add("arc", step.ArcDeg, 0)
				w.add("stroke um", step.StrokeUM, 0)
			}
		}
		w.add("cycle ms", d.CycleMs, 0)
		w.addOf("wound mm2", (d.WoundUM2+5_000)/10_000, 100, 0, event.Ref{}, 0)
	}
}

// notWhole lists the shares of what is asked about: of all set-ups, of one, of a
// trial's arms, or of one of these.
func (w *terms) notWhole(s *State) {
	c := s.Compare(w.q.At, false)
	for i := range c.Rows {
		row := &c.Rows[i]
		if c.Trial.IsZero() && w.q.At.IsZero() {
			w.addOf("setup", row.Attempts, 1, FigureNotWhole, row.Setup, 0)
		}
		if w.q.Size == 0 && w.q.At == c.Trial && !c.Trial.IsZero() {
			w.addOf("setup", row.Attempts, 1, FigureNotWhole, c.Trial, event.Size(i+1))
		}
		if row.Setup == w.q.At || !c.Trial.IsZero() && int(w.q.Size) == i+1 {
			w.add("partial", row.Outcomes[event.Partial-1], 0)
			w.add("total", row.Outcomes[event.Total-1], 0)
			w.add("outcomes", row.Attempts, 0)
			w.interval("not whole", row.NotWhole.Parts, row.NotWhole.Low, row.NotWhole.High)
		}
	}
}

// interval appends a share and its 95 % interval, in parts of 10,000.
func (w *terms) interval(name string, share, low, high int64) {
	for i, n := range [...]int64{share, low, high} {
		w.addOf([...]string{name, "from", "to"}[i], n, 10_000, 0, event.Ref{}, 0)
	}
}

func (w *terms) against(s *State) {
	c := s.Compare(w.q.At, true)
	if c.Trial.IsZero() {
		for i := range w.v.Trials {
			w.addOf("trial", w.v.Trials[i].Turn, 1, FigureTrial, w.v.Trials[i].Ref, 0)
		}
		return
	}
	for i := range c.Rows {
		if w.q.Size == 0 || i == 0 || int(w.q.Size) == i+1 {
			w.addOf("setup", c.Rows[i].Attempts, 1, FigureNotWhole, c.Trial, event.Size(i+1))
		}
	}
	for i := range c.Against {
		v := &c.Against[i]
		if !v.Known || w.q.Size != 0 && int(w.q.Size) != i+2 {
			continue
		}
		w.interval("difference", v.Diff, v.Low, v.High)
		w.addOf("fisher", v.FisherP, 10_000, 0, event.Ref{}, 0)
		w.addOf("worse", v.Worse, 10_000, 0, event.Ref{}, 0)
		if v.MoreKnown {
			w.add("more", v.More, 0)
		}
	}
}

func (w *terms) turn() {
	for i := range w.v.Trials {
		t := &w.v.Trials[i]
		if w.q.At.IsZero() {
			w.addOf("trial", t.Turn, 1, FigureTurn, t.Ref, 0)
		}
		if t.Ref != w.q.At {
			continue
		}
		w.add("block", t.Block, 0)
		w.add("turns", t.Turn, 0)
		w.add("seed", t.Seed, 0)
		if t.On >= 0 {
			w.addOf("outcomes", t.Arms[t.On].Attempts, 1, FigureNotWhole, t.Ref, event.Size(t.On+1))
			w.add("left in turn", t.Left, 0)
		}
	}
}
