package chance_test

import (
	"fmt"

	"millrace/sim/chance"
)

// Bearings on test, millions of turns to failure (Lieblein & Zelen 1956): the
// published Weibull fit is shape 2.102, scale 81.88.
func ExampleFitWeibull() {
	f, err := chance.FitWeibull(chance.Spells(
		17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.48, 51.84, 51.96, 54.12, 55.56, 67.80,
		68.64, 68.64, 68.88, 84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("shape %.3f, scale %.2f, log-likelihood %.2f\n", f.Shape, f.Scale, f.LogLikelihood)
	fmt.Println(f.Law)
	// Output:
	// shape 2.102, scale 81.88, log-likelihood -113.69
	// weibull { shape = 2.10206, scale = 81.8783 }
}

// A repair that was still open when the log ended counts for what it had lasted.
func ExampleFitLognormal() {
	repairs := append(chance.Spells(2, 3.5, 4, 6, 11), chance.Spell{Length: 20, Open: true})
	all, _ := chance.FitLognormal(repairs)
	closed, _ := chance.FitLognormal(repairs[:5])
	fmt.Printf("one in ten lasts longer than %.0f h; without the open one: %.0f h\n",
		all.Law.Quantile(0.9), closed.Law.Quantile(0.9))
	// Output: one in ten lasts longer than 19 h; without the open one: 9 h
}

func ExampleKaplanMeier() {
	steps, _ := chance.KaplanMeier([]chance.Spell{{Length: 2}, {Length: 3, Open: true}, {Length: 5}, {Length: 5}, {Length: 8}}, 0.95)
	for _, s := range steps {
		fmt.Printf("%v h: %d at risk, %.3f last longer\n", s.Time, s.AtRisk, s.Survival)
	}
	// Output:
	// 2 h: 5 at risk, 0.800 last longer
	// 3 h: 4 at risk, 0.800 last longer
	// 5 h: 3 at risk, 0.267 last longer
	// 8 h: 1 at risk, 0.000 last longer
}

func ExampleBootstrap() {
	g, _ := chance.Bootstrap(chance.KindExponential, []float64{
		17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.48, 51.84, 51.96, 54.12, 55.56, 67.80,
		68.64, 68.64, 68.88, 84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40}, 999, chance.Luck{Seed: 1}, 1)
	fmt.Printf("A2 %.3f; so far from an exponential law in %.1f %% of samples of one\n", g.Distances.A2, 100*g.ShareA2)
	// Output: A2 2.811; so far from an exponential law in 0.2 % of samples of one
}

// Plans that act differently meet the same luck: a draw depends on its key alone.
func ExampleLuck_Draw() {
	luck := chance.Luck{Seed: 2031, Future: 17}
	repair, _ := chance.Lognormal(11, 26) // hours: median, and what one in ten exceeds
	const repairLength, mill = 1, 7
	third := luck.Draw(repair, repairLength, mill, 3)
	shorter := luck.Draw(repair.Scale(0.75), repairLength, mill, 3)
	fmt.Printf("%.2f h; with spare parts at hand %.2f h\n", third, shorter)
	// Output: 15.71 h; with spare parts at hand 11.78 h
}

// Do repair times suit a lognormal law? A2 above the critical value of a law that
// was fitted to the same values would speak against it at 5 %.
func ExampleFit_Judged() {
	hours := []float64{3.5, 6.4, 9.4, 10.2, 10.5, 11.6, 14.7, 17.2, 17.3, 19.3, 20.4, 20.9, 22.9, 23.5, 24.3, 28.2, 30.1, 32.4, 33.8, 53.5}
	fit, _ := chance.FitLognormal(chance.Spells(hours...))
	law, how, _ := fit.Judged()
	d, _ := chance.Distance(law, hours)
	limit, _ := chance.CriticalA2(how, len(hours), 0.95)
	fmt.Printf("%v: A2 %.3f, critical %.3f\n", how, d.A2, limit)
	// Output: fitted lognormal: A2 0.347, critical 0.721
}
