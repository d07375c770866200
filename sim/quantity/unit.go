package quantity

// unit is one word that can stand in a unit, with its size in SI.
type unit struct {
	word   string
	factor float64
	exp    exponents
}

var (
	expLength = exponents{length: 1}
	expVolume = exponents{length: 3}
	expMass   = exponents{mass: 1}
	expTime   = exponents{time: 1}
	expTemp   = exponents{temp: 1}
	expMoney  = exponents{money: 1}
	expPiece  = exponents{piece: 1}
	expForce  = exponents{length: 1, mass: 1, time: -2}
	expPress  = exponents{length: -1, mass: 1, time: -2}
	expEnergy = exponents{length: 2, mass: 1, time: -2}
	expPower  = exponents{length: 2, mass: 1, time: -3}
	expRate   = exponents{time: -1}
)

// units in the order in which near misses are tried. Factors: BIPM SI brochure,
// 9th edition (2019), table 8 for min, h, d, l, t, and NIST SP 811 appendix B
// for bar, psi, inch, foot, pound.
var units = []unit{
	{"mm", 1e-3, expLength}, {"m", 1, expLength}, {"km", 1e3, expLength}, {"cm", 1e-2, expLength},
	{"um", 1e-6, expLength}, {"µm", 1e-6, expLength}, {"μm", 1e-6, expLength}, {"micron", 1e-6, expLength}, {"microns", 1e-6, expLength},
	{"metre", 1, expLength}, {"metres", 1, expLength}, {"in", 0.0254, expLength}, {"inch", 0.0254, expLength}, {"ft", 0.3048, expLength},
	{"l", 1e-3, expVolume}, {"L", 1e-3, expVolume}, {"litre", 1e-3, expVolume}, {"litres", 1e-3, expVolume},
	{"t", 1e3, expMass}, {"kg", 1, expMass}, {"g", 1e-3, expMass}, {"mg", 1e-6, expMass}, {"kt", 1e6, expMass}, {"Mt", 1e9, expMass},
	{"tonne", 1e3, expMass}, {"tonnes", 1e3, expMass}, {"lb", 0.45359237, expMass},
	{"s", 1, expTime}, {"min", 60, expTime}, {"h", 3600, expTime}, {"d", 86400, expTime}, {"ms", 1e-3, expTime},
	{"sec", 1, expTime}, {"second", 1, expTime}, {"seconds", 1, expTime}, {"mins", 60, expTime}, {"minute", 60, expTime}, {"minutes", 60, expTime},
	{"hour", 3600, expTime}, {"hours", 3600, expTime}, {"hr", 3600, expTime}, {"hrs", 3600, expTime},
	{"day", 86400, expTime}, {"days", 86400, expTime}, {"week", 604800, expTime}, {"weeks", 604800, expTime},
	{"month", 2628000, expTime}, {"months", 2628000, expTime}, {"year", 31536000, expTime}, {"years", 31536000, expTime}, {"a", 31536000, expTime},
	{"C", 1, expTemp}, {"°C", 1, expTemp}, {"K", 1, expTemp},
	{"N", 1, expForce}, {"kN", 1e3, expForce}, {"MN", 1e6, expForce}, {"kip", 4448.2216152605, expForce},
	{"Nm", 1, expEnergy}, {"kNm", 1e3, expEnergy}, {"MNm", 1e6, expEnergy},
	{"W", 1, expPower}, {"kW", 1e3, expPower}, {"MW", 1e6, expPower}, {"GW", 1e9, expPower},
	{"J", 1, expEnergy}, {"kJ", 1e3, expEnergy}, {"MJ", 1e6, expEnergy}, {"GJ", 1e9, expEnergy}, {"TJ", 1e12, expEnergy},
	{"kWh", 3.6e6, expEnergy}, {"MWh", 3.6e9, expEnergy}, {"GWh", 3.6e12, expEnergy}, {"Wh", 3600, expEnergy},
	{"Pa", 1, expPress}, {"kPa", 1e3, expPress}, {"MPa", 1e6, expPress}, {"GPa", 1e9, expPress}, {"bar", 1e5, expPress}, {"mbar", 100, expPress}, {"psi", 6894.757293168361, expPress}, {"ksi", 6894757.293168361, expPress},
	{"Hz", 1, expRate}, {"rpm", 1. / 60, expRate},
	// m K and kg K written together below the line, as in W/mK and J/kgK
	{"mK", 1, exponents{length: 1, temp: 1}}, {"kgK", 1, exponents{mass: 1, temp: 1}},
	{"%", 0.01, exponents{}}, {"percent", 0.01, exponents{}}, {"ppm", 1e-6, exponents{}},
	{"thousand", 1e3, exponents{}}, {"million", 1e6, exponents{}},
}

// pieceWords count things; each may be written in the singular or the plural.
var pieceWords = []string{
	"piece", "pieces", "slab", "slabs", "coil", "coils", "heat", "heats", "bars", "lift", "lifts", "ladle", "ladles",
	"stack", "stacks", "charge", "charges", "move", "moves", "order", "orders", "truck", "trucks", "wagon", "wagons",
	"place", "places", "base", "bases", "bell", "bells", "crane", "cranes", "strand", "strands", "stand", "stands",
	"roll", "rolls", "programme", "programmes", "sequence", "sequences", "stop", "stops", "failure", "failures",
	"call", "calls", "person", "people", "time", "times", "pass", "passes", "cobble", "cobbles", "weld", "welds", "future", "futures",
}

var (
	unitOf    = map[string]unit{} // filled here, never written again
	unitWords []string            // every word, in table order
)

func init() {
	for _, u := range units {
		unitOf[u.word] = u
		unitWords = append(unitWords, u.word)
	}
	for _, w := range pieceWords {
		unitOf[w] = unit{w, 1, expPiece}
		unitWords = append(unitWords, w)
	}
}

// isCurrency says whether word is three capital letters.
func isCurrency(word string) bool {
	if len(word) != 3 {
		return false
	}
	for i := 0; i < 3; i++ {
		if word[i] < 'A' || word[i] > 'Z' {
			return false
		}
	}
	return true
}

// findUnit looks a word up; currency is the three letters if it is money.
func findUnit(word string) (u unit, currency string, ok bool) {
	if u, ok = unitOf[word]; ok {
		return u, "", true
	}
	if isCurrency(word) {
		return unit{word, 1, expMoney}, word, true
	}
	if len(word) == 4 && isCurrency(word[1:]) {
		switch word[0] {
		case 'k':
			return unit{word, 1e3, expMoney}, word[1:], true
		case 'M':
			return unit{word, 1e6, expMoney}, word[1:], true
		}
	}
	return unit{}, "", false
}
