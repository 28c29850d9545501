package event

// Granted gives one phone N more attempts that it may take while nobody hears
// it: its share of what is left until the room stops. A server writes it.
type Granted struct {
	To ReplicaID `json:"to"`
	N  uint32    `json:"n"`
}

// Kind is KindGranted.
func (*Granted) Kind() Kind { return KindGranted }

func (g *Granted) fields(f *fields) {
	replica(f, 1, &g.To)
	number(f, 2, &g.N)
}

// Validate needs a replica and N in 1..MaxFired.
func (g *Granted) Validate() error { return first(checkShared(g.To), checkN(g.N, MaxFired)) }

// Reclaimed takes back N attempts of a phone's share, because that phone does
// not come back. What it took all the same still counts when it is heard.
type Reclaimed struct {
	From ReplicaID `json:"from"`
	N    uint32    `json:"n"`
}

// Kind is KindReclaimed.
func (*Reclaimed) Kind() Kind { return KindReclaimed }

func (r *Reclaimed) fields(f *fields) {
	replica(f, 1, &r.From)
	number(f, 2, &r.N)
}

// Validate needs a replica and N in 1..MaxFired.
func (r *Reclaimed) Validate() error { return first(checkShared(r.From), checkN(r.N, MaxFired)) }

func checkShared(id ReplicaID) error {
	if id == (ReplicaID{}) {
		return invalid("share-of-nobody")
	}
	return nil
}
