package coldrolling

import "math"

// Pass is one roll gap.
type Pass struct {
	Entry, Exit float64 // thickness, m
	Radius      float64 // of the rolls, unloaded, m
	Friction    float64 // coefficient, 0.02-0.12
	Stress      float64 // plane-strain yield stress, mean of the pass, Pa
	Back, Front float64 // tension stress of the strip before and behind, Pa
}

// Reduction is draft over entry thickness.
func (p Pass) Reduction() float64 { return (p.Entry - p.Exit) / p.Entry }

// WithoutTension is the pass when the strip hangs loose on both sides.
func (p Pass) WithoutTension() Pass {
	p.Back, p.Front = 0, 0
	return p
}

// EffectiveStress is the yield stress lowered by tension, Pa, for formulas that
// know none: back tension counts 0.65 of its stress, front tension 0.35 (fitted
// to Bland and Ford's solution; with flattening the force is within 3 %).
func (p Pass) EffectiveStress() float64 { return p.Stress - (0.65*p.Back + 0.35*p.Front) }

// RigidGap is what a roll gap needs when the arc of contact has a given radius.
type RigidGap struct {
	Force   float64 // N/m of width
	Torque  float64 // of one roll, N m/m of width
	Bite    float64 // angle of contact, rad
	Neutral float64 // angle of the neutral point, rad
	Slip    float64 // forward slip
	Skids   bool    // no neutral point in the arc: friction cannot hold the strip
}

// BlandFord solves the slab method of Bland and Ford (Proc. Institution of
// Mechanical Engineers 159 (1948) 144, from memory) for an arc of radius flat
// (m), the pressures integrated by Gauss's rule on each side of the neutral
// point: within 1e-5 of the limit of many points over this package's range.
func (p Pass) BlandFord(flat float64) RigidGap {
	h1, h2 := p.Entry, p.Exit
	s := math.Sqrt(flat / h2)
	g := RigidGap{Bite: math.Sqrt((h1 - h2) / flat)}
	// Strip pulled beyond its yield is no pass; the floor keeps numbers finite.
	back, front := max(1-p.Back/p.Stress, 0.01), max(1-p.Front/p.Stress, 0.01)
	hAll := 2 * s * math.Atan(s*g.Bite)
	hn := 0.5*hAll + math.Log(back*h2/(front*h1))/(2*p.Friction)
	g.Neutral = math.Tan(min(max(hn, 0), hAll)/(2*s)) / s
	g.Skids = !(hn > 0 && hn < hAll)
	g.Neutral = min(max(g.Neutral, 0), g.Bite)
	var out, in float64
	for i, x := range gaussX {
		phi := 0.5 * g.Neutral * (1 + x)
		h := h2 + flat*phi*phi
		out += gaussW[i] * h / h2 * math.Exp(p.Friction*2*s*math.Atan(s*phi))
		phi = g.Neutral + 0.5*(g.Bite-g.Neutral)*(1+x)
		h = h2 + flat*phi*phi
		in += gaussW[i] * h / h1 * math.Exp(p.Friction*(hAll-2*s*math.Atan(s*phi)))
	}
	out *= 0.5 * g.Neutral * p.Stress * front
	in *= 0.5 * (g.Bite - g.Neutral) * p.Stress * back
	g.Force = flat * (out + in)
	g.Torque = p.Friction * p.Radius * flat * (in - out)
	g.Slip = flat * g.Neutral * g.Neutral / h2
	return g
}

// Nodes and weights of Gauss's rule of eight points.
var (
	gaussX = [8]float64{-0.9602898564975363, -0.7966664774136267, -0.5255324099163290, -0.1834346424956498,
		0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}
	gaussW = [8]float64{0.1012285362903763, 0.2223810344533745, 0.3137066458778873, 0.3626837833783620,
		0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
)

// HillFactor is mean pressure over yield stress after Hill, The Mathematical
// Theory of Plasticity (1950), from memory: reductions of 0.1 to 0.6, factor
// below 1.7.
func (p Pass) HillFactor(flat float64) float64 {
	r := p.Reduction()
	return 1.08 + 1.79*p.Friction*r*math.Sqrt(flat/p.Entry) - 1.02*r
}

// hillLever is the arm of the roll force along the arc, as a share of the arc;
// fitted, with the pull of unequal tensions beside it, to Bland and Ford.
const hillLever = 0.52

// Hill is the explicit formula with tension taken off the yield stress, and a
// torque of the force on its arm and of the pull of the strip. There is no
// neutral point: slip is left at zero.
func (p Pass) Hill(flat float64) RigidGap {
	dh := p.Entry - p.Exit
	g := RigidGap{Bite: math.Sqrt(dh / flat)}
	g.Force = p.EffectiveStress() * math.Sqrt(flat*dh) * p.HillFactor(flat)
	g.Torque = p.Radius * (hillLever*g.Bite*g.Force + (p.Back-p.Front)*(p.Entry+p.Exit)/4)
	return g
}

// CheapWork is the energy, J/m3 of strip, of both rolls by a rule: 1.15 times
// the ideal deformation, and the pull of the strip. On an ordinary five-stand
// schedule it is 17 % low to 7 % high of Bland and Ford; light passes take far
// more.
func (p Pass) CheapWork() float64 {
	return 1.15*p.Stress*math.Log(p.Entry/p.Exit) + p.Back - p.Front
}
