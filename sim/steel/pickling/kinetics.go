package pickling

import (
	"fmt"
	"math"
)

// Kinetics is the time strip needs in hydrochloric acid:
//
//	log10 t = A + B log10 C + D/(459 + T)
//
// with t in s, C in % HCl and T in degrees Fahrenheit. The form is that of
// Hudson and Warning, J. Metals 34(2) (1982) 65, who give it for 66-93 C; their
// constants could not be read. They also found that strip slower than
// [SlowStrip] needs longer, which this law does not know.
type Kinetics struct {
	A, B, D float64

	// Coils wound hot carry a scale that dissolves more slowly. The time is
	// multiplied by 1 + CoilingPerK for every kelvin of coiling above
	// CoilingFromC, up to CoilingMost.
	CoilingFromC, CoilingPerK, CoilingMost float64
}

// SlowStrip is the strip speed, m/s, below which pickling was found to be
// slower than the law says: 76 m/min (Hudson and Warning 1982, abstract).
const SlowStrip = 76.0 / 60

// CommonKinetics is a calibration of our own, without a source: 20 s at 10 %
// HCl and 80 C, an activation energy of 45 kJ/mol and an exponent of -0.7 on
// the strength of the acid. Above 630 C of coiling the time grows by 0.5 % a
// kelvin: 1.2 times at 670 C, at most 1.5 times (assumption).
func CommonKinetics() Kinetics {
	return Kinetics{A: -4.662, B: -0.7, D: 4231, CoilingFromC: 630, CoilingPerK: 0.005, CoilingMost: 1.5}
}

// The range in which a time is given. It is wider than the law's 66-93 C so
// that acid that cools in a stop can be judged.
const (
	MinAcid, MaxAcid   = 1.0, 20.0 // % HCl
	MinTempC, MaxTempC = 50.0, 95.0
)

// Time is the time in acid, s, of strip coiled cold enough; NaN outside
// [MinAcid, MaxAcid] and [MinTempC, MaxTempC].
func (k Kinetics) Time(acidPercent, tempC float64) float64 {
	if !(acidPercent >= MinAcid && acidPercent <= MaxAcid && tempC >= MinTempC && tempC <= MaxTempC) {
		return math.NaN()
	}
	return math.Pow(10, k.A+k.B*math.Log10(acidPercent)+k.D/(459+32+1.8*tempC))
}

// CoilingFactor is what the time is multiplied by for a coiling temperature, C.
func (k Kinetics) CoilingFactor(coilingC float64) float64 {
	return min(1+k.CoilingPerK*max(coilingC-k.CoilingFromC, 0), max(k.CoilingMost, 1))
}

// Validate refuses constants under which stronger or hotter acid would pickle
// more slowly, or that are no numbers.
func (k Kinetics) Validate() error {
	switch {
	case !(k.B <= 0 && k.B >= -5 && k.D >= 0 && k.D <= 20e3 && math.Abs(k.A) <= 40):
		return fmt.Errorf("pickling: time law A %g, B %g, D %g: want B 0 or below and D 0 or above", k.A, k.B, k.D)
	case !(k.CoilingPerK >= 0 && k.CoilingPerK <= 0.1 && k.CoilingMost >= 0 && k.CoilingMost <= 10 && math.Abs(k.CoilingFromC) <= 1000):
		return fmt.Errorf("pickling: coiling factor from %g C, %g a kelvin, at most %g", k.CoilingFromC, k.CoilingPerK, k.CoilingMost)
	}
	return nil
}
