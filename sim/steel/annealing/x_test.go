package annealing
import ("testing";"fmt")
func TestX(t *testing.T) {
	for _, k := range []float64{2,5,10} {
		c := Coil{Width:1.2,OD:1.7,ID:.508,RadialK:k}
		for _, g := range [][2]int{{12,7},{24,14},{40,24}} {
			f,_ := NewCoilField(c,20,g[0],g[1])
			r := CommonRecipe(HN())
			tot:=0.
			fmt.Print(k, g, f.StableStep(40), " ")
			for _, to := range []float64{600,650,680,690} {
				r2 := r; r2.RampTime -= tot; if r2.RampTime<0 {r2.RampTime=0}
				f,_ = NewCoilField(c,20,g[0],g[1])
				x,err := f.Heat(r, to)
				_=err
				fmt.Printf("%.2f ", x/3600)
			}
			f,_ = NewCoilField(c,700,g[0],g[1])
			tot=0
			for _, to := range []float64{160,100,60} { x,_ := f.Cool(40,40,to); tot+=x; fmt.Printf("| %.2f ", tot/3600) }
			fmt.Println()
		}
	}
}
func BenchmarkT(b *testing.B) { for b.Loop() { CoilTimes(Coil{Width:1.2,OD:1.7,ID:.508,RadialK:10}, CommonRecipe(HN())) } }
