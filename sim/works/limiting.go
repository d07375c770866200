package works

// Limiter is a unit, or several that hand pieces on without a store between them and
// so stand and run as one, that can limit the works.
type Limiter struct {
	Name  string
	Units []int
}

// Limiters are the units that can limit the works. Those that people pace by the
// stocks before and behind them (iron supply, steel shop, pickle line, cold mill,
// dispatch) always seem at work and are left out, as are cranes and conveyors, whose
// work is that of the units they serve.
func (p *Plant) Limiters() []Limiter {
	k := &p.u
	var out []Limiter
	one := func(u int) { out = append(out, Limiter{p.Route.Units[u].Name, []int{u}}) }
	for c := range p.Spec.Casters {
		one(k.caster + c)
	}
	furnaces := Limiter{Name: "furnaces"}
	for f := range p.Spec.Furnaces {
		furnaces.Units = append(furnaces.Units, k.furnace+f)
	}
	out = append(out, furnaces, Limiter{"hot mill", []int{k.descaler, k.rougher, k.shear, k.train}})
	coilers := Limiter{Name: "coilers"}
	for c := range p.Spec.Coilers.Names {
		coilers.Units = append(coilers.Units, k.coil+c)
	}
	out = append(out, coilers)
	if p.Spec.Cold != nil {
		one(k.bases)
		one(k.temper)
	}
	return out
}
