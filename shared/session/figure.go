package session

// Figure names a figure of the View, for the question where it comes from.
type Figure uint8

// The figures. At and size say of what: a zone, region, pass, dish or agent, and a
// unit size, or of doses a label; both may be zero where the figure is about all.
const (
	FigureToTake          Figure = iota + 1 // R, grafts
	FigureUsable                            // U, grafts
	FigureOnTheWay                          // W, grafts
	FigureAttempts                          // A, attempts
	FigureDonorLeft                         // D, attempts; of a region or all
	FigureStopAt                            // attempts
	FigureKept                              // k
	FigureYield                             // y
	FigureBudget                            // grafts
	FigureNeed                              // grafts; of a zone or all
	FigureCapacity                          // attempts; of a region or all
	FigureShare                             // share harvested, of a region
	FigureResidual                          // residual density, of a region
	FigureAttempted                         // attempts; of a region, a pass or all
	FigureOut                               // grafts; of a pass or all
	FigurePending                           // attempts without an outcome; of a pass or all
	FigureCounter                           // outcomes against a counter, of a pass
	FigureBuried                            // grafts
	FigureBench                             // grafts
	FigureSorted                            // grafts; of a size or all
	FigureHolding                           // grafts; of a size or all
	FigureDish                              // grafts in a dish; of a size or all
	FigureSites                             // open sites; of a zone and size or all
	FigurePlaced                            // grafts; of a zone and size or all
	FigureMix                               // expected grafts, of a size
	FigureHairs                             // hairs sorted, or placed in a zone
	FigurePaceTaking                        // attempts an hour, and till when
	FigurePaceSorting                       // grafts an hour
	FigurePaceSites                         // sites an hour
	FigurePacePlacing                       // grafts an hour
	FigureSetup                             // what follows from a punch set-up
	FigureNotWhole                          // share partly and totally transected; of a set-up, or of a trial's arm: size is its number, from 1
	FigureTrial                             // an arm of a trial against the first: size is its number, from 2
	FigureTurn                              // attempts left in the turn of a trial
	FigureTotal                             // totally transected, of outcomes; of a pass, a region or all
	FigurePartial                           // partly transected, of those extracted; as above
	FigureTopped                            // topped, of outcomes; as above
	FigureEmpty                             // empty, of outcomes; as above
	FigureFollicles                         // cut follicles, of those inspected; as above
	FigureWatch                             // the sum that watches the cut attempts of a pass
	FigureTimeOut                           // mean time out of the body
	FigureLongestOut                        // the longest one
	FigureOldestOut                         // how long the oldest graft is out
	FigureAhead                             // how long a graft that is taken now will be out
	FigureDose                              // anaesthetic given, mg; of a substance or all
	FigureDoseShare                         // share of the smaller limit; of a substance or all
	FigureDoseLimit                         // the smaller limit, mg; of a substance or all
	FigureVasoconstrictor                   // µg
)

var figureNames = [...]string{"", "to take", "usable", "on the way", "attempts", "donor left", "stop at", "kept", "yield", "budget",
	"need", "capacity", "share", "residual", "attempted", "out", "pending", "counter", "buried", "bench", "sorted", "holding", "dish",
	"sites", "placed", "mix", "hairs", "pace taking", "pace sorting", "pace sites", "pace placing",
	"setup", "not whole", "trial", "turn",
	"total", "partial", "topped", "empty", "follicles", "watch",
	"time out", "longest out", "oldest out", "wait ahead",
	"dose", "dose share", "dose limit", "vasoconstrictor"}

// String is the figure's name, "" for none.
func (f Figure) String() string {
	if int(f) < len(figureNames) {
		return figureNames[f]
	}
	return ""
}

// MarshalText writes the figure's name.
func (f Figure) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// Figures is how many figures there are.
const Figures = len(figureNames) - 1
