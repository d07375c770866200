package capital

// Answer is what a capital case found.
type Answer struct {
	Case       string    `json:"case"`
	Currency   string    `json:"currency"`
	Seed       uint64    `json:"seed"`
	Futures    int       `json:"futures"`       // played
	Wanted     int       `json:"futures_asked"` // more than Futures when it was stopped
	Years      int       `json:"years"`
	Life       int       `json:"life_years"`
	Discount   float64   `json:"discount"`
	SoldOut    bool      `json:"sold_out"`
	Book       *Book     `json:"book"` // null where everything made can be sold
	Options    []Outcome `json:"options"`
	Best       int       `json:"best"`
	Verdict    string    `json:"verdict"`
	Decided    bool      `json:"decided"`
	Bottleneck Moves     `json:"bottleneck"`
	Flips      []Flip    `json:"flips"`
	Tornado    []Bar     `json:"tornado"`
	// The same for the proposal where another option is the best.
	TornadoProposal []Bar    `json:"tornado_proposal,omitempty"`
	Warnings        []string `json:"warnings,omitempty"`
	Fingerprint     string   `json:"fingerprint"`
}

// Outcome is one option against the first.
type Outcome struct {
	Name string `json:"name"`
	Role string `json:"role"`
	NPV  Spread `json:"npv"`
	// IRR are all rates at which the mean flow is worth nothing; the note says what
	// to make of none or several.
	IRR     []float64 `json:"irr"`
	IRRNote string    `json:"irr_note"`
	// Paybacks of the mean flow, years from the decision; null for never.
	PaybackSimple     *float64 `json:"payback_simple_years"`
	PaybackDiscounted *float64 `json:"payback_discounted_years"`
	PaybackNote       string   `json:"payback_note,omitempty"`
	EquivalentAnnual  Spread   `json:"equivalent_annual"`
	ChancePositive    float64  `json:"chance_npv_positive"`
	// TailShare is the part of the gain that is gone when no stop lasts longer than
	// the one in ten of its kind does; null where there is no gain or it was not
	// asked.
	TailShare *float64 `json:"tail_share"`
	// Flow is the mean over futures, by year and line; Low and High of the yearly
	// total are one in ten.
	Flow []YearFlow `json:"flow"`
	// Gain is what a year in the works gains, mean over the years played.
	Gain Spread `json:"gain_a_year"`
	// TieIn is what building it in lost; null where nothing stops for it.
	TieIn *TieIn `json:"tie_in"`
	// GainBy is the mean gain a year by line of the account.
	GainBy []LineGainOf `json:"gain_by_line"`
	// Dispatched a year, t.
	Dispatched float64 `json:"dispatched_t_a_year"`
	Limits     []Limit `json:"limits"`
	// Baseline is the delay log of the works under this option.
	Baseline *Baseline `json:"baseline"`
	// Values are the NPV of every future, in order.
	Values []Money `json:"npv_by_future"`
	// Pairing is the half width of the interval over that of two separate samples.
	Pairing float64 `json:"paired_over_unpaired"`
}

// Spread is a mean over futures with its 95 % interval, and the values that one
// future in ten is below or above.
type Spread struct {
	Mean Money `json:"mean"`
	Low  Money `json:"low"`
	High Money `json:"high"`
	P10  Money `json:"p10"`
	P90  Money `json:"p90"`
}

// YearFlow is a year of the mean flow.
type YearFlow struct {
	Year       int           `json:"year"`
	Lines      [NLines]Money `json:"lines"`
	Total      Money         `json:"total"`
	Discounted Money         `json:"discounted"`
	Cumulative Money         `json:"cumulative"`
	Low        Money         `json:"low"`
	High       Money         `json:"high"`
	// One future in ten has a sum so far below, or above.
	CumulativeLow  Money `json:"cumulative_low"`
	CumulativeHigh Money `json:"cumulative_high"`
}

// LineGainOf is a line of the account of the works.
type LineGainOf struct {
	Name   string `json:"name"`
	Amount Money  `json:"amount"`
}

// Limit is how much of the time a unit limits the works.
type Limit struct {
	Unit  string  `json:"unit"`
	Share float64 `json:"share"`
}

// Moves says which unit limits the works under the first option, and under the best.
type Moves struct {
	Before string `json:"before"`
	After  string `json:"after"`
}

// Bar is one bar of the tornado: the NPV of an option against the first when one
// assumption is at its low and its high end.
type Bar struct {
	What     string `json:"what"`
	Option   string `json:"option"`
	LowText  string `json:"low_is"`
	HighText string `json:"high_is"`
	Low      Money  `json:"low"`
	High     Money  `json:"high"`
	Replayed bool   `json:"replayed"` // by new plays on the small budget
	// Luck is half the 95 % interval of what a played end differs from the middle, the
	// wider of the two: ends closer to the middle than this say nothing.
	Luck Money `json:"luck"`
}

// Flip is a value of one assumption at which another option becomes the best.
type Flip struct {
	What    string  `json:"what"`
	Factor  float64 `json:"factor"` // of what the case says; for demand the share ordered
	Text    string  `json:"text"`
	Becomes string  `json:"becomes"`
	// Found is false where the search over the range found no change; Factor is 0.
	Found bool `json:"found"`
}
