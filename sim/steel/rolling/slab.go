package rolling

import "math"

// slabSteps is the number of points the slab equation is integrated over: the
// force is within 1e-5 of the limit.
const slabSteps = 400

// slab integrates von Karman's equation of the roll gap from both ends of the
// arc,
//
//	h dp/dphi = 2 R' (k phi +- t),  t = the lesser of mu p and k/2,
//
// to where the pressures meet: friction slides, and sticks where Coulomb's would
// be above yield in shear. With mu of 0.5 and more it sticks everywhere, and the
// pressure is k (1 + ln h/h2 + s atan(s phi)) behind the neutral point, s =
// sqrt(R'/h2).
func (a *Arc) slab() RigidGap {
	h1, h2, flat, k, mu := a.Entry, a.Exit, a.Flat, a.Stress, a.Friction
	g := RigidGap{Bite: math.Sqrt((h1 - h2) / flat)}
	const n = slabSteps
	d := g.Bite / n
	slope := func(phi, p, sign float64) float64 {
		return 2 * flat * (k*phi + sign*min(mu*p, k/2)) / (h2 + flat*phi*phi)
	}
	var out, in [n + 1]float64
	// Strip pulled beyond its yield is no pass; the floor keeps numbers finite.
	out[0], in[n] = max(k-a.Front, 0.01*k), max(k-a.Back, 0.01*k)
	step := func(phi, p, d, sign float64) float64 { // Runge and Kutta's
		k1 := slope(phi, p, sign)
		k2 := slope(phi+d/2, p+d/2*k1, sign)
		k3 := slope(phi+d/2, p+d/2*k2, sign)
		k4 := slope(phi+d, p+d*k3, sign)
		return p + d/6*(k1+2*k2+2*k3+k4)
	}
	for i := range n {
		out[i+1] = step(float64(i)*d, out[i], d, 1)
		in[n-i-1] = step(float64(n-i)*d, in[n-i], -d, -1)
	}
	// The neutral point, straight between two points of the arc.
	j := 0
	for j < n && out[j+1] < in[j+1] {
		j++
	}
	g.Skids = j == n || out[0] > in[0]
	share := 0.0
	if !g.Skids {
		a, b := in[j]-out[j], in[j+1]-out[j+1]
		share = a / (a - b)
	}
	if out[0] > in[0] {
		j = 0
	}
	g.Neutral = (float64(j) + share) * d
	g.Slip = flat * g.Neutral * g.Neutral / h2
	t := func(p float64) float64 { return min(mu*p, k/2) }
	var force, torque float64
	for i := range n {
		mid := func(p *[n + 1]float64) float64 { return 0.5 * (p[i] + p[i+1]) }
		drag := func(p *[n + 1]float64) float64 { return 0.5 * (t(p[i]) + t(p[i+1])) }
		switch {
		case i < j:
			force += mid(&out)
			torque -= drag(&out)
		case i > j || g.Skids:
			force += mid(&in)
			torque += drag(&in)
		default:
			peak := out[i] + share*(out[i+1]-out[i])
			force += share*0.5*(out[i]+peak) + (1-share)*0.5*(peak+in[i+1])
			torque += (1-share)*0.5*(t(peak)+t(in[i+1])) - share*0.5*(t(out[i])+t(peak))
		}
	}
	g.Force = flat * d * force
	g.Torque = a.Radius * flat * d * torque
	return g
}
