package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

// routeWidth is the widest line of the text.
const routeWidth = 100

// routeText writes the way of one slab as a page: the product and the total time,
// the steps, the passes, what limits.
func routeText(j *works.Journey) string {
	w := routePage{}
	w.head(j)
	w.steps(j)
	w.passes(j)
	w.stands(j)
	w.coldStands(j)
	w.facts(j)
	w.limits(j)
	w.tables(j)
	w.para("", "Planning aid; it controls nothing.")
	return w.String()
}

// routePage collects lines.
type routePage struct{ strings.Builder }

func (w *routePage) line(format string, a ...any) {
	w.WriteString(strings.TrimRight(fmt.Sprintf(format, a...), " ") + "\n")
}

// para writes a heading and text behind it, wrapped and hanging.
func (w *routePage) para(heading, text string) {
	indent := 0
	if heading != "" {
		indent = 12
		heading = fmt.Sprintf("%-12s", heading)
	}
	for i, l := range routeWrap(text, routeWidth-indent) {
		if i > 0 {
			heading = strings.Repeat(" ", indent)
		}
		w.line("%s%s", heading, l)
	}
}

func routeWrap(text string, width int) []string {
	var out []string
	cur, n := "", 0
	for _, word := range strings.Fields(text) {
		l := len([]rune(word))
		switch {
		case n == 0:
			cur, n = word, l
		case n+1+l > width:
			out = append(out, cur)
			cur, n = word, l
		default:
			cur, n = cur+" "+word, n+1+l
		}
	}
	return append(out, cur)
}

// routeClock writes seconds since casting as hours, minutes and seconds.
func routeClock(s float64) string {
	t := int(math.Round(s))
	return fmt.Sprintf("%d:%02d:%02d", t/3600, t/60%60, t%60)
}

// routeTakes writes what a step takes: seconds where minutes would hide something.
func routeTakes(s float64) string {
	if s < 600 {
		return quantity.FormatNumber(s, 0) + " s"
	}
	return quantity.FormatDuration(s)
}

// routeUnit gives a caster or furnace its kind where the works calls it by a short name.
func routeUnit(j *works.Journey, name string) string {
	switch {
	case name == j.Caster.Name && !strings.Contains(strings.ToLower(name), "cast"):
		return "caster " + name
	case name == j.Furnace.Name && !strings.Contains(strings.ToLower(name), "furnace"):
		return "furnace " + name
	}
	return name
}

// routeVerdict is the way in one sentence.
func routeVerdict(j *works.Journey) string {
	if b := j.Broken; b != nil {
		return fmt.Sprintf("%s cannot be made: its way ends before the %s, %s from the mould", j.Product, routeUnit(j, b.Step), quantity.FormatDuration(j.TotalS))
	}
	s := fmt.Sprintf("%s takes %s from the mould until it is fit for %s", j.Product, quantity.FormatDuration(j.TotalS), j.ReadyFor)
	if j.Narrowest != "" {
		verb := "limits"
		if strings.HasSuffix(j.Narrowest, "bases") {
			verb = "limit"
		}
		s += fmt.Sprintf("; of this product alone the %s %s at %s t/h", routeUnit(j, j.Narrowest), verb, quantity.FormatNumber(j.NarrowestTH, 0))
	}
	if t := j.Tight; t.Share > 0 {
		s += fmt.Sprintf("; the tightest limit is %s in %s, %.0f %%", t.Limit, routeAt(t), t.Share*100)
	}
	return s
}

// routeAt names a pass or a stand.
func routeAt(t works.JourneyTight) string {
	switch t.Step {
	case "rougher":
		return fmt.Sprintf("roughing pass %d", t.At)
	case "finishing train":
		return fmt.Sprintf("finishing stand %d", t.At)
	case "cold mill":
		return fmt.Sprintf("cold-mill stand %d", t.At)
	}
	return "the " + t.Step
}

func (w *routePage) head(j *works.Journey) {
	w.para("", routeVerdict(j)+".")
	piece := fmt.Sprintf("%s, %s, hot band %.4g x %.0f mm", j.Product, j.Grade, j.ThicknessMM, j.WidthMM)
	if len(j.ColdStands) > 0 {
		piece += fmt.Sprintf(", cold rolled to %.4g mm", j.ColdMill.ExitMM)
	}
	if j.FinalT > 0 {
		piece += fmt.Sprintf(", a coil of %.1f t", j.FinalT)
	}
	name := j.Works
	if j.Invented {
		name += ", an invented works"
	}
	w.para("", fmt.Sprintf("%s; %s; one slab of %.0f x %.0f mm x %.1f m, %.1f t, without queues; full physics, no tables", piece, name, j.SlabMM, j.WidthMM, j.SlabM, j.SlabT))
	if b := j.Broken; b != nil {
		w.line("")
		w.para("STOPS", b.Text)
		if b.Limit != "" && b.AllowedSI != 0 {
			if b.OverShare > 9 { // a solution that has run away; its size means nothing
				w.para("", b.Limit+" more than ten times what is allowed")
			} else {
				w.para("", fmt.Sprintf("%s %.1f %% beyond what is allowed", b.Limit, math.Abs(b.OverShare)*100))
			}
		}
	}
}

func (w *routePage) steps(j *works.Journey) {
	w.line("")
	w.line("%-16s %9s %8s %6s %7s %6s  %s", "STEP", "done at", "takes", "C out", "mm out", "t/h", "what sets it")
	for i := range j.Steps {
		s := &j.Steps[i]
		rate, out := "-", "-"
		if s.RateTH > 0 {
			rate = quantity.FormatNumber(s.RateTH, 0)
		}
		if !s.NotComputed {
			out = quantity.FormatNumber(s.OutC, 0)
		}
		front := fmt.Sprintf("%-16s %9s %8s %6s %7s %6s  ", routeUnit(j, s.Name), routeClock(s.BeginsS+s.TakesS), routeTakes(s.TakesS), out, fmt.Sprintf("%.4g", s.ThicknessMM), rate)
		pad := len([]rune(front))
		for k, l := range routeWrap(s.Limit, routeWidth-pad) {
			if k > 0 {
				front = strings.Repeat(" ", pad)
			}
			w.line("%s%s", front, l)
		}
	}
}

func (w *routePage) passes(j *works.Journey) {
	if len(j.Passes) == 0 {
		return
	}
	w.line("")
	w.line("%-5s %7s %7s %7s %6s %6s %6s %6s %7s %7s %7s  %s", "PASS", "mm", "long m", "time s", "m/s", "C in", "C out", "MN", "force", "torque", "power", "draft nearest to")
	for i := range j.Passes {
		p := &j.Passes[i]
		w.line("%-5d %7.1f %7.1f %7.1f %6.2f %6.0f %6.0f %6.1f %5.0f %% %5.0f %% %5.0f %%  %s %.0f %%", i+1, p.ThicknessMM, p.LengthM, p.TakesS, p.SpeedMS, p.InC, p.OutC,
			p.ForceMN, p.ForceShare*100, p.TorqueShare*100, p.PowerShare*100, p.Limit, p.LimitShare*100)
	}
}

func (w *routePage) stands(j *works.Journey) {
	if len(j.Stands) == 0 {
		return
	}
	w.line("")
	w.line("%-5s %7s %7s %7s %6s %6s %6s %7s %7s %7s  %s", "STAND", "mm", "m/s", "MW", "C head", "C tail", "MN", "force", "speed", "power", "nearest to")
	for i := range j.Stands {
		p := &j.Stands[i]
		w.line("%-5d %7.2f %7.2f %7.1f %6.0f %6.0f %6.1f %5.0f %% %5.0f %% %5.0f %%  %s %.0f %%", i+1, p.ThicknessMM, p.SpeedMS, p.PowerMW, p.HeadC, p.TailC,
			p.ForceMN, p.ForceShare*100, p.SpeedShare*100, p.PowerShare*100, p.Limit, p.LimitShare*100)
	}
}

func (w *routePage) coldStands(j *works.Journey) {
	if len(j.ColdStands) == 0 {
		return
	}
	w.line("")
	w.line("%-5s %6s %6s %6s %6s %6s %7s %7s %7s %6s %5s  %s", "COLD", "mm", "m/s", "MPa", "MN", "MW", "force", "speed", "power", "R'/R", "K", "nearest to")
	for i := range j.ColdStands {
		p := &j.ColdStands[i]
		w.line("%-5d %6.3f %6.2f %6.0f %6.1f %6.1f %5.0f %% %5.0f %% %5.0f %% %6.2f %5.0f  %s %.0f %%", i+1, p.ThicknessMM, p.SpeedMS, p.FrontMPa, p.ForceMN, p.PowerMW,
			p.ForceShare*100, p.SpeedShare*100, p.PowerShare*100, p.Flattening, p.WarmingK, p.Limit, p.LimitShare*100)
	}
}

// reached says whether the slab has gone through the step.
func routeReached(j *works.Journey, name string) bool {
	return slices.ContainsFunc(j.Steps, func(s works.JourneyStep) bool { return s.Name == name })
}

func (w *routePage) facts(j *works.Journey) {
	w.line("")
	c := &j.Caster
	w.para("CASTING", fmt.Sprintf("shell %.1f mm at the mould exit, %.1f above the least of %.1f; solid %.1f m below the meniscus, supported to %.1f; "+
		"the shell allows %.2f m/min, solidification %.2f, people ask for %.2f at most; "+
		"ladle %.0f K above the liquidus of %.0f C when opened, for %s of casting; %.0f K on a new tundish",
		c.MouldShellMM, c.MouldShellMM-c.LeastShellMM, c.LeastShellMM, c.SolidM, c.SupportedM, c.MouldMS*60, c.SolidMS*60, c.WantedMS*60, c.AboveC, c.LiquidusC, quantity.FormatDuration(c.CastS), c.AboveFirstC))
	if f := &j.Furnace; routeReached(j, f.Name) {
		w.para("FURNACE", fmt.Sprintf("charged at %.0f C; at %.0f C after %.2f h, drawn after %.2f h at %.0f C, surface %.0f K above the centre; "+
			"scale %.1f mm, %.2f %% of the steel; fuel %.2f GJ/t, %.0f kg CO2/t",
			f.ChargeC, f.AskedC, f.ToHeatS/3600, f.ResidenceS/3600, f.MeanC, f.UnevenC, f.ScaleMM, f.LossShare*100, f.FuelGJT, f.CO2KgT))
	}
	if routeReached(j, "rougher") {
		d, r := &j.Descale, &j.Rough
		w.para("ROUGHING", fmt.Sprintf("loses %.0f K in air and %.1f K under water on the way; bar %.0f mm x %.0f m, head %.0f C, tail %.0f C; %.1f kWh/t",
			d.AirC, d.WaterC, r.BarMM, r.BarM, r.HeadC, r.TailC, r.KWhT))
	}
	if routeReached(j, "finishing train") {
		f := &j.Finish
		w.para("FINISHING", fmt.Sprintf("enters at %.0f C head, %.0f C tail; leaves at %.0f, body %.0f, tail %.0f C (asked %.0f to %.0f); "+
			"threads at %.1f, runs at %.1f, tails out at %.1f m/s; strip %.0f m; %.0f kWh/t",
			f.EntryHeadC, f.EntryTailC, f.HeadC, f.BodyC, f.TailC, f.AskedLowC, f.AskedHighC, f.ThreadMS, f.TopMS, f.TailMS, f.StripM, f.KWhT))
	}
	if c := &j.Coil; routeReached(j, "coil yard") {
		r := &j.RunOut
		w.para("COIL", fmt.Sprintf("coiled at %.0f C (asked %.0f) with %d of %d banks; %.1f t, %.2f m outside; hottest place at %.0f C %s after stripping; %.2f t lost as scale and crops",
			r.CoilC, r.AskedC, r.Banks, r.Fitted, c.MassT, c.OuterMM/1e3, c.AimC, routeHours(c.CoolS), c.MassLost))
	}
	w.coldFacts(j)
}

// routeHours writes a long time in hours, so that two can be compared.
func routeHours(s float64) string { return quantity.FormatNumber(s/3600, 1) + " h" }

func (w *routePage) coldFacts(j *works.Journey) {
	if k := &j.Pickle; routeReached(j, "pickle line") && k.SpeedMS > 0 {
		w.para("PICKLING", fmt.Sprintf("%.1f s in acid, %.1f s needed; %.2f m/s by %s; a weld draws %.0f of the %.0f m in the entry looper, refilled in %.0f s, "+
			"a coil change puts %.0f of %.0f m into the exit looper; strip may stand %.0f s in acid; %.2f t lost to acid and trim",
			k.HadS, k.NeedS, k.SpeedMS, k.Limit, k.WeldDrawM, k.LooperM, k.RefillS, k.ChangeTakeM, k.ExitLooperM, k.PatienceS, k.LostT))
	}
	if k := &j.ColdMill; routeReached(j, "cold mill") {
		w.para("COLD MILL", fmt.Sprintf("%.4g to %.4g mm, %.0f mm wide, %.0f MPa before stand 1 (MPa above: behind the stand); enters at %.1f, leaves at %.1f m/s; "+
			"thread %.0f s, rolling %.0f s, tail %.0f s; %.0f m off gauge; %.0f kWh/t; all tension lost: force at most %.0f %% of its limit",
			k.EntryMM, k.ExitMM, k.WidthMM, k.BackMPa, k.EntryMS, k.TopMS, k.ThreadS, k.MovingS, k.TailS, k.OffGaugeM, k.KWhT, 100*routeLoosest(j)))
	}
	if k := &j.Anneal; routeReached(j, "anneal bases") {
		w.para("ANNEALING", fmt.Sprintf("%s, stack of %d, %.0f t; %.1f W/mK across the wraps; bell %s to %.0f C in the cold spot, hottest %.0f C; "+
			"cooler %s to %.0f C; handling %s; on the base %s in all; floor %s to %.0f C (temper mill takes %.0f C)",
			k.Gas, k.StackCoils, k.StackT, k.RadialK, routeHours(k.HeatS), k.ColdC, k.HotC, routeHours(k.CoolS), k.UncoverC, routeHours(k.HandlingS), routeHours(k.BaseS), routeHours(k.FloorS), k.FloorC, k.TakesC))
	}
	if k := &j.Temper; routeReached(j, "temper mill") {
		w.para("TEMPER MILL", fmt.Sprintf("%.1f %% longer, %.3f mm; %.1f MN, %.0f %% of the limit; %.0f s at up to %.1f m/s and %.0f s coil change; %.2f t off gauge",
			k.Elongation*100, k.ThicknessMM, k.ForceMN, k.ForceShare*100, k.RollS, k.TopMS, k.ChangeS, k.LostT))
	}
}

// routeLoosest is the greatest share of a cold stand's force when the strip hangs loose.
func routeLoosest(j *works.Journey) float64 {
	most := 0.0
	for i := range j.ColdStands {
		most = math.Max(most, j.ColdStands[i].LooseShare)
	}
	return most
}

// limits names the narrowest steps for this product alone.
func (w *routePage) limits(j *works.Journey) {
	var list []*works.JourneyStep
	for i := range j.Steps {
		if j.Steps[i].RateTH > 0 {
			list = append(list, &j.Steps[i])
		}
	}
	slices.SortStableFunc(list, func(a, b *works.JourneyStep) int { return cmp.Compare(a.RateTH, b.RateTH) })
	if len(list) == 0 {
		return
	}
	text := ""
	for i, s := range list[:min(3, len(list))] {
		switch i {
		case 0:
			text = fmt.Sprintf("with this product alone narrowest: %s with %s", routeUnit(j, s.Name), quantity.FormatNumber(s.RateTH, 0))
		case 1:
			text += fmt.Sprintf("; then %s with %s", routeUnit(j, s.Name), quantity.FormatNumber(s.RateTH, 0))
		default:
			text += fmt.Sprintf(" and %s with %s", routeUnit(j, s.Name), quantity.FormatNumber(s.RateTH, 0))
		}
	}
	w.line("")
	w.para("LIMITS", fmt.Sprintf("%s t/h, all units of a kind together; with the whole mix the %s limits, %s t/h of slabs", text, j.MixLimit, quantity.FormatNumber(j.MixTH, 0)))
}

// tables gives what a run's tables say where they are further off than is stated for
// them, and says so where none is.
func (w *routePage) tables(j *works.Journey) {
	var parts []string
	for i := range j.Steps {
		s := &j.Steps[i]
		t := s.Table
		if t == nil || !t.Beyond {
			continue
		}
		said := fmt.Sprintf("%s %s (here %s)", routeUnit(j, s.Name), routeTakes(t.TakesS), routeTakes(t.FullS))
		if math.Abs(t.TempOffC) >= 0.05 {
			said += fmt.Sprintf(", %.1f C (here %.1f)", t.OutC, t.FullC)
		}
		parts = append(parts, said)
	}
	if len(parts) == 0 {
		w.para("TABLES", "what a run reads instead of the full physics is within its stated error at every step of this slab")
		return
	}
	w.para("TABLES", "beyond its stated error a run reckons with: "+strings.Join(parts, "; "))
}
