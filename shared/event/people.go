package event

// Station is a table in the room, or what a phone does there.
type Station uint8

// The stations.
const (
	Extraction Station = iota + 1
	Sorting
	SiteMaking
	Placing
	Desk
	Lead
	Office
)

var stationNames = [...]string{"", "extraction", "sorting", "sites", "placing", "desk", "lead", "office"}

// String is the station's name, "" for none or an unknown one.
func (s Station) String() string { return nameOf(stationNames[:], uint8(s)) }

// MarshalText writes the station's name.
func (s Station) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// ParseStation finds a station by name.
func ParseStation(name string) (Station, bool) {
	i, ok := parseName(stationNames[:], name)
	return Station(i), ok
}

// Practice fixes the clock of a made-up session: at the real time RealMs its
// clock read StartMs, and it runs Speed times as fast. Times in ms since 1970.
type Practice struct {
	StartMs uint64 `json:"startMs"`
	RealMs  uint64 `json:"realMs"`
	Speed   uint32 `json:"speed"` // 1..MaxSpeed
}

// MaxSpeed is the fastest practice clock: a nine-hour day in three seconds.
const MaxSpeed = 10_800

// Now is the practice clock's reading at the real time realMs.
func (p Practice) Now(realMs int64) int64 {
	return int64(p.StartMs) + (realMs-int64(p.RealMs))*int64(p.Speed)
}

// Opened begins a session. Case is the clinic's code for the case, never a
// name. Stations are those that count today; a tally of any other station is
// not checked. Practice has Speed 0 in a real session.
type Opened struct {
	Case     string    `json:"case"`
	Room     string    `json:"room"`
	Stations []Station `json:"stations"`
	Practice Practice  `json:"practice,omitzero"`
}

// Kind is KindOpened.
func (*Opened) Kind() Kind { return KindOpened }

func (o *Opened) fields(f *fields) {
	text(f, 1, &o.Case)
	text(f, 2, &o.Room)
	numbers(f, 3, &o.Stations)
	number(f, 4, &o.Practice.StartMs)
	number(f, 5, &o.Practice.RealMs)
	number(f, 6, &o.Practice.Speed)
}

// Validate holds Case and Room to 1..16 letters, digits and dashes.
func (o *Opened) Validate() error {
	if !IsLabel(o.Case) {
		return invalid("case-code").WithInt("max", MaxLabel)
	}
	if !IsLabel(o.Room) {
		return invalid("room-name").WithInt("max", MaxLabel)
	}
	if len(o.Stations) == 0 || len(o.Stations) > int(Placing) {
		return invalid("stations-none")
	}
	for i, s := range o.Stations {
		if s < Extraction || s > Placing || i > 0 && s <= o.Stations[i-1] {
			return invalid("stations-none")
		}
	}
	if p := o.Practice; p.Speed > MaxSpeed || p.StartMs > MaxMs || p.RealMs > MaxMs || p.Speed == 0 && p != (Practice{}) {
		return invalid("practice-speed").WithInt("max", MaxSpeed)
	}
	return nil
}

// Ended closes the counting of a session; late counts still merge.
type Ended struct{}

// Kind is KindEnded.
func (*Ended) Kind() Kind { return KindEnded }

func (*Ended) fields(*fields) {}

// Validate accepts every end.
func (*Ended) Validate() error { return nil }

// Joined says who holds this phone and at which station. Was is the id under
// which this phone counted before, when a copy of it may go on under that one.
type Joined struct {
	Person  string    `json:"person"`
	Station Station   `json:"station"`
	Was     ReplicaID `json:"was,omitzero"`
}

// Kind is KindJoined.
func (*Joined) Kind() Kind { return KindJoined }

func (j *Joined) fields(f *fields) {
	text(f, 1, &j.Person)
	number(f, 2, &j.Station)
	fixed(f, 3, j.Was[:])
}

// Validate holds Person to 1..40 characters and Station to a known one.
func (j *Joined) Validate() error {
	if err := checkText("person", j.Person, 1, maxPerson); err != nil {
		return err
	}
	return checkStation(j.Station)
}

// Left says that this phone counts no more.
type Left struct{}

// Kind is KindLeft.
func (*Left) Kind() Kind { return KindLeft }

func (*Left) fields(*fields) {}

// Validate accepts every leaving.
func (*Left) Validate() error { return nil }

// HandedOver passes this phone's station to another person; own tallies
// start again at zero. Checks are the recounts and readings that were made for it:
// none when nothing was counted.
type HandedOver struct {
	Person string `json:"person"`
	Checks []Ref  `json:"checks,omitempty"`
}

// MaxChecks is how many recounts and readings one hand-over may name.
const MaxChecks = 8

// Kind is KindHandedOver.
func (*HandedOver) Kind() Kind { return KindHandedOver }

func (h *HandedOver) fields(f *fields) {
	text(f, 1, &h.Person)
	refs(f, 2, &h.Checks)
}

// Validate holds Person to 1..40 characters and Checks to MaxChecks.
func (h *HandedOver) Validate() error {
	if len(h.Checks) > MaxChecks {
		return invalid("checks-many").WithInt("max", MaxChecks)
	}
	return checkText("person", h.Person, 1, maxPerson)
}

func checkStation(s Station) error {
	if s < Extraction || s > Office {
		return invalid("station-unknown").WithInt("station", int64(s))
	}
	return nil
}
