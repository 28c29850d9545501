package event

// Sites says that N sites were made in a zone for one unit size.
type Sites struct {
	Zone Ref    `json:"zone"`
	Size Size   `json:"size"`
	N    uint32 `json:"n"`
}

// Kind is KindSites.
func (*Sites) Kind() Kind { return KindSites }

func (s *Sites) fields(f *fields) {
	ref(f, 1, &s.Zone, KindZone)
	number(f, 2, &s.Size)
	number(f, 3, &s.N)
}

// Validate needs a zone, Size 1..4 and N in 1..MaxEntry.
func (s *Sites) Validate() error {
	return first(checkNeeded("zone", s.Zone), checkSize(s.Size), checkN(s.N, MaxEntry))
}

// SitesClosed gives up N sites that will receive no graft.
type SitesClosed struct {
	Zone Ref    `json:"zone"`
	Size Size   `json:"size"`
	N    uint32 `json:"n"`
}

// Kind is KindSitesClosed.
func (*SitesClosed) Kind() Kind { return KindSitesClosed }

func (s *SitesClosed) fields(f *fields) {
	ref(f, 1, &s.Zone, KindZone)
	number(f, 2, &s.Size)
	number(f, 3, &s.N)
}

// Validate needs a zone, Size 1..4 and N in 1..MaxEntry.
func (s *SitesClosed) Validate() error {
	return first(checkNeeded("zone", s.Zone), checkSize(s.Size), checkN(s.N, MaxEntry))
}
