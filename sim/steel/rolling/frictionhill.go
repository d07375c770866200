package rolling

import "math"

// FrictionHill is the mean pressure over plane-strain yield stress of a block of
// the mean thickness h (m) pressed between flat plates as long as the arc of
// contact l (m), by the slab method: the friction hill that stands for a roll gap
// in Dieter, Mechanical Metallurgy, ch. 17 (ex. 17-2).
//
// With sliding friction mu it is (e^Q - 1)/Q, Q = mu l/h; for friction that
// sticks over the whole length see [StickingHill], and for a middle that sticks
// between edges that slide [MixedHill].
func FrictionHill(mu, l, h float64) float64 {
	q := mu * l / h
	if q < 1e-6 {
		return 1 + q/2
	}
	return math.Expm1(q) / q
}

// StickingHill is the friction hill when the shear stress at the rolls is
// everywhere that of yield in shear, half of plane-strain yield: 1 + l/(4h).
func StickingHill(l, h float64) float64 { return 1 + l/(4*h) }

// MixedHill is the friction hill that slides with mu from both edges until the
// friction reaches yield in shear, and sticks from there to the middle.
func MixedHill(mu, l, h float64) float64 {
	a := l / 2
	if mu >= 0.5 {
		return StickingHill(l, h)
	}
	if mu <= 0 {
		return 1
	}
	x := h / (2 * mu) * math.Log(1/(2*mu)) // distance from the edge
	if x >= a {
		return FrictionHill(mu, l, h)
	}
	edge := h / (2 * mu) * (1/(2*mu) - 1) // integral of e^(2 mu x/h)
	m := a - x
	return (edge + m/(2*mu) + m*m/(2*h)) / a
}

// KalpakjianFactor is 1 + mu L/(2h), a textbook's first term of the friction
// hill (Kalpakjian, Manufacturing Processes for Engineering Materials, rolling
// with friction, from memory).
func KalpakjianFactor(mu, l, h float64) float64 { return 1 + mu*l/(2*h) }

// Textbook is the textbook estimate of a pass from a power law of hardening.
type Textbook struct {
	MaxDraft float64 // m
	Contact  float64 // m
	Strain   float64
	Stress   float64 // average flow stress, Pa
	Force    float64 // N
	Torque   float64 // per roll, N m
	Power    float64 // both rolls, W
}

// SolveTextbook is the estimate of Groover, Fundamentals of Modern Manufacturing,
// eq. 18.5-18.13: strength coefficient k (Pa), hardening exponent n, speed of
// rotation in 1/s. It knows neither friction hill nor temperature. Unchecked.
func SolveTextbook(k, n, mu, width, radius, h1, h2, turns float64) Textbook {
	t := Textbook{MaxDraft: MaxDraft(mu, radius), Contact: ContactLength(radius, h1-h2), Strain: Strain(h1, h2)}
	t.Stress = k * math.Pow(t.Strain, n) / (1 + n)
	t.Force = t.Stress * t.Contact * width
	t.Torque = 0.5 * t.Force * t.Contact
	t.Power = 2 * math.Pi * turns * t.Force * t.Contact
	return t
}
