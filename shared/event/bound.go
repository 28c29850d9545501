package event

import "unicode/utf8"

// Bounds of what a person may enter. A bound is wide enough for every real
// day and narrow enough to stop a slip of the thumb. None is a clinical limit.
const (
	MaxLabel      = 16        // characters of a case code, room or counter name
	maxName       = 24        // characters of a zone's or region's name
	maxPerson     = 40        // characters of a person's name or initials
	maxText       = 500       // characters of a note or reason
	MaxEntry      = 500       // grafts, attempts or sites in one entry
	MaxFired      = 5_000     // attempts in one entry of a foot key
	MaxCounter    = 9_999_999 // a counter of seven digits
	MaxBudget     = 20_000    // grafts in one session
	MaxAreaMM2    = 200_000   // 2,000 cm²; a whole scalp is about 500 cm²
	maxDensity    = 3_000     // 300 units per cm², in tenths
	maxHarvested  = 50_000    // units taken from a region in earlier sessions
	maxFloor      = 5_000     // 500 hairs per cm², in tenths
	maxHairs      = 600       // 6 hairs per unit, in hundredths
	maxDiameterUM = 3_000     // µm of a punch
	MaxSupersedes = 64        // edits that one edit may replace
	MaxRefiled    = 200       // entries that one refile moves
	maxPieces     = 6         // pieces of one split graft
	maxFollicles  = 6         // follicles of one graft

	maxKeptMin  = 2 * 24 * 60 // minutes out of the body: two days
	maxPerHour  = 50_000      // grafts placed an hour, in tenths: a whole team's many times over
	maxSolution = 60          // characters of what grafts lie in
	coldest10   = -50         // of it, in tenths of a degree Celsius
	warmest10   = 450
)

// checkText holds one line of text to a length and to characters that print
// and read the same way everywhere.
func checkText(field, s string, least, most int) error {
	for i := range len(s) {
		if s[i] == '\n' {
			return invalid("text-control").With("field", field)
		}
	}
	return checkLines(field, s, least, most)
}

// checkLines is checkText for a text of several lines.
func checkLines(field, s string, least, most int) error {
	n := utf8.RuneCountInString(s)
	if !utf8.ValidString(s) || n < least || n > most {
		return invalid("text-length").With("field", field).WithInt("min", int64(least)).WithInt("max", int64(most))
	}
	for _, c := range s {
		if c < ' ' && c != '\n' || c >= 0x7f && c < 0xa0 || turnsText(c) {
			return invalid("text-control").With("field", field)
		}
	}
	return nil
}

// turnsText says whether a character only changes the direction of others, so
// that a line could be read as another one.
func turnsText(c rune) bool {
	return c >= 0x2028 && c <= 0x202e || c >= 0x2066 && c <= 0x2069
}

// IsLabel accepts 1..MaxLabel ASCII letters, digits, dashes and dots, the
// first a letter or digit, so that a label is safe in file names and cells.
func IsLabel(s string) bool {
	if len(s) == 0 || len(s) > MaxLabel {
		return false
	}
	for i, c := range []byte(s) {
		alnum := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
		if !alnum && (i == 0 || c != '-' && c != '.') {
			return false
		}
	}
	return true
}

func checkN(n, most uint32) error {
	if n == 0 || n > most {
		return invalid("count-range").WithInt("got", int64(n)).WithInt("max", int64(most))
	}
	return nil
}

func checkSize(s Size) error {
	if s < 1 || s > Sizes {
		return invalid("size-range").WithInt("got", int64(s))
	}
	return nil
}

// checkSizeOrNone is checkSize where 0 means all sizes, or an unknown one.
func checkSizeOrNone(s Size) error {
	if s == 0 {
		return nil
	}
	return checkSize(s)
}

func checkNeeded(field string, r Ref) error {
	if r.IsZero() {
		return invalid("ref-needed").With("field", field)
	}
	return nil
}

func checkRange(field string, got, least, most uint32) error {
	return checkWithin(field, int64(got), int64(least), int64(most))
}

// checkWithin is checkRange for a number that may be below zero.
func checkWithin(field string, got, least, most int64) error {
	if got < least || got > most {
		return invalid("number-range").With("field", field).WithInt("got", got).WithInt("min", least).WithInt("max", most)
	}
	return nil
}

func checkSupersedes(list []Ref) error {
	if len(list) > MaxSupersedes {
		return invalid("edits-many").WithInt("max", MaxSupersedes)
	}
	return nil
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func nameOf(names []string, i uint8) string {
	if int(i) < len(names) {
		return names[i]
	}
	return ""
}

func parseName(names []string, name string) (uint8, bool) {
	for i, n := range names {
		if n == name && i > 0 {
			return uint8(i), true
		}
	}
	return 0, false
}
