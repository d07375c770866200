package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b)) }

// Factors: BIPM SI brochure 9th ed. table 8; NIST SP 811 appendix B.8 for bar,
// psi, inch, pound.
func TestParseGivesSI(t *testing.T) {
	for _, c := range []struct {
		text string
		want Dimension
		si   float64
	}{
		{"230 mm", Length, 0.230}, {"230mm", Length, 0.230}, {"19,500 t", Mass, 19.5e6}, {"-0.5 m/s2", Accel, -0.5},
		{"1.1 m/min", Speed, 1.1 / 60}, {"18 m/s", Speed, 18}, {"0.1 m/min per min", Accel, 0.1 / 3600},
		{"0.5 C/min", TempRate, 0.5 / 60}, {"1250 C", Temperature, 1523.15}, {"1250 °C", Temperature, 1523.15}, {"300 K", Temperature, 300},
		{"50 C", TempDiff, 50}, {"-20 K", TempDiff, -20}, {"38 MN", Force, 38e6}, {"1.5 MNm", Torque, 1.5e6}, {"1.5 MN m", Torque, 1.5e6},
		{"8 MW", Power, 8e6}, {"1.2 GJ", Energy, 1.2e9}, {"1 kWh", Energy, 3.6e6}, {"1.5 GJ/t", EnergyPerMass, 1.5e6}, {"30 kWh/t", EnergyPerMass, 108e3},
		{"180 bar", Pressure, 18e6}, {"250 MPa", Pressure, 250e6}, {"1 psi", Pressure, 6894.757}, {"200 N/mm2", Pressure, 200e6},
		{"445 t/h", MassRate, 445e3 / 3600}, {"7850 kg/m3", Density, 7850}, {"7.85 t/m^3", Density, 7850}, {"7.85 t/m³", Density, 7850},
		{"1500 W/m2K", HeatTransfer, 1500}, {"1500 W/m2 K", HeatTransfer, 1500}, {"1500 W/(m2 K)", HeatTransfer, 1500}, {"1500 W/m²K", HeatTransfer, 1500}, {"1.5 kW m-2 K-1", HeatTransfer, 1500},
		{"30 W/mK", Conductivity, 30}, {"30 W/(m K)", Conductivity, 30}, {"680 J/kgK", SpecificHeat, 680}, {"0.68 kJ/(kg K)", SpecificHeat, 680},
		{"12 m3/min", VolumeFlow, 0.2}, {"120 l/min", VolumeFlow, 0.002}, {"1.2 MW/m2", HeatFlux, 1.2e6},
		{"15 g/m2", MassPerArea, 0.015}, {"18 kg/mm", MassPerLength, 18000}, {"23.2 t/slab", MassPerPiece, 23200}, {"105 s/coil", TimePerPiece, 105},
		{"60 %", Fraction, 0.6}, {"60%", Fraction, 0.6}, {"0.6", Fraction, 0.6}, {"-10 %", Fraction, -0.1}, {"5 ppm", Fraction, 5e-6},
		{"12", Count, 12}, {"120 slabs", Count, 120}, {"1,200 coils", Count, 1200},
		{"9 h", Time, 32400}, {"1 h 30 min", Time, 5400}, {"2 d 4 h 10 min", Time, 187800}, {"20min", Time, 1200}, {"3 weeks", Time, 21 * 86400}, {"1 year", Time, 8760 * 3600}, {"1h30min", Time, 5400},
		{"20 lifts/h", Rate, 20. / 3600}, {"20 lifts per h", Rate, 20. / 3600}, {"20 /h", Rate, 20. / 3600}, {"20 1/h", Rate, 20. / 3600}, {"1 per 15 d", Rate, 1. / (15 * 86400)}, {"every 15 d", Rate, 1. / (15 * 86400)}, {"1 failure per 100 h", Rate, 1. / 360000}, {"60 rpm", Rate, 1},
		{"84,000 EUR", Money, 84000}, {"1.23 million EUR", Money, 1.23e6}, {"80 MUSD", Money, 80e6}, {"12 kEUR", Money, 12000}, {"-500 SEK", Money, -500},
		{"120 EUR/t", MoneyPerMass, 0.12}, {"900 EUR/h", MoneyPerTime, 0.25}, {"3.6 EUR/GJ", MoneyPerEnergy, 3.6e-9}, {"40 EUR/slab", MoneyPerPiece, 40}, {"400 EUR per 10 slabs", MoneyPerPiece, 40}, {"0.3 EUR/m3", MoneyPerVolume, 0.3},
		{"1e3 kg", Mass, 1000}, {"2.5e-3 m", Length, 0.0025}, {"−40 C", Temperature, 233.15}, {"1 in", Length, 0.0254}, {"2 lb", Mass, 0.90718474},
	} {
		v, err := Parse(c.text, c.want)
		if err != nil {
			t.Errorf("Parse(%q, %v): %v", c.text, c.want, err)
		} else if !near(v, c.si, 1e-7) || c.text != "1 psi" && !near(v, c.si, 4e-16) {
			t.Errorf("Parse(%q, %v) = %v, want %v", c.text, c.want, v, c.si)
		}
	}
}

func TestParseRefusesInSentences(t *testing.T) {
	for _, c := range []struct {
		text string
		want Dimension
		says string
	}{
		{"230 C", Length, `"230 C" is a temperature; a length is needed here, for example "230 mm".`},
		{"230", Length, `"230" has no unit; a length is needed here, for example "230 mm".`},
		{"", Mass, `The value is empty; a mass is needed here, for example "23.2 t".`},
		{"230 mn", Length, `"230 mn" has an unknown unit "mn", did you mean "mm"? A length is needed here, for example "230 mm".`},
		{"180 BAR", Pressure, `did you mean "bar"?`},
		{"4 hors", Time, `did you mean "hours"?`},
		{"9 furlong", Length, `has an unknown unit "furlong"; a length is needed`},
		{"0,5 m", Length, "does not part thousands"},
		{"1,00 m", Length, "does not part thousands"},
		{"m", Length, "does not start with a number"},
		{"NaN m", Length, "does not start with a number"},
		{"Inf", Fraction, "does not start with a number"},
		{"1e999 m", Length, "too large"},
		{"1e308 km", Length, "too large"},
		{"-3 t", Mass, "below zero"},
		{"-300 C", Temperature, "below absolute zero"},
		{"-1 K", Temperature, "below absolute zero"},
		{"60 %", Length, "plain number or share"},
		{"5 m", Time, `"5 m" is a length; a length of time is needed`},
		{"3 m 4 m", Length, "more than one number"},
		{"1 h 30 t", Time, "not a sum of times"},
		{"12 EUR/", Money, "ends below the line"},
		{"12 EUR//t", MoneyPerMass, "two dividing lines"},
		{"12 EUR USD", Money, "two currencies"},
		{"22:40", Time, "looks like a clock time"},
		{"1 per 0 d", Rate, "divides by a number"},
		{"40 EUR", MoneyPerPiece, `"40 EUR" is an amount of money; money per piece is needed`},
		{"105 s/coil", Time, "is a time per piece"},
		{"50 %", Count, "is a share"},
		{"2. m", Length, "point with no digit"},
		{"1.2.3 m", Length, "not written as a number"},
		{"5 $", Money, `unknown unit "$"`},
	} {
		_, err := Parse(c.text, c.want)
		if err == nil {
			t.Errorf("Parse(%q, %v): no error", c.text, c.want)
			continue
		}
		if !strings.Contains(err.Error(), c.says) {
			t.Errorf("Parse(%q, %v):\n got  %s\n want %s", c.text, c.want, err, c.says)
		}
		if last := err.Error()[len(err.Error())-1]; last != '.' && last != '?' {
			t.Errorf("Parse(%q): not a whole sentence: %s", c.text, err)
		}
	}
	if _, err := Parse("1", dimensions); err == nil {
		t.Error("a dimension out of range was taken")
	}
}

func TestParseSpecial(t *testing.T) {
	if v, err := ParseCelsius("1250 C"); err != nil || v != 1250 {
		t.Error(v, err)
	}
	if v, err := ParseCelsius("300 K"); err != nil || !near(v, 26.85, 1e-12) {
		t.Error(v, err)
	}
	if _, err := ParsePositive("0 h", Time); err == nil {
		t.Error("0 h taken as positive")
	}
	if _, err := ParseShare("120 %"); err == nil {
		t.Error("120 % taken as a share")
	}
	if n, err := ParseCount("120 slabs"); err != nil || n != 120 {
		t.Error(n, err)
	}
	if _, err := ParseCount("1.5"); err == nil {
		t.Error("1.5 taken as a count")
	}
	v, cur, err := ParseMoney("120 EUR/t", MoneyPerMass)
	if err != nil || v != 0.12 || cur != "EUR" {
		t.Error(v, cur, err)
	}
	if _, _, err := ParseMoney("1 m", Length); err == nil {
		t.Error("money as a length taken")
	}
}

func TestEveryExampleAndUnitParses(t *testing.T) {
	for d := Dimension(0); d < dimensions; d++ {
		if _, err := Parse(d.Example(), d); err != nil {
			t.Errorf("%v: %v", d, err)
		}
		for _, u := range d.info().units {
			if _, err := Parse("2 "+u, d); err != nil {
				t.Errorf("%v: %v", d, err)
			}
		}
	}
	seen := map[string]bool{}
	for _, w := range unitWords {
		if seen[w] {
			t.Errorf("unit %q twice", w)
		}
		seen[w] = true
	}
}

func TestParseNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[-+.,0-9 e/*()a-zA-Z%²^:]{0,16}`)).Draw(t, "s")
		for d := Dimension(0); d < dimensions; d++ {
			v, err := Parse(s, d)
			if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Fatalf("Parse(%q, %v) = %v", s, d, v)
			}
		}
		_, _ = ParseClock(s)
		_, _ = ParseClockNear(s, 0)
		_, _ = ParseEstimate(s)
	})
}

func TestFormatReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(0, int(dimensions)-1).Draw(t, "d"))
		if d.info().exp.money != 0 {
			t.Skip("needs a dimension that is written with its unit; money without a currency is not")
		}
		unit, err := Parse(d.Example(), d)
		if err != nil {
			t.Fatal(err)
		}
		v := unit * rapid.Float64Range(0.05, 20).Draw(t, "times")
		if d == Temperature {
			v = rapid.Float64Range(1, 2000).Draw(t, "kelvin")
		}
		text := Format(v, d)
		back, err := Parse(text, d)
		if err != nil {
			t.Fatalf("%v: Format(%v) = %q: %v", d, v, text, err)
		}
		tolerance := 0.06 // FormatDuration and FormatShare give two figures or more
		if d == Temperature {
			if math.Abs(back-v) > 0.06 && !near(back, v, 1e-3) {
				t.Fatalf("%q reads back as %v, was %v", text, back, v)
			}
		} else if !near(back, v, tolerance) {
			t.Fatalf("%v: %q reads back as %v, was %v", d, text, back, v)
		}
	})
}

func TestNearest(t *testing.T) {
	units := []string{"finishing train", "furnace F1", "rougher", "coiler A", "pickle line"}
	for word, want := range map[string]string{
		"finshing train": "finishing train", "furnace f1": "furnace F1", "ruogher": "rougher", "Pickle-line": "pickle line",
	} {
		if got, ok := Nearest(word, units); !ok || got != want {
			t.Errorf("Nearest(%q) = %q, %v", word, got, ok)
		}
	}
	for _, word := range []string{"", "blast furnace stove", "xyz", "q"} {
		if got, ok := Nearest(word, units); ok {
			t.Errorf("Nearest(%q) = %q", word, got)
		}
	}
	// Distances: the usual worked examples, from memory.
	for _, c := range []struct {
		a, b string
		d    int
	}{{"kitten", "sitting", 3}, {"ca", "ac", 1}, {"ca", "abc", 3}, {"", "abc", 3}, {"saturday", "sunday", 3}} {
		if d := editDistance([]rune(c.a), []rune(c.b)); d != c.d {
			t.Errorf("distance %q %q = %d, want %d", c.a, c.b, d, c.d)
		}
	}
}

func TestParseEstimate(t *testing.T) {
	e, err := ParseEstimate("low 4 h, likely 8 h, bad 26 h")
	if err != nil || e != (Estimate{4 * 3600, 8 * 3600, 26 * 3600}) {
		t.Fatal(e, err)
	}
	if e.String() != "low 4 h, likely 8 h, bad 26 h" {
		t.Error(e)
	}
	if e, err = ParseEstimate("bad 1 d 2 h; low: 1,200 s, likely = 8 h"); err != nil || e != (Estimate{1200, 8 * 3600, 26 * 3600}) {
		t.Error(e, err)
	}
	for text, says := range map[string]string{
		"low 4 h, likely 8 h":                  `does not say "bad"`,
		"":                                     `does not say "low"`,
		"low 9 h, likely 8 h, bad 26 h":        "is not shorter than the likely",
		"low 4 h, likely 8 h, bad 8 h":         "is not longer than the likely",
		"low 4 h, likly 8 h, bad 26 h":         `did you mean "likely"?`,
		"low 4 h, low 5 h, likely 8 h":         "twice",
		"low 4 t, likely 8 h, bad 26 h":        `"4 t" is a mass`,
		"low 0 h, likely 8 h, bad 26 h":        "not above zero",
		"best 1 h, low 4 h, likely 8 h, bad 9": "none of low, likely, bad",
	} {
		if _, err := ParseEstimate(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("ParseEstimate(%q): %v, want %s", text, err, says)
		}
	}
	if _, err := NewEstimate(1, math.NaN(), 2); err == nil {
		t.Error("NaN taken")
	}
}
