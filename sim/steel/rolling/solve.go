package rolling

import "math"

// Model is how force and torque follow from a yield stress.
type Model uint8

// The models. The stress each wants is named; see [PlaneStrain]. Torque is the
// force on an arm of half the contact length unless something else is said.
const (
	// AverageStress is force = average flow stress times area of contact, without
	// a friction hill (Groover, Fundamentals of Modern Manufacturing, eq. 18.10;
	// Kalpakjian and Schmid, ch. 13). Textbooks put in the stress of simple
	// tension.
	AverageStress Model = iota
	// AverageFriction multiplies it by 1 + mu L/(2h): see [KalpakjianFactor].
	AverageFriction
	// Sliding, Sticking and Mixed are the friction hill of flat plates on
	// plane-strain stress: see [FrictionHill], [StickingHill], [MixedHill].
	Sliding
	Sticking
	Mixed
	// SimsModel is Sims's solution for hot rolling, plane-strain stress, reductions
	// from about 0.1: see [SolveSims]. Its torque is its own.
	SimsModel
	// MeanPressure is a straight line through Sims: see [MeanPressureFactor]. Its
	// torque is fitted to Sims.
	MeanPressure
	// ShidaAwazuhara is a fit for hot rolling, plane-strain stress: see
	// [ShidaAwazuharaFactor].
	ShidaAwazuhara
	// EkelundModel wants the stress of [EkelundStress]: see [EkelundFactor].
	EkelundModel
	// BlandFordModel is the slab method of cold rolling with tension, plane-strain
	// stress: see [Arc.BlandFord]. Its torque is its own. It needs friction.
	BlandFordModel
	// HillModel is Hill's explicit form of it, reductions of 0.1 to 0.6: see
	// [HillFactor]. Its torque is fitted to Bland and Ford.
	HillModel
	// SlabModel integrates von Karman's equation with friction that slides or,
	// above yield in shear, sticks; plane-strain stress, with tension. Its torque
	// is its own. It needs friction. Hot or cold; a tenth of a millisecond.
	SlabModel
	models
)

var modelNames = [models]string{"average stress", "average stress with friction", "sliding friction hill", "sticking friction hill", "mixed friction hill",
	"Sims", "mean-pressure line", "Shida-Awazuhara", "Ekelund", "Bland-Ford", "Hill", "slab"}

// String is the model's name.
func (m Model) String() string {
	if m < models {
		return modelNames[m]
	}
	return "no model"
}

// Models are all models.
func Models() []Model {
	var all []Model
	for m := Model(0); m < models; m++ {
		all = append(all, m)
	}
	return all
}

// Solve solves one pass at a yield stress (Pa, what the model wants, 0 to 100
// GPa) by a model, the rolls flattened by the force.
//
// It refuses what [Gap.Validate] refuses, a stress or a model that is none, no
// friction where the model needs it (from 0.001), strip pulled beyond its yield,
// and a pass whose pressure runs beyond all bounds. It does not refuse a pass
// outside the range where a model is good.
func Solve(g Gap, stress float64, m Model, rolls Rolls) (Result, error) {
	if err := check(&g, stress, m); err != nil {
		return Result{}, err
	}
	var r Result
	capped, err := rolls.flatten(g.Radius, g.Draft(), func(flat float64) (float64, error) {
		return r.arc(&g, stress, m, flat)
	})
	r.Capped = capped
	if err != nil {
		return Result{}, err
	}
	return r, nil
}

func check(g *Gap, stress float64, m Model) error {
	if err := g.Validate(); err != nil {
		return err
	}
	if !(stress > 0 && stress <= 1e11) {
		return refuse("a yield stress of %g Pa is outside 0-100 GPa", stress)
	}
	switch m {
	case BlandFordModel, SlabModel:
		if g.Friction < 0.001 {
			return refuse("a friction coefficient of %g: the %v model needs 0.001 and more", g.Friction, m)
		}
		fallthrough
	case HillModel:
		if max(g.Back, g.Front) >= stress {
			return refuse("tensions of %g and %g Pa would tear strip that yields at %g Pa", g.Back, g.Front, stress)
		}
	}
	if m >= models {
		return refuse("there is no model %d", m)
	}
	return nil
}

// arc solves the gap at one radius of the arc and returns the force per width.
func (r *Result) arc(g *Gap, k float64, m Model, flat float64) (float64, error) {
	dh, hm := g.Draft(), g.MeanThickness()
	l := math.Sqrt(flat * dh)
	*r = Result{Contact: l, Flat: flat, Lever: 0.5}
	a := Arc{Entry: g.Entry, Exit: g.Exit, Radius: g.Radius, Flat: flat, Friction: g.Friction, Stress: k, Back: g.Back, Front: g.Front}
	var own *RigidGap // a model that has torque and neutral point itself
	switch m {
	case AverageStress:
		r.Factor = 1
	case AverageFriction:
		r.Factor = KalpakjianFactor(g.Friction, l, hm)
	case Sliding:
		r.Factor = FrictionHill(g.Friction, l, hm)
	case Sticking:
		r.Factor = StickingHill(l, hm)
	case Mixed:
		r.Factor = MixedHill(g.Friction, l, hm)
	case SimsModel:
		s := SolveSims(flat, g.Entry, g.Exit)
		r.Factor = s.Qp
		own = &RigidGap{Force: s.ForcePerWidth(k, l), Torque: s.TorquePerWidth(k, g.Radius, flat), Neutral: s.NeutralAngle, Slip: s.Slip, Skids: !(s.NeutralAngle > 0)}
	case MeanPressure:
		r.Factor = MeanPressureFactor(l, g.Entry, g.Exit)
		r.Lever = MeanPressureLever / 2
	case ShidaAwazuhara:
		r.Factor = ShidaAwazuharaFactor(flat, g.Entry, g.Exit)
	case EkelundModel:
		r.Factor = EkelundFactor(g.Friction, l, g.Entry, g.Exit)
	case BlandFordModel:
		x := a.BlandFord()
		own = &x
	case HillModel:
		x := a.Hill()
		own = &x
	case SlabModel:
		x := a.slab()
		own = &x
	}
	fw, tw := k*l*r.Factor, 0.0
	if own != nil {
		fw, tw = own.Force, own.Torque
		r.Factor = fw / (k * l)
		r.Neutral, r.Slip, r.Skids = own.Neutral, own.Slip, own.Skids
		r.Lever = tw / (fw * l) * flat / g.Radius
	} else {
		// The force acts on the flattened arc; the real radius turns.
		tw = fw * l * r.Lever * g.Radius / flat
	}
	r.Pressure = fw / l
	r.Force, r.Torque = fw*g.Width, tw*g.Width
	if !(r.Force > 0 && r.Force < 1e18 && math.Abs(r.Torque) < 1e18) || !finite(r.Slip) {
		return 0, refuse("a pass from %g to %g m on rolls of %g m by the %v model comes to a force of %g N", g.Entry, g.Exit, flat, m, r.Force)
	}
	return fw, nil
}

// Pass is a pass of a material of which a law of flow stress is known.
type Pass struct {
	Gap
	Law    Law
	Speed  float64 // roll surface, m/s; laws that know no rate need none
	TempC  float64 // mean of the stock
	Before float64 // strain from earlier passes that the stock still carries
	// PlaneStrain counts strains and stress 2/sqrt 3 times (von Mises): what models
	// of the roll gap want. Without it they are those of simple tension, as most
	// textbooks reckon.
	PlaneStrain bool
	Model       Model
	Rolls       Rolls
}

// PassResult is a solved pass.
type PassResult struct {
	Result
	Strain float64 // of the pass, as the law takes it
	Rate   float64 // mean strain rate, 1/s, as the law takes it
	Stress float64 // mean flow stress, Pa, in simple tension
	Power  float64 // of both rolls, W
}

// Solve solves a pass. A law outside its range, and all that [Solve] refuses, is
// an error. Hot laws count strain from the entry of each pass: leave Before zero.
func (p Pass) Solve() (PassResult, error) {
	if p.Law == nil {
		return PassResult{}, refuse("a pass without a law of flow stress")
	}
	if !(p.Speed >= 0 && p.Speed <= 1e3) || !(p.Before >= 0) {
		return PassResult{}, refuse("a roll speed of %g m/s after a strain of %g", p.Speed, p.Before)
	}
	if err := check(&p.Gap, 2e10, p.Model); err != nil {
		return PassResult{}, err
	}
	f := 1.0
	if p.PlaneStrain {
		f = 2 / math.Sqrt(3)
	}
	r := PassResult{Strain: math.Log(p.Entry / p.Exit)}
	strain := r.Strain
	// Hot laws are mean stresses of rolled steel fitted on ln(h1/h2): they take it
	// as it is.
	switch p.Law.(type) {
	case Shida, Misaka:
	default:
		strain *= f
	}
	capped, err := p.Rolls.flatten(p.Radius, p.Draft(), func(flat float64) (float64, error) {
		r.Rate = StrainRate(p.Speed, ContactLength(flat, p.Draft()), p.Entry, p.Exit) * strain / math.Log(p.Entry/p.Exit)
		y, err := p.Law.Mean(p.Before, p.Before+strain, r.Rate, p.TempC)
		if err != nil {
			return 0, err
		}
		r.Stress = y
		if err := check(&p.Gap, f*y, p.Model); err != nil {
			return 0, err
		}
		return r.arc(&p.Gap, f*y, p.Model, flat)
	})
	if err != nil {
		return PassResult{}, err
	}
	r.Capped = capped
	r.Strain = strain
	r.Power = r.Result.Power(p.Speed, p.Radius)
	return r, nil
}
