package event

// Keeping says how long grafts may be out of the body, and how they are kept.
// From AmberMin minutes on the room is asked to pause extraction, from RedMin on
// a limit is passed. PlacingMs is when placing should begin, ms since 1970, and
// PerHour10 how fast it should go, in grafts an hour × 10; each is 0 when nobody
// planned it. Solution is what grafts lie in, at Temperature10 tenths of a degree
// Celsius when that is known.
type Keeping struct {
	AmberMin         int64  `json:"amberMin"`
	RedMin           int64  `json:"redMin"`
	PlacingMs        int64  `json:"placingMs,omitempty"`
	PerHour10        int64  `json:"perHour10,omitempty"`
	Solution         string `json:"solution,omitempty"`
	Temperature10    int64  `json:"temperature10,omitempty"`
	TemperatureKnown bool   `json:"temperatureKnown,omitempty"`
	Supersedes       []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindKeeping.
func (*Keeping) Kind() Kind { return KindKeeping }

func (k *Keeping) fields(f *fields) {
	signed(f, 1, &k.AmberMin)
	signed(f, 2, &k.RedMin)
	signed(f, 3, &k.PlacingMs)
	signed(f, 4, &k.PerHour10)
	text(f, 5, &k.Solution)
	signed(f, 6, &k.Temperature10)
	flag(f, 7, &k.TemperatureKnown)
	refs(f, 8, &k.Supersedes)
}

// Validate holds both limits to 1 minute..2 days, amber below red, placing to a
// time that there can be and at most 5,000 grafts an hour, the solution to 0..60
// characters and its temperature to -5..45 degrees.
func (k *Keeping) Validate() error {
	if k.AmberMin < 1 || k.AmberMin > maxKeptMin || k.RedMin < 1 || k.RedMin > maxKeptMin {
		return invalid("keeping-range").WithInt("hours", maxKeptMin/60)
	}
	if k.AmberMin >= k.RedMin {
		return invalid("keeping-limits")
	}
	if !k.TemperatureKnown && k.Temperature10 != 0 {
		return invalid("keeping-temperature")
	}
	return first(checkWithin("planned start of placing", k.PlacingMs, 0, MaxMs), checkWithin("planned rate of placing", k.PerHour10, 0, maxPerHour),
		checkText("solution", k.Solution, 0, maxSolution),
		checkWithin("temperature", k.Temperature10, coldest10, warmest10), checkSupersedes(k.Supersedes))
}
