package event

// OpeningCount is what was there when a team began to count late: N of one
// kind of count, as one entry. It counts like such a count, but says nothing
// about pace. Of is KindFired, KindAttempt, KindSorted, KindRejected (at the
// bench), KindSites or KindPlaced; the other fields are those of that kind.
type OpeningCount struct {
	Of      Kind    `json:"of"`
	Pass    Ref     `json:"pass,omitzero"`
	Region  Ref     `json:"region,omitzero"`
	Outcome Outcome `json:"outcome,omitempty"`
	Zone    Ref     `json:"zone,omitzero"`
	Size    Size    `json:"size,omitempty"`
	N       uint32  `json:"n"`
}

// Kind is KindOpeningCount.
func (*OpeningCount) Kind() Kind { return KindOpeningCount }

func (o *OpeningCount) fields(f *fields) {
	number(f, 1, &o.Of)
	ref(f, 2, &o.Pass, KindPassBegun)
	ref(f, 3, &o.Region, KindRegion)
	number(f, 4, &o.Outcome)
	ref(f, 5, &o.Zone, KindZone)
	number(f, 6, &o.Size)
	number(f, 7, &o.N)
}

// Count is the ordinary count that this stands for, nil when there is none.
func (o *OpeningCount) Count() Fact {
	switch o.Of {
	case KindFired:
		return &Fired{Pass: o.Pass, Region: o.Region, N: o.N}
	case KindAttempt:
		return &Attempt{Pass: o.Pass, Region: o.Region, Outcome: o.Outcome, N: o.N}
	case KindSorted:
		return &Sorted{Size: o.Size, N: o.N}
	case KindRejected:
		return &Rejected{From: Bench, Reason: ReasonOther, N: o.N}
	case KindSites:
		return &Sites{Zone: o.Zone, Size: o.Size, N: o.N}
	case KindPlaced:
		return &Placed{Zone: o.Zone, Size: o.Size, N: o.N}
	}
	return nil
}

// Validate needs what such a count needs, and N in 1..MaxBudget.
func (o *OpeningCount) Validate() error {
	if err := checkN(o.N, MaxBudget); err != nil {
		return err
	}
	one := *o
	one.N = 1
	count := one.Count()
	if count == nil {
		return invalid("opening-of").WithInt("kind", int64(o.Of))
	}
	return count.Validate()
}
