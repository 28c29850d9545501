package budget

// Limit is the largest budget that plan and donor allow, and which of the two
// is the smaller.
type Limit struct {
	Grafts         int64 // 0 when By is StopsUnknown
	By             Stops // on a tie the need
	CapacityGrafts int64 // what the donor's capacity yields, rounded down; 0 when unknown or below zero
	Shortfall      int64 // grafts that the need has above the limit; 0 when the need is unknown
}

// LimitOf works out budget <= min(need, floor(capacity × planned yield)), from
// grafts, attempts and per mille. A need or capacity that is not known limits
// nothing; a capacity below zero allows nothing, and neither does a need.
func LimitOf(need int64, needKnown bool, capacity int64, capacityKnown bool, yieldPerMille int64) Limit {
	var l Limit
	if capacityKnown {
		l.CapacityGrafts = max(0, capacity) * yieldPerMille / 1000
		l.Grafts, l.By = l.CapacityGrafts, StopsDonor
	}
	if !needKnown {
		return l
	}
	need = max(0, need)
	if !capacityKnown || need <= l.CapacityGrafts {
		l.Grafts, l.By = need, StopsNeed
	}
	l.Shortfall = need - l.Grafts
	return l
}
