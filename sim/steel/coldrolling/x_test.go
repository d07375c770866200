package coldrolling
import ("testing";"fmt")
func mill() Mill {
	m := Mill{Efficiency: 0.92, Accel: .5, Decel: .5, ThreadSpeed: 1, ThreadLength: 30, WeldSpeed: 6, WeldLength: 60, MaxExit: 25}
	for i := range 5 {
		m.Stands = append(m.Stands, Stand{RollRadius: .25, MaxForce: 20e6, MaxPower: 5e6, MaxSpeed: []float64{12,16,20,24,26}[i], Friction: []float64{.07,.06,.05,.04,.05}[i], MaxReduction:.42})
	}
	m.Stands[4].LoadShare=.6
	m.Tensions = []float64{40e6,130e6,150e6,170e6,180e6,45e6}
	return m
}
func TestY(t *testing.T) {
	for _, c := range []Strip{{EntryThickness:2.5e-3,ExitThickness:.8e-3,Width:1.25},{EntryThickness:3.2e-3,ExitThickness:.7e-3,Width:1.4},{EntryThickness:2.2e-3,ExitThickness:.5e-3,Width:1.0},{EntryThickness:2.5e-3,ExitThickness:.2e-3,Width:1.0},{EntryThickness:2.5e-3,ExitThickness:.7e-3,Width:1.2},{EntryThickness:2.5e-3,ExitThickness:2e-3,Width:1.2}} {
	 for _,mo:=range []Model{Hill,BlandFord} {
		m := mill(); m.Model=mo
		r, err := m.Schedule(c)
		fmt.Println(c, err, r.ExitSpeed, r.Limit, r.LimitStand, r.Rate*3.6)
		for _, s := range r.Stands { fmt.Printf("   %.3f->%.3f r %.3f k %.0f F %.2f loose %.2f T %.1f P %.2f v %.2f R %.2f dT %.0f use %.2f %s\n", s.Entry*1e3, s.Exit*1e3, s.Reduction, s.Stress/1e6, s.Force/1e6, s.LooseForce/1e6, s.Torque/1e3, s.Power/1e6, s.Speed, s.Flattening, s.Warming, s.Use, s.Binds) }
	 }
	}
	ct, err := mill().CoilTime(3033,20,1)
	fmt.Println(ct, ct.Total(), err)
}
func BenchmarkH(b *testing.B) { m:=mill(); for b.Loop() { m.Schedule(Strip{EntryThickness:2.5e-3,ExitThickness:.7e-3,Width:1.2}) } }
func BenchmarkB(b *testing.B) { m:=mill(); m.Model=BlandFord; for b.Loop() { m.Schedule(Strip{EntryThickness:2.5e-3,ExitThickness:.7e-3,Width:1.2}) } }
