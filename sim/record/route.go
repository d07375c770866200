package record

// Route names the places and units of a works in the order of the route, for
// everybody who reads events.
type Route struct {
	Works    string
	Places   []PlaceInfo
	Units    []UnitInfo
	Products []string
	Upsets   []string // by kind
	Levers   []string
	Reasons  []string
	Start    int64 // local civil time of simulated time zero, microseconds (quantity.Clock)
}

// Role says what sort of place it is.
type Role uint8

// The roles.
const (
	Store   Role = iota + 1 // pieces wait here
	OnUnit                  // pieces are being worked on
	Loss                    // gone for good, under a named cause
	Gone                    // dispatched
	Returns                 // went back to be used again (slabs or steel returned)
	Source                  // where it comes from
)

// PlaceInfo names one place.
type PlaceInfo struct {
	Name string
	Area string
	Role Role
	// Room is what the place holds in grams, 0 for no limit; Low, Normal and High
	// are its normal band in grams.
	Room, Low, Normal, High int64
	// Dry is the level below which what draws from the place stops, in grams; 0
	// when that is the last piece.
	Dry int64
	// Amount says how people count the place: "t", "heats", "GJ".
	Amount string
	// PerAmount is grams per amount when Amount is not tonnes.
	PerAmount float64
}

// UnitInfo names one unit.
type UnitInfo struct {
	Name   string
	Area   string
	Places int32
	// RateGiven is true where the works file gives a measured rate in place of
	// the equipment from which physics would compute it.
	RateGiven bool
}
