package rolling

import "math"

// Arc is one roll gap at a given radius of the arc of contact, for the two models
// of cold rolling. Unchecked.
type Arc struct {
	Entry, Exit  float64 // thickness, m
	Radius, Flat float64 // of the rolls, unloaded and flattened, m
	Friction     float64
	Stress       float64 // plane-strain yield stress, mean of the pass, Pa
	Back, Front  float64 // tension stress, Pa
}

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
// Mechanical Engineers 159 (1948) 144, from memory), the pressures integrated by
// Gauss's rule on each side of the neutral point: within 1e-5 of the limit of many
// points for ordinary cold rolling. Textbooks derive the same pressures (Ghosh and
// Mallik, Manufacturing Science, ch. 3).
//
// The solution writes p for k in one term of the balance of forces. Its torque is
// therefore off by half the roll radius times the integral of p - k over the
// draft: too great under a high hill, too small where tension keeps p below k. The
// slab model has no such gap.
func (a *Arc) BlandFord() RigidGap {
	h1, h2, flat := a.Entry, a.Exit, a.Flat
	s := math.Sqrt(flat / h2)
	g := RigidGap{Bite: math.Sqrt((h1 - h2) / flat)}
	// Strip pulled beyond its yield is no pass; the floor keeps numbers finite.
	back, front := max(1-a.Back/a.Stress, 0.01), max(1-a.Front/a.Stress, 0.01)
	hAll := 2 * s * math.Atan(s*g.Bite)
	hn := 0.5*hAll + math.Log(back*h2/(front*h1))/(2*a.Friction)
	g.Neutral = math.Tan(min(max(hn, 0), hAll)/(2*s)) / s
	g.Skids = !(hn > 0 && hn < hAll)
	g.Neutral = min(max(g.Neutral, 0), g.Bite)
	var out, in float64
	for i, x := range gaussX {
		phi := 0.5 * g.Neutral * (1 + x)
		h := h2 + flat*phi*phi
		out += gaussW[i] * h / h2 * math.Exp(a.Friction*2*s*math.Atan(s*phi))
		phi = g.Neutral + 0.5*(g.Bite-g.Neutral)*(1+x)
		h = h2 + flat*phi*phi
		in += gaussW[i] * h / h1 * math.Exp(a.Friction*(hAll-2*s*math.Atan(s*phi)))
	}
	out *= 0.5 * g.Neutral * a.Stress * front
	in *= 0.5 * (g.Bite - g.Neutral) * a.Stress * back
	g.Force = flat * (out + in)
	g.Torque = a.Friction * a.Radius * flat * (in - out)
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

// EffectiveStress is a yield stress lowered by tension, Pa, for formulas that
// know none: back tension counts 0.65 of its stress, front tension 0.35 (fitted
// to Bland and Ford's solution; with flattening the force is within 3 %).
func EffectiveStress(k, back, front float64) float64 { return k - (0.65*back + 0.35*front) }

// HillFactor is mean pressure over plane-strain yield stress, 1.08 + 1.79 mu r
// sqrt(R/h1) - 1.02 r, after Hill, The Mathematical Theory of Plasticity (1950),
// from memory: reductions of 0.1 to 0.6, factor below 1.7.
func HillFactor(mu, flat, h1, h2 float64) float64 {
	r := (h1 - h2) / h1
	return 1.08 + 1.79*mu*r*math.Sqrt(flat/h1) - 1.02*r
}

// hillLever is the arm of the roll force along the arc, as a share of the arc;
// fitted, with the pull of unequal tensions beside it, to Bland and Ford.
const hillLever = 0.52

// Hill is the explicit formula with tension taken off the yield stress, and a
// torque of the force on its arm and of the pull of the strip. There is no
// neutral point: slip is left at zero.
func (a *Arc) Hill() RigidGap {
	dh := a.Entry - a.Exit
	g := RigidGap{Bite: math.Sqrt(dh / a.Flat)}
	g.Force = EffectiveStress(a.Stress, a.Back, a.Front) * math.Sqrt(a.Flat*dh) * HillFactor(a.Friction, a.Flat, a.Entry, a.Exit)
	g.Torque = a.Radius * (hillLever*g.Bite*g.Force + (a.Back-a.Front)*(a.Entry+a.Exit)/4)
	return g
}
