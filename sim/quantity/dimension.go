package quantity

// Dimension says what kind of number is wanted. The value Parse returns for it
// is in the SI unit named here.
type Dimension uint8

const (
	Fraction       Dimension = iota // share of one; "60 %" or "0.6"
	Count                           // pieces; "12", "120 slabs"
	Length                          // m
	Area                            // m2
	Volume                          // m3
	Mass                            // kg
	Time                            // s; also "1 h 30 min"
	Temperature                     // K, absolute: "1250 C" is 1523.15 (ParseCelsius gives 1250)
	TempDiff                        // K: "50 C" is 50
	TempRate                        // K/s; "0.5 C/min"
	Speed                           // m/s
	Accel                           // m/s2; "0.1 m/min per min"
	Force                           // N
	Torque                          // N m
	Power                           // W
	Energy                          // J
	EnergyPerMass                   // J/kg
	Pressure                        // Pa; also strength, "250 MPa"
	MassRate                        // kg/s
	Density                         // kg/m3
	HeatTransfer                    // W/(m2 K)
	HeatFlux                        // W/m2
	Conductivity                    // W/(m K)
	SpecificHeat                    // J/(kg K)
	VolumeFlow                      // m3/s
	MassPerArea                     // kg/m2
	MassPerLength                   // kg/m
	MassPerPiece                    // kg a piece
	TimePerPiece                    // s a piece
	Rate                            // 1/s; "20 lifts/h", "1 per 15 d", "every 15 d"
	Money                           // currency
	MoneyPerMass                    // currency/kg
	MoneyPerTime                    // currency/s
	MoneyPerEnergy                  // currency/J
	MoneyPerPiece                   // currency a piece
	MoneyPerVolume                  // currency/m3
	dimensions                      // how many there are
)

// exponents of the base units of a product of powers.
type exponents struct{ length, mass, time, temp, money, piece int8 }

func (a exponents) plus(b exponents, power int8) exponents {
	return exponents{
		a.length + power*b.length, a.mass + power*b.mass, a.time + power*b.time,
		a.temp + power*b.temp, a.money + power*b.money, a.piece + power*b.piece,
	}
}

type dimensionInfo struct {
	name    string // with its article, for sentences
	example string // as it stands in a file
	exp     exponents
	signed  bool     // below zero has a meaning
	units   []string // usual units, first the one Format uses
}

// dimensionTable is indexed by Dimension.
var dimensionTable = [dimensions]dimensionInfo{
	Fraction:       {"a share", "60 %", exponents{}, true, []string{"%", "ppm"}},
	Count:          {"a number of pieces", "12", exponents{piece: 1}, false, []string{"pieces", "slabs", "coils", "heats"}},
	Length:         {"a length", "230 mm", exponents{length: 1}, false, []string{"m", "mm", "km", "cm", "um"}},
	Area:           {"an area", "120 m2", exponents{length: 2}, false, []string{"m2", "mm2", "cm2"}},
	Volume:         {"a volume", "30 m3", exponents{length: 3}, false, []string{"m3", "l"}},
	Mass:           {"a mass", "23.2 t", exponents{mass: 1}, false, []string{"t", "kg", "kt", "g"}},
	Time:           {"a length of time", "9 h", exponents{time: 1}, false, []string{"h", "min", "s", "d", "ms", "weeks"}},
	Temperature:    {"a temperature", "1250 C", exponents{temp: 1}, true, []string{"C", "K"}},
	TempDiff:       {"a temperature difference", "25 C", exponents{temp: 1}, true, []string{"C", "K"}},
	TempRate:       {"a rate of heating or cooling", "0.5 C/min", exponents{temp: 1, time: -1}, true, []string{"C/min", "C/s", "C/h", "K/s"}},
	Speed:          {"a speed", "1.1 m/min", exponents{length: 1, time: -1}, false, []string{"m/min", "m/s", "mm/s"}},
	Accel:          {"an acceleration", "0.2 m/s2", exponents{length: 1, time: -2}, true, []string{"m/s2", "m/min per min"}},
	Force:          {"a force", "38 MN", exponents{length: 1, mass: 1, time: -2}, true, []string{"MN", "kN", "N"}},
	Torque:         {"a torque", "1.5 MNm", exponents{length: 2, mass: 1, time: -2}, true, []string{"kNm", "MNm", "Nm"}},
	Power:          {"a power", "8 MW", exponents{length: 2, mass: 1, time: -3}, true, []string{"MW", "kW", "W", "GJ/h"}},
	Energy:         {"an energy", "1.2 GJ", exponents{length: 2, mass: 1, time: -2}, true, []string{"GJ", "MJ", "kWh", "MWh", "J"}},
	EnergyPerMass:  {"an energy per mass", "1.5 GJ/t", exponents{length: 2, time: -2}, true, []string{"GJ/t", "MJ/kg", "kWh/t", "kJ/kg"}},
	Pressure:       {"a pressure or strength", "180 bar", exponents{length: -1, mass: 1, time: -2}, true, []string{"MPa", "bar", "kPa", "Pa", "mbar"}},
	MassRate:       {"a mass rate", "445 t/h", exponents{mass: 1, time: -1}, false, []string{"t/h", "kg/s", "t/d", "t/min"}},
	Density:        {"a density", "7850 kg/m3", exponents{length: -3, mass: 1}, false, []string{"kg/m3", "t/m3"}},
	HeatTransfer:   {"a heat transfer coefficient", "1500 W/m2K", exponents{mass: 1, time: -3, temp: -1}, false, []string{"W/m2K", "kW/m2K"}},
	HeatFlux:       {"a heat flux", "1.2 MW/m2", exponents{mass: 1, time: -3}, true, []string{"kW/m2", "MW/m2", "W/m2"}},
	Conductivity:   {"a thermal conductivity", "30 W/mK", exponents{length: 1, mass: 1, time: -3, temp: -1}, false, []string{"W/mK"}},
	SpecificHeat:   {"a specific heat", "680 J/kgK", exponents{length: 2, time: -2, temp: -1}, false, []string{"J/kgK", "kJ/kgK"}},
	VolumeFlow:     {"a volume flow", "12 m3/min", exponents{length: 3, time: -1}, false, []string{"m3/h", "m3/min", "m3/s", "l/s", "l/min"}},
	MassPerArea:    {"a mass per area", "15 g/m2", exponents{length: -2, mass: 1}, false, []string{"g/m2", "kg/m2"}},
	MassPerLength:  {"a mass per length", "18 kg/mm", exponents{length: -1, mass: 1}, false, []string{"kg/m", "kg/mm", "t/m"}},
	MassPerPiece:   {"a mass per piece", "23.2 t/slab", exponents{mass: 1, piece: -1}, false, []string{"t/piece", "t/slab", "t/coil", "kg/piece"}},
	TimePerPiece:   {"a time per piece", "105 s/coil", exponents{time: 1, piece: -1}, false, []string{"s/piece", "s/coil", "min/heat"}},
	Rate:           {"a rate", "20 lifts/h", exponents{piece: 1, time: -1}, false, []string{"per h", "per d", "/min"}},
	Money:          {"an amount of money", "84,000 EUR", exponents{money: 1}, true, []string{"EUR", "million EUR"}},
	MoneyPerMass:   {"money per mass", "120 EUR/t", exponents{money: 1, mass: -1}, true, []string{"EUR/t", "EUR/kg"}},
	MoneyPerTime:   {"money per time", "900 EUR/h", exponents{money: 1, time: -1}, true, []string{"EUR/h", "EUR/d", "EUR/year"}},
	MoneyPerEnergy: {"money per energy", "9 EUR/GJ", exponents{money: 1, length: -2, mass: -1, time: 2}, true, []string{"EUR/GJ", "EUR/MWh"}},
	MoneyPerPiece:  {"money per piece", "40 EUR/slab", exponents{money: 1, piece: -1}, true, []string{"EUR/piece", "EUR/slab", "EUR/heat"}},
	MoneyPerVolume: {"money per volume", "0.3 EUR/m3", exponents{money: 1, length: -3}, true, []string{"EUR/m3"}},
}

func (d Dimension) info() dimensionInfo {
	if d >= dimensions {
		return dimensionInfo{name: "a quantity of an unknown kind", example: "1"}
	}
	return dimensionTable[d]
}

// String names the dimension with its article: "a length".
func (d Dimension) String() string { return d.info().name }

// Example is how a value of this dimension stands in a file: "230 mm".
func (d Dimension) Example() string { return d.info().example }

// accepts says whether a unit with exponents e can be read as d. Piece words
// are optional where counting is all that is meant: "12" and "12 slabs",
// "4 per h" and "4 lifts/h".
func (d Dimension) accepts(e exponents) bool {
	want := d.info().exp
	if d == Count || d == Rate {
		if e.piece != 0 && e.piece != 1 {
			return false
		}
		e.piece, want.piece = 0, 0
	}
	return e == want
}

// describe names what a unit with exponents e measures.
func (e exponents) describe() string {
	if (e == exponents{}) {
		return "a plain number"
	}
	for d := Dimension(0); d < dimensions; d++ {
		if d.info().exp == e {
			return d.info().name
		}
	}
	if (e == exponents{time: -1}) {
		return Rate.info().name
	}
	return "some other kind of quantity"
}
