package rolling

// EkelundFactor is what friction makes of the yield stress in Ekelund's formula,
// 1 + (1.6 mu L - 1.2 dh)/(h1 + h2) (from Wusatowski, Fundamentals of Rolling,
// 1969, from memory).
func EkelundFactor(mu, contact, h1, h2 float64) float64 {
	return 1 + (1.6*mu*contact-1.2*(h1-h2))/(h1+h2)
}

// EkelundFriction is Ekelund's friction coefficient at a temperature (C) above
// 700; rollFactor is 1 for steel and 0.8 for iron rolls.
func EkelundFriction(tempC, rollFactor float64) float64 {
	return rollFactor * (1.05 - 0.0005*tempC)
}

// EkelundStress is the resistance of Ekelund's formula, Pa, at a strain rate
// (1/s): a yield stress of carbon, manganese and chromium (wt %) and a viscosity,
// both falling straight with temperature (C) from 800 to 1350.
func EkelundStress(carbon, manganese, chromium, tempC, rate float64) float64 {
	a := 14 - 0.01*tempC
	return kgfPerMM2 * a * (1.4 + carbon + manganese + 0.3*chromium + 0.01*rate)
}

// Ekelund is the mean roll pressure by Ekelund's formula.
type Ekelund struct {
	Friction float64
	Yield    float64 // Pa
	Pressure float64 // Pa
}

// SolveEkelund evaluates Ekelund's formula (from Wusatowski, Fundamentals of
// Rolling, 1969, from memory): carbon, manganese and chromium in wt %, roll
// surface speed in m/s, rollFactor 1 for steel and 0.8 for iron rolls. From
// 800 C, thick passes; it falls 30 to 45 % below Sims in thin ones. Unchecked.
func SolveEkelund(carbon, manganese, chromium, tempC, radius, h1, h2, speed, rollFactor float64) Ekelund {
	mu := EkelundFriction(tempC, rollFactor)
	a := 14 - 0.01*tempC
	k := kgfPerMM2 * a * (1.4 + carbon + manganese + 0.3*chromium)
	eta := 0.01 * kgfPerMM2 * a
	rate := EkelundStrainRate(speed, radius, h1, h2)
	p := (k + eta*rate) * EkelundFactor(mu, ContactLength(radius, h1-h2), h1, h2)
	return Ekelund{Friction: mu, Yield: k, Pressure: p}
}
