package drill

import (
	"math"
	"slices"
	"strings"
	"testing"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// eachTen plays the wreck of Larkfell with the script and nobody's orders and looks every
// ten minutes.
func eachTen(t *testing.T, until calendar.Time, see func(s *session), futures ...uint64) {
	t.Helper()
	sc := wreck(t)
	for _, sc.Future = range append(futures, sc.Future) {
		playTen(t, &sc, until, see)
	}
}

func playTen(t *testing.T, sc *Scenario, until calendar.Time, see func(s *session)) {
	t.Helper()
	s := at(t, sc, rowsOf(t, sc), wreckAt)
	for ; s.now() < until; see(s) {
		if err := s.runTo(s.now() + 10*calendar.Minute); err != nil {
			t.Fatal(err)
		}
	}
}

// After a stop the rows of the line say that the furnaces are cold and when the first slab
// is ready, and then it is drawn. A turnaround ends when its row says.
func TestRowsSayUntilWhen(t *testing.T) {
	alone(t)
	cold, turned, spaced, told, first, heats, rolls := 0, 0, 0, 0, 0, 0, 0
	ready := calendar.Never
	until := map[int]float64{}
	eachTen(t, 61*calendar.Hour, func(s *session) {
		now := s.now().Seconds()
		if s.now() <= wreckAt+10*calendar.Minute { // another future
			ready = calendar.Never
			clear(until)
		}
		waits := s.waits()
		of := func(i int) (bus.Wait, bool) {
			k := slices.IndexFunc(waits, func(x bus.Wait) bool { return x.Row == i })
			if k < 0 {
				return bus.Wait{}, false
			}
			return waits[k], true
		}
		for i := range s.rows {
			state, x := s.meter.last[i].S, &s.rows[i]
			w, ok := of(i)
			if x.unit < 0 {
				if ok {
					t.Errorf("the store %s waits: %+v", x.Name, w)
				}
				continue
			}
			if ok && state == bus.UnitRunning {
				heats++
				if x.Group != furnaces || s.meter.rate(i) > 0 || w.Until == nil || *w.Until < now {
					t.Errorf("%s runs at %.0f t/h and waits: %+v", x.Name, s.meter.rate(i), w)
				}
			}
			if waits := state == bus.UnitBlocked || state == bus.UnitStarved; waits && !ok {
				t.Errorf("at %.1f h %s is %s and its row does not say why", now/3600, x.Name, bus.UnitStates[state])
			}
			train := s.meter.last[rowNamed(s.rows, "finishing train")].S
			if ok && x.Group == rollingLine && train == bus.UnitChangeover && state == bus.UnitStarved {
				if rolls++; !strings.HasSuffix(w.Why, "roll change") || w.Until == nil {
					t.Errorf("rolls are changed, and %s waits because %q", x.Name, w.Why)
				}
			}
			if ok && x.Group == "coilers" && train == bus.UnitDown && !strings.HasSuffix(w.Why, " down") {
				t.Errorf("the train is down, and %s waits because %q", x.Name, w.Why)
			}
			if ok && x.Group == "coilers" && train == bus.UnitMaintenance && !strings.HasPrefix(w.Why, "planned stop") {
				t.Errorf("%s waits because %q", x.Name, w.Why)
			}
			if x.Group == "casters" {
				if end, is := until[i]; is && now >= end+60 && state == bus.UnitChangeover && ok && *w.Until == end {
					t.Errorf("%s is turned round past the end that was said", x.Name)
				} else if is && now < end && state != bus.UnitChangeover && state != bus.UnitDown {
					t.Errorf("at %.2f h %s is %s: it was to be turned round until %.2f h", now/3600, x.Name, bus.UnitStates[state], end/3600)
				}
				delete(until, i)
				if ok && state == bus.UnitChangeover && w.Until != nil {
					until[i] = *w.Until
					turned++
				}
			}
			if ok && strings.Contains(w.Why, "slab yard above") {
				spaced++
				if w.Until != nil {
					t.Errorf("%s waits for a yard that is too high until %.1f h, when that comes down is not known", x.Name, *w.Until/3600)
				}
				if v, _ := s.played.Works().Stock("slab yard"); v.Level < 0.9*s.plant.Spec.Standing.YardHigh {
					t.Errorf("%s waits for a yard of %.0f t", x.Name, v.Level/1000)
				}
			}
			if ok && w.Told {
				told++
				if w.Call == "" || w.Until == nil {
					t.Errorf("told, by whom: %+v", w)
				}
			}
		}
		w, ok := of(rowNamed(s.rows, "descaler"))
		if ok && strings.HasPrefix(w.Why, "furnaces cold") && w.Until != nil {
			if cold++; *w.Until <= now {
				t.Errorf("at %.2f h the first slab was ready at %.2f h", now/3600, *w.Until/3600)
			}
			ready = calendar.Dur(*w.Until)
			last := rowNamed(s.rows, "finishing train")
			if f, ok := of(last); s.meter.last[last].S == bus.UnitStarved && (!ok || f.Why != w.Why) {
				t.Errorf("the descaler waits because %q, the train because %q", w.Why, f.Why)
			}
			for _, k := range s.slabs {
				if k.drawn != nil && s.now()-k.drawn.at < 10*calendar.Minute {
					t.Errorf("at %.2f h a slab was drawn %v ago from cold furnaces", s.now().Hours(), s.now()-k.drawn.at)
				}
			}
		} else if ready != calendar.Never && s.now() > ready {
			drawn := false
			for _, k := range s.slabs {
				drawn = drawn || k.drawn != nil && k.drawn.at >= ready-calendar.Minute
			}
			if !drawn {
				t.Errorf("the first slab was to be ready at %.2f h, and none was drawn then", ready.Hours())
			}
			ready, first = calendar.Never, first+1
		}
	}, 1, 2)
	if cold == 0 || turned == 0 || spaced == 0 || told == 0 || first == 0 || heats == 0 || rolls == 0 {
		t.Errorf("cold %d, turned %d, spaced %d, told %d: not all was met", cold, turned, spaced, told)
	}
}

// Beneath a stop stands what waits because of it: every store between is full towards what
// is before the stop, empty towards what is behind it.
func TestOnlyWhatAStopHoldsUpIsBeneathIt(t *testing.T) {
	held, calls, parts := 0, 0, 0
	eachTen(t, 62*calendar.Hour, func(s *session) {
		w := s.played.Works()
		for _, c := range s.calls {
			if c.page.Closed {
				continue
			}
			calls++
			for _, e := range c.page.Effects {
				held++
				from, to := s.ringOf[e.Row], s.ringOf[c.page.Row]
				if from < 0 || to < 0 {
					t.Errorf("%s is held up by %s: it is beside the route", e.Name, c.page.Unit)
					continue
				}
				if slices.ContainsFunc(s.rings[to].rows, func(i int) bool { return s.meter.rate(i) > 0 }) {
					if parts++; e.Since < c.page.Since-60 {
						t.Errorf("%s %s since %.2f h is held up by %s, which stands since %.2f h, and others beside it work", e.Name, e.State, e.Since/3600, c.page.Unit, c.page.Since/3600)
					}
				}
				for k := min(from, to) + 1; k < max(from, to); k++ {
					if !s.rings[k].store {
						continue
					}
					i := s.rings[k].rows[0]
					x := &s.rows[i]
					if x.Name == "ladles" && e.Name == "steel shop" {
						continue // heats are begun when there is room for their slabs
					}
					v, _ := w.Stock(x.stock)
					spaced := x.Name == "slab yard" && v.Level > 0.9*s.plant.Spec.Standing.YardHigh
					full, dry := from < to, from > to
					if full && !spaced && (x.full < 0 || !w.AtBrink(x.full)) || dry && (x.dry >= 0 && !w.AtBrink(x.dry) || x.dry < 0 && v.Level > 0) {
						t.Errorf("at %.2f h %s %s is held up by %s, and between them %s has %.0f t of %.0f", s.now().Hours(), e.Name, e.State, c.page.Unit, x.Name, v.Level/1000, v.Room/1000)
					}
				}
			}
		}
	}, 1, 2)
	if held < 100 || calls < 20 || parts == 0 {
		t.Errorf("%d units held up in %d looks at a stop, %d by one of several", held, calls, parts)
	}
}

// A caster that casts again after its turnaround is not called blocked for the little that
// it made in the half hour before.
func TestCasterIsBlockedByAFullTableOnly(t *testing.T) {
	began, looked := 0, 0
	last := map[int]calendar.Time{}
	eachTen(t, 46*calendar.Hour, func(s *session) {
		for i := range s.rows {
			if s.rows[i].Group != "casters" {
				continue
			}
			looked++
			v := s.played.Works().Caster(s.nth(i))
			full := v.Table >= v.Places-2
			if full {
				last[i] = s.now()
			}
			if l := s.meter.last[i]; l.S == bus.UnitBlocked && s.now()-last[i] > casterOver*calendar.Minute {
				t.Errorf("at %.2f h %s is blocked with %d of %d slabs on its table", s.now().Hours(), s.rows[i].Name, v.Table, v.Places)
			} else if l.S == bus.UnitRunning && v.Casting && l.V == 0 {
				began++
			}
		}
	})
	if began == 0 || looked == 0 {
		t.Errorf("%d times of %d a caster had just begun again", began, looked)
	}
}

// What came in less what went out is what a store rose by, all over the same hour, and the
// rise is that of its level.
func TestInLessOutIsRise(t *testing.T) {
	levels := map[float64][]float64{}
	compared, moved := 0, 0.0
	eachTen(t, 30*calendar.Hour, func(s *session) {
		now := s.now().Seconds()
		all := make([]float64, len(s.rows))
		for i := range s.rows {
			if s.rows[i].unit < 0 {
				v, _ := s.played.Works().Stock(s.rows[i].stock)
				all[i] = v.Level / s.rows[i].per
			}
		}
		levels[now] = all
		for _, f := range s.meter.flowsNow() {
			if math.Abs(f.In-f.Out-f.Rise) > 0.02 {
				t.Fatalf("%s: %g in, %g out, %g more in it", s.rows[f.Row].Name, f.In, f.Out, f.Rise)
			}
			moved += f.In
			if was := levels[now-f.Over]; was != nil {
				compared++
				if d := all[f.Row] - was[f.Row]; math.Abs(d-f.Rise) > 0.02 {
					t.Fatalf("%s rose by %g, said is %g", s.rows[f.Row].Name, d, f.Rise)
				}
			}
		}
	})
	if compared < 100 || moved == 0 {
		t.Errorf("%d compared, %g t moved", compared, moved)
	}
}

// Temperatures of slabs are those that the works notes; what is asked for is said with them.
func TestTemperatures(t *testing.T) {
	seen := map[string]int{}
	eachTen(t, 40*calendar.Hour, func(s *session) {
		for _, x := range s.temps() {
			seen[x.What]++
			low, high := 0.0, 1400.0
			switch x.What {
			case "last slab drawn", "slab at the door":
				low = 900
			case "last slab charged":
				high = 900
			default:
				low, high = s.plant.Spec.CoilYard.PickleMax-1, 750
			}
			if x.C < low || x.C > high || x.At != nil && *x.At > s.now().Seconds() {
				t.Fatalf("%s: %+v", s.rows[x.Row].Name, x)
			}
		}
		for i := range s.rows {
			if k := s.slabs[s.rows[i].unit]; s.rows[i].Group == furnaces && s.meter.rate(i) > 0 && (k.drawn == nil || s.now()-k.drawn.at > 30*calendar.Minute) {
				t.Errorf("%s makes %.0f t/h and its last slab was drawn at %+v", s.rows[i].Name, s.meter.rate(i), k.drawn)
			}
		}
	})
	if len(seen) != 4 {
		t.Errorf("%v", seen)
	}
}
