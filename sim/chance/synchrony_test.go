package chance

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// line is the little works of crn_synchronisation_measured.csv: two stations with
// a buffer between them and blocking after service; both fail.
type line struct {
	buffer      int
	mtbf, mttr  [2]float64
	onCalendar  bool // failures on calendar time instead of operating time
	pieces      int
	serve, mend [2]Law // standard: scaled to the means
}

// draw gives the uniform of a purpose (0 service, 1 life, 2 repair), station and
// index; how is the discipline.
type draw func(purpose Purpose, station int, index uint64) float64

func oneStream(l Luck) draw {
	n := uint64(0)
	return func(Purpose, int, uint64) float64 { n++; return l.Uniform(99, 0, n) }
}

func keyed(l Luck) draw {
	return func(p Purpose, station int, index uint64) float64 { return l.Uniform(p, uint64(station), index) }
}

// makespan plays the line event by event, drawing when a thing happens: the time at
// which the last piece leaves.
func (c *line) makespan(u draw) float64 {
	type station struct {
		doing            int     // piece in service, -1 none
		left             float64 // of its service
		life             float64 // operating or calendar time to the next failure
		repair           float64 // left of it, 0 when up
		blocked          bool
		served, failures uint64
	}
	var s [2]station
	for i := range s {
		s[i].doing = -1
		s[i].life = c.mtbf[i] * -math.Log1p(-u(1, i, 0))
	}
	start := func(i, piece int) {
		s[i].doing, s[i].left = piece, c.serve[i].Quantile(u(0, i, uint64(piece)))
	}
	now, waiting, fed, done := 0.0, 0, 0, 0
	for done < c.pieces {
		// what can be done now
		for again := true; again; {
			again = false
			if s[1].doing < 0 && waiting > 0 {
				waiting--
				start(1, int(s[1].served))
				again = true
			}
			if s[0].blocked && (waiting < c.buffer || s[1].doing < 0) {
				s[0].blocked, s[0].doing = false, -1
				waiting++
				again = true
			}
			if s[0].doing < 0 && fed < c.pieces {
				start(0, fed)
				fed++
				again = true
			}
		}
		// the next event
		next, who, what := math.Inf(1), -1, 0
		see := func(d float64, i, w int) {
			if d < next {
				next, who, what = d, i, w
			}
		}
		for i := range s {
			works := s[i].doing >= 0 && !s[i].blocked
			switch {
			case s[i].repair > 0:
				see(s[i].repair, i, 2)
			case works:
				see(s[i].left, i, 0)
				see(s[i].life, i, 1)
			case c.onCalendar:
				see(s[i].life, i, 1)
			}
		}
		now += next
		for i := range s {
			switch works := s[i].doing >= 0 && !s[i].blocked; {
			case s[i].repair > 0:
				s[i].repair -= next
			case works:
				s[i].left -= next
				s[i].life -= next
			case c.onCalendar:
				s[i].life -= next
			}
		}
		w := &s[who]
		switch what {
		case 0:
			w.served++
			if who == 1 {
				w.doing = -1
				done++
			} else {
				w.blocked = true // until the top of the loop finds room
			}
		case 1:
			w.repair = c.mttr[who] * c.mend[who].Quantile(u(2, who, w.failures))
			w.failures++
			w.life = c.mtbf[who] * -math.Log1p(-u(1, who, w.failures))
		case 2:
			w.repair = 0
		}
	}
	return now
}

// lognormalOf has a mean and a coefficient of variation.
func lognormalOf(mean, cv float64) Law {
	s2 := math.Log1p(cv * cv)
	median := mean * math.Exp(-s2/2)
	return must(Lognormal(median, median*math.Exp(math.Sqrt(s2)*zOneInTen)))
}

// Two works that differ by one lever, under the same luck: with keyed draws the
// variance of the difference is a few hundredths of what independent luck would
// give, with one stream in order of events hardly less. A larger buffer or shorter
// repairs never finish later (operating-time failures, keyed draws): not one
// violation. Against the figures another program measured, with bands for the
// sampling of both. (The file's mean time is for 1000 pieces, its differences are for
// all 2000.)
func TestSynchronyAgainstMeasured(t *testing.T) {
	futures := 100
	if os.Getenv("MILLRACE_NIGHTLY") != "" {
		futures = 2000
	}
	base := line{buffer: 5, mtbf: [2]float64{80, 80}, mttr: [2]float64{8, 8}, pieces: 2000,
		serve: [2]Law{lognormalOf(1, 0.3), lognormalOf(0.98, 0.3)}, mend: [2]Law{lognormalOf(1, 1), lognormalOf(1, 1)}}
	change := map[string]func(*line){
		"buffer 5 vs 10":           func(c *line) { c.buffer = 10 },
		"mttr of unit 1 8 vs 6":    func(c *line) { c.mttr[0] = 6 },
		"mtbf of unit 1 80 vs 100": func(c *line) { c.mtbf[0] = 100 },
	}
	type discipline struct {
		stream     func(Luck) draw
		onCalendar bool
	}
	times := map[string][]float64{}
	play := func(name string, c line, d discipline) []float64 {
		if x := times[name]; x != nil {
			return x
		}
		c.onCalendar = d.onCalendar
		x := make([]float64, futures)
		for r := range x {
			x[r] = c.makespan(d.stream(Luck{404, uint64(r)}))
		}
		times[name] = x
		return x
	}
	moments := func(x []float64) (mean, variance float64) {
		for _, v := range x {
			mean += v / float64(len(x))
		}
		for _, v := range x {
			variance += (v - mean) * (v - mean) / float64(len(x)-1)
		}
		return mean, variance
	}
	n := float64(futures)
	seen := 0
	for _, row := range rows(t, "crn_synchronisation_measured.csv") {
		var v [5]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(row[2+i], 64)
		}
		meanTime, meanDiff, sdDiff, ratio, slower := v[0], v[1], v[2], v[3], v[4]
		d, name := discipline{keyed, false}, "keyed"
		switch {
		case strings.HasPrefix(row[1], "one stream"):
			d, name = discipline{oneStream, false}, "one stream"
		case strings.Contains(row[1], "calendar-time"):
			d, name = discipline{keyed, true}, "calendar"
		}
		x := play(name, base, d)
		other := base
		change[row[0]](&other)
		y := play(name+row[0], other, d)
		diff := make([]float64, futures)
		worse := 0
		for r := range x {
			diff[r] = y[r] - x[r]
			if diff[r] > 1e-9 {
				worse++
			}
		}
		mx, vx := moments(x)
		_, vy := moments(y)
		md, vd := moments(diff)
		what := row[0] + ", " + row[1]
		got := vd / (vx + vy)
		t.Logf("%s: ratio %.4f (%v), difference %.2f (%v), slower %d of %d (%v of 2000)", what, got, ratio, md, meanDiff, worse, futures, slower)
		// 4.9 standard errors of both means (theirs of 2000)
		if limit := 4.9 * math.Sqrt(vx/n+vx/2000); math.Abs(mx-2*meanTime) > limit {
			t.Errorf("%s: mean time %.2f, measured %.2f, limit %.2f", what, mx, 2*meanTime, limit)
		}
		if limit := 4.9 * sdDiff * math.Sqrt(1/n+1./2000); math.Abs(md-meanDiff) > limit {
			t.Errorf("%s: mean difference %.2f, measured %.2f, limit %.2f", what, md, meanDiff, limit)
		}
		// A ratio of variances of n has a relative standard error of about 2/sqrt(n),
		// more for skewed ones; their own is 4 %.
		if limit := math.Log1p(6/math.Sqrt(n) + 0.2); math.Abs(math.Log(got/ratio)) > limit {
			t.Errorf("%s: ratio %.4f, measured %.4f, factor allowed %.2f", what, got, ratio, math.Exp(limit))
		}
		p := slower / 2000
		if math.Abs(float64(worse)-n*p) > 4.9*math.Sqrt(n*p*(1-p)*(1+n/2000))+2 {
			t.Errorf("%s: slower %d of %d, measured %v of 2000", what, worse, futures, slower)
		}
		if name == "keyed" && got > 0.2 {
			t.Errorf("%s: keyed draws leave %.2f of the variance", what, got)
		}
		if name == "keyed" && slower == 0 && worse > 0 {
			t.Errorf("%s: %d violations of the sample-path inequality", what, worse)
		}
		seen++
	}
	if seen != 12 {
		t.Error(seen, "rows")
	}
}
