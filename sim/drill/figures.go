package drill

import (
	"math"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/record"
	"millrace/sim/works"
)

// flowsNow are what stores took and gave in the last hour of full minutes, or since the
// start where there are fewer. All three figures of a store are over the same minutes.
func (m *meter) flowsNow() []bus.Flow {
	out := []bus.Flow{}
	k := min(ringLength-1, m.n-1)
	if k < 1 {
		return out
	}
	for i := range m.rows {
		f := m.flows[i]
		if f == nil {
			continue
		}
		a, b := &f[(m.n-k)%ringLength], &f[m.n%ringLength]
		amount := func(g int64) float64 { return math.Round(float64(g)/grams/m.rows[i].per*100) / 100 }
		out = append(out, bus.Flow{Row: i, In: amount(b.in - a.in), Out: amount(b.out - a.out), Rise: amount(b.level - a.level), Over: float64(k) * 60})
	}
	return out
}

// grams in a kg.
const grams = 1000

// noted is a temperature that was taken once.
type noted struct {
	c  float64
	at calendar.Time
}

// slabNotes are the temperatures of the slabs last charged to and drawn from a unit.
type slabNotes struct{ charged, drawn *noted }

// read keeps what the works notes of slabs that go in and out of furnaces.
func (s *session) read(e *record.Event) {
	if e.Kind != record.Note || e.From < 0 {
		return
	}
	n := &noted{float64(e.X) / 10, e.T}
	switch k := s.slabs[int(e.From)]; works.Word(e.A) {
	case works.WordCharged:
		k.charged = n
		s.slabs[int(e.From)] = k
	case works.WordDrawn:
		k.drawn = n
		s.slabs[int(e.From)] = k
	}
}

// temps are the temperatures that people at a row would ask for.
func (s *session) temps() []bus.Temp {
	out := []bus.Temp{}
	w := s.played.Works()
	put := func(row int, what string, n *noted, need float64) {
		if n != nil {
			at := n.at.Seconds()
			out = append(out, bus.Temp{Row: row, What: what, C: math.Round(n.c), At: &at, Need: math.Round(need)})
		}
	}
	for i := range s.rows {
		switch x := &s.rows[i]; {
		case x.Group == furnaces:
			v, k := w.Door(s.nth(i)), s.slabs[x.unit]
			put(i, "last slab drawn", k.drawn, v.NeedC)
			if v.Slab {
				out = append(out, bus.Temp{Row: i, What: "slab at the door", C: math.Round(v.TempC), Need: math.Round(v.NeedC)})
			}
			put(i, "last slab charged", k.charged, 0)
		case x.Name == "coil yard" && x.unit < 0:
			if hot, _, ok := w.CoilTemps(); ok {
				out = append(out, bus.Temp{Row: i, What: "hottest coil on the floor", C: math.Round(hot)})
			}
		}
	}
	return out
}
